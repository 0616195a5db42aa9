"""Windrode: practise anchoring under engine."""

__version__ = "0.1.0"
