"""Where a page lies in the web edition: addresses relative to its root, always ending in ``.html``."""

from __future__ import annotations

from kbgen.ref import Ref

HOME = "index.html"
NOT_FOUND = "404.html"


def address(page: Ref | str) -> str:
    """Return the address of an entry or a listing, e.g. ``symptoms/limits-not-made.html``."""
    if isinstance(page, Ref):
        return f"{page.kind.folder}/{page.id}.html"
    return f"{page}.html"


def plant_index(plant_id: str) -> str:
    """Return the name of the listing of everything about a family of plant."""
    return f"plant/{plant_id}"


def shows_index(plant_id: str) -> str:
    """Return the name of the listing of what a family of plant shows."""
    return f"plant/{plant_id}-shows"


def due_index(plant_id: str) -> str:
    """Return the name of the listing of what is due on a family of plant."""
    return f"plant/{plant_id}-due"


def found_index(plant_id: str) -> str:
    """Return the name of the listing of what was found most on a plant."""
    return f"found/{plant_id}"


def root_from(page_address: str) -> str:
    """Return the way from a page to the root of the site: empty, or ``../`` once a folder."""
    return "../" * page_address.count("/")
