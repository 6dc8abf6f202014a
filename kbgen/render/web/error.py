"""What can go wrong while the web edition is built."""

from __future__ import annotations


class WebError(Exception):
    """The web edition was not replaced; the message says why, in sentences for the person at the desk."""
