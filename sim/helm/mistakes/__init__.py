"""Mistakes on demand: the demonstrator commits one typical error, and as little else as possible."""
