"""Compile a service shop's knowledge base into a web edition, a pocket guide and data."""

__version__ = "0.1.0"
