"""Scenario files on disk, turned into parameters; the only room that reads YAML."""
