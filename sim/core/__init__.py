"""State, commands, events and the order of one tick."""
