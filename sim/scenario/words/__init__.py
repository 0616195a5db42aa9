"""Languages and the catalogue of words."""
