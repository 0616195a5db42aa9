"""Depth, tide, streams, waves and wash."""
