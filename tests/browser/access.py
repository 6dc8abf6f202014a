"""What axe finds wrong on a page, for people who see, hear or hit worse than others."""

from __future__ import annotations

from typing import Any

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

COLOURS = {"type": "rule", "values": ["color-contrast", "link-in-text-block"]}
"""The rules about what a colour scheme may change: contrast, and links told from the text around them."""


def faults(page: Page, scheme: str = "light") -> list[str]:
    """Return each fault with its first place.

    Args:
        scheme: Any but the light one is held against the rules about colours alone: all others ask the marked-up page,
            which is the same in every scheme, and take most of the time.
    """
    options: dict[str, Any] = {"resultTypes": ["violations"], "preload": False}
    if scheme != "light":
        options["runOnly"] = COLOURS
    found = Axe().run(page, options=options).response["violations"]
    return [f"{each['id']}: {each['nodes'][0]['html'][:200]}" for each in found]
