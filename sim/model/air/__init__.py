"""The wind, its gusts, and what shelters from it."""
