"""Typical errors: one small detector for each, by the letter of its part of the job."""
