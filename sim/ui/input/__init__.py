"""Keys, mouse and pad."""
