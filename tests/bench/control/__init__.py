"""Unsafe control of a plant, made from the table of actions and the trade; it knows no rule of the check."""
