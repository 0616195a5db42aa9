"""The window: draws a view, returns commands; the only room that knows pygame."""
