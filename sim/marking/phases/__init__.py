"""One file a phase: what is measured in it."""
