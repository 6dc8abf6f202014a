"""Entries as frozen records, one module a kind."""
