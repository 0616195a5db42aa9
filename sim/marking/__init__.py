"""Marks: pure functions of track and events."""
