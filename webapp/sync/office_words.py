"""What shop and head office both say, each on its side."""

JOIN = "baybook-join"
"""Begins what a shop signs to join."""
