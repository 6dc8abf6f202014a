"""Entries joined into one knowledge base: references, inner names, backlinks."""
