"""One file a screen, and what is drawn on it."""
