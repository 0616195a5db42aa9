"""Recordings, replays and tracks."""
