"""What makes a web edition one that a tablet keeps: the worker, how to switch it off, the manifest."""

from __future__ import annotations

import json
from collections.abc import Callable

from kbgen.resources import folder
from kbgen.views.address import HOME
from kbgen.views.page import Shop

WORKER = "sw.js"
MANIFEST = "manifest.webmanifest"
_WORKERS = (WORKER, "sw-off.js")
# The bar's colour and the paper of the light scheme, in `kb.css`.
_BAR, _PAPER = "#123438", "#fbfaf5"
_ICONS = (("icon-192.png", "192x192", "any"), ("icon-512.png", "512x512", "any"))
_MASKABLE = ("icon-512-maskable.png", "512x512", "maskable")


def offline_files(shop: Shop, ship: Callable[[bytes], bytes]) -> dict[str, bytes]:
    """Return the files by address. The workers' bytes are the same in every edition of every shop.

    Args:
        ship: Makes a script as it is shipped.
    """
    source = folder("site_overrides") / "offline"
    workers = {name: ship((source / name).read_bytes()) for name in _WORKERS}
    return {**workers, MANIFEST: _manifest(shop).encode()}


def _manifest(shop: Shop) -> str:
    icons = [
        {"src": f"assets/icons/{name}", "sizes": sizes, "type": "image/png", "purpose": purpose}
        for name, sizes, purpose in (*_ICONS, _MASKABLE)
    ]
    whole = {
        "name": shop.name,
        "short_name": shop.name,
        "lang": shop.language,
        "start_url": HOME,
        "scope": ".",
        "display": "standalone",
        "background_color": _PAPER,
        "theme_color": _BAR,
        "icons": icons,
    }
    return json.dumps(whole, ensure_ascii=False, indent=1) + "\n"
