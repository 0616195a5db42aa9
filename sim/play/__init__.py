"""A run without a window: an attempt, its night, its clock, and what a person's hands ask."""
