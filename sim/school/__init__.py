"""Attempts, roster and class sheets."""
