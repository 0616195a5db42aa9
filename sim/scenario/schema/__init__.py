"""What a scenario file may hold, field by field."""
