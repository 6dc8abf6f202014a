"""Fields of an entry's head, written in place: one line each, everything else as it was."""

from __future__ import annotations

import codecs
import json
from collections.abc import Mapping, Sequence
from typing import Any

from kbgen.migrate.layout import CannotEdit, Layout
from kbgen.model.head import Signature

__all__ = ["CannotEdit", "set_fields", "signatures_as_typed"]

_BEFORE = ("review", "status", "aliases", "title")


def set_fields(data: bytes, fields: Mapping[str, tuple[str, Any]]) -> bytes:
    """Return a file with other values in some of its top fields.

    Args:
        data: The bytes of the file.
        fields: By name what is typed behind the colon, and what it holds once read.

    Raises:
        CannotEdit: The file could not be changed without losing something, such as a comment inside a value.
    """
    mark = codecs.BOM_UTF8 if data.startswith(codecs.BOM_UTF8) else b""
    text = data.removeprefix(mark).decode("utf-8")
    for name, (typed, meant) in fields.items():
        text = _set(text, name, typed, meant)
    return mark + text.encode("utf-8")


def _set(text: str, name: str, typed: str, meant: Any) -> str:
    layout = Layout(text)
    wanted = {**layout.data, name: meant}
    if name in layout.data:
        start, end = layout.key_end((name,)) + 1, layout.stop((name,))
        if layout.comments(start, end):
            raise CannotEdit
        changed = f"{text[:start]} {typed.lstrip(' ')}{text[end:]}"
        if typed.startswith("\n"):
            changed = f"{text[:start]}{typed.replace(chr(10), layout.newline)}{text[end:]}"
    else:
        above = next((each for each in _BEFORE if each in layout.data), None)
        if above is None:
            raise CannotEdit
        at = layout.line_end(layout.stop((above,)))
        between = "" if typed.startswith("\n") else " "
        changed = (
            f"{text[:at]}{layout.newline}{name}:{between}{typed.replace(chr(10), layout.newline)}{text[at:]}"
        )
    if Layout(changed).data != wanted:
        raise CannotEdit
    return changed


def signatures_as_typed(signatures: Sequence[Signature]) -> tuple[str, list[dict[str, Any]]]:
    """Return signatures as the list `review` has them, and what that holds once read."""
    meant: list[dict[str, Any]] = []
    typed = []
    for each in signatures:
        fields: dict[str, Any] = {"by": each.by, "on": each.on}
        said = f"by: {_plain(each.by)}, on: {json.dumps(each.on)}"
        if each.mark:
            fields["mark"] = each.mark
            said += f", mark: {each.mark}"
        if each.for_:
            fields["for"] = list(each.for_)
            said += f", for: [{', '.join(each.for_)}]"
        meant.append(fields)
        typed.append(f"{{{said}}}")
    return (f"[{typed[0]}]" if len(typed) == 1 else "".join(f"\n  - {each}" for each in typed)), meant


def _plain(text: str) -> str:
    return (
        text
        if text.isalnum() and text[0].isalpha() and text.lower() not in _WORDS
        else json.dumps(text, ensure_ascii=False)
    )


_WORDS = frozenset({"y", "n", "yes", "no", "on", "off", "true", "false", "null"})
