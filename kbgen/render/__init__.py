"""Outputs: the web edition, the pocket guide, data. They share the views and do not know each other."""
