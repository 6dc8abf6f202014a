"""Pictures as they may be published."""

from __future__ import annotations

from kbgen.pipeline import Compiled
from kbgen.store import Store, make_key


def published_photos(compiled: Compiled) -> dict[str, bytes]:
    """Return every picture as it may be published: raster pictures written anew, drawings as they are."""
    folder = compiled.root / "photos"
    contents = {name: (folder / name).read_bytes() for name in sorted(compiled.base.photos)}
    return {name: _published(compiled.store, name, content) for name, content in contents.items()}


def _published(store: Store, name: str, content: bytes) -> bytes:
    if name.endswith(".svg"):
        return content
    # Imported late: a picture that was written anew before is not opened again.
    from kbgen.photo import cleaned

    return store.value(make_key("picture", content), lambda: cleaned(content))
