"""The plan of the bay, and what moves with it."""
