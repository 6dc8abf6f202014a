"""Rules: each judges what was read, linked and computed, and says what to type instead."""
