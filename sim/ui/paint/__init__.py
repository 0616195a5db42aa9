"""Painter, display list, colours, type."""
