"""Pictures as they may be published."""

from __future__ import annotations

from kbgen.pipeline import Compiled
from kbgen.program import make_key
from kbgen.store import Store


def published_photos(compiled: Compiled) -> dict[str, bytes]:
    """Return every picture as it may be published: written anew, without what nobody sees."""
    folder = compiled.root / "photos"
    contents = {name: (folder / name).read_bytes() for name in sorted(compiled.base.photos)}
    return {name: _published(compiled.store, name, content) for name, content in contents.items()}


def _published(store: Store, name: str, content: bytes) -> bytes:
    if name.endswith(".svg"):
        return store.value(make_key("drawing", content), lambda: _redrawn(content))
    return store.value(make_key("picture", content), lambda: _cleaned(content))


# Imported late: a picture that was written anew before is not opened again.


def _redrawn(content: bytes) -> bytes:
    from kbgen.drawing import redrawn

    return redrawn(content).content


def _cleaned(content: bytes) -> bytes:
    from kbgen.photo import cleaned

    return cleaned(content)
