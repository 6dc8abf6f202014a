"""Faults planted one at a time into the way of a text from file to page, guide and export.

The property test must find every one of them; what it cannot find it does not hold.
"""

from __future__ import annotations

import dataclasses
import json
import re
import unicodedata
from collections.abc import Callable, Sequence
from typing import Any, NamedTuple

import pytest
from markupsafe import Markup, escape

from kbgen.load.tree import Tree
from kbgen.model import build
from kbgen.outputs import export
from kbgen.render.export import export_data
from kbgen.render.guide import lines
from kbgen.render.guide.lines import Lines
from kbgen.render.guide.pack import Packer
from kbgen.render.web import inline as web
from kbgen.render.web.inline import InlineWriter
from kbgen.text import blocks, inline
from kbgen.text.tree import Code, Emphasis, Listing, Words
from kbgen.views import device, equipment, notes, procedure_steps
from kbgen.views.blocks import Fact

Patch = pytest.MonkeyPatch
Change = Callable[[str], str]


class Fault(NamedTuple):
    """One planted fault.

    Attributes:
        output: The output to look at: ``body`` (a page without its frame), ``guide`` or ``export``.
        plant: Puts it in.
        slots: The text fields that it takes away, all of which must be missed; none where any text may.
    """

    name: str
    output: str
    plant: Callable[[Patch], None]
    slots: tuple[str, ...] = ()


def _around(owner: Any, name: str, change: Callable[[Any], Any]) -> Callable[[Patch], None]:
    """Change what a function returns."""

    def plant(patch: Patch) -> None:
        inner = getattr(owner, name)
        patch.setattr(owner, name, lambda *given, **named: change(inner(*given, **named)))

    return plant


def _read(change: Change) -> Callable[[Patch], None]:
    return _around(Tree, "_text", lambda value: change(value) if value else value)


def _sub(pattern: str, by: str) -> Change:
    return lambda text: re.sub(pattern, by, text, flags=re.MULTILINE)


def _modelled(change: Change, *, unsigned: bool = False) -> Callable[[Patch], None]:
    """Change a long text behind the check, and how it is read.

    Args:
        unsigned: Take no sign for one of a quantity.
    """

    def plant(patch: Patch) -> None:
        inner = build.read

        def read(text: str) -> Any:
            with pytest.MonkeyPatch.context() as within:
                if unsigned:
                    within.setattr(blocks, "_signed", lambda _: False)
                return inner(change(text))

        patch.setattr(build, "read", read)

    return plant


def _paragraph(change: Callable[[tuple[Any, ...]], tuple[Any, ...]]) -> Callable[[Patch], None]:
    return _around(blocks, "inlines", change)


def _listing(change: Callable[[Listing], Listing]) -> Callable[[Patch], None]:
    return _around(blocks._Reader, "_listing", lambda found: (change(found[0]), found[1]))


def _without(kind: type) -> Callable[[Any], Any]:
    return lambda children: tuple(child for child in children if not isinstance(child, kind))


def _exported(change: Change, *fields: str) -> Callable[[Patch], None]:
    def changed(value: Any) -> Any:
        if isinstance(value, dict):
            return {key: changed(inner) for key, inner in value.items() if key not in fields}
        if isinstance(value, list):
            return [changed(inner) for inner in value]
        return change(value) if isinstance(value, str) else value

    def plant(patch: Patch) -> None:
        def data(*given: Any) -> str:
            whole = export_data(*given)
            return json.dumps({**whole, "entries": [changed(entry) for entry in whole["entries"]]})

        patch.setattr(export, "export_json", data)

    return plant


def _no_fact(view: Any, *labels: str) -> Callable[[Patch], None]:
    def plant(patch: Patch) -> None:
        inner = view.fact
        patch.setattr(view, "fact", lambda name, *said: None if name in labels else inner(name, *said))

    return plant


def _not_printed(*labels: str) -> Callable[[Patch], None]:
    def plant(patch: Patch) -> None:
        inner = Packer._facts

        def packed(self: Packer, rows: Sequence[Fact], own: str) -> Any:
            return inner(self, [row for row in rows if row.label not in labels], own)

        patch.setattr(Packer, "_facts", packed)

    return plant


FAULTS = (
    # What is read.
    Fault("the minus at the start of a text is lost", "export", _read(_sub(r"\A-", ""))),
    Fault("the sign at the start of a line is lost", "body", _modelled(_sub(r"^[-+] ?(?=\d)", ""))),
    Fault("a dash and a blank at the start are taken for an item", "body", _read(_sub(r"\A- ", ""))),
    Fault("letters are made compatible", "body", _read(lambda text: unicodedata.normalize("NFKC", text))),
    Fault("letters are taken apart", "body", _read(lambda text: unicodedata.normalize("NFD", text))),
    Fault("accents are lost", "guide", _read(lambda t: t.replace("é", "e").replace("ñ", "n"))),
    Fault("a curly quote becomes straight", "guide", _read(lambda t: t.replace("’", "'").replace("“", '"'))),
    Fault("two hyphens become a dash", "body", _read(lambda t: t.replace("--", "–"))),
    Fault("a number is written as a number", "export", _read(_sub(r"\b1e3\b", "1000"))),
    Fault("a zero in front is lost", "body", _read(_sub(r"\b012\b", "12"))),
    Fault("the last line of a text is lost", "body", _read(lambda t: t.rpartition("\n")[0] or t)),
    Fault("a long text is cut", "export", _read(lambda t: t[:60])),
    Fault("what stands behind a number sign is lost", "body", _read(_sub(r" #2", ""))),
    # What is understood of long text.
    Fault("an empty line is lost", "body", _modelled(_sub(r"\n\n+(?=- |\* )", "\n"))),
    Fault(
        "a wrapped line is joined without a blank",
        "body",
        _around(
            inline,
            "_inlines",
            lambda c: tuple(
                Words(re.sub(r"(?<=[a-z]) (?=[a-z])", "", child.text, count=1))
                if isinstance(child, Words)
                else child
                for child in c
            ),
        ),
    ),
    Fault(
        "a sign before a quantity becomes a bullet",
        "body",
        _modelled(_sub(r"^(?=- \d)", "\n"), unsigned=True),
    ),
    Fault(
        "the last item of a list is lost",
        "guide",
        _listing(lambda found: dataclasses.replace(found, items=found.items[:-1])),
    ),
    Fault("a list begins with one", "body", _listing(lambda found: dataclasses.replace(found, start=1))),
    Fault(
        "a numbered list gets dots", "body", _listing(lambda found: dataclasses.replace(found, ordered=False))
    ),
    Fault("marks of the panel are lost", "body", _paragraph(_without(Code))),
    Fault("emphasis is lost with its words", "guide", _paragraph(_without(Emphasis))),
    Fault("every backslash escapes", "body", _modelled(_sub(r"\\(?=t)", ""))),
    # The page.
    Fault(
        "signs are escaped twice",
        "body",
        lambda patch: patch.setattr(web, "escape", lambda text: escape(str(escape(text)))),
    ),
    Fault("signs are not escaped", "body", lambda patch: patch.setattr(web, "escape", Markup)),
    Fault(
        "words of a page lose their outer blanks",
        "body",
        lambda patch: patch.setattr(web, "escape", lambda text: escape(text.strip())),
    ),
    Fault(
        "underscores are taken for emphasis",
        "body",
        lambda patch: patch.setattr(web, "escape", lambda text: escape(text.replace("_", ""))),
    ),
    Fault("words of a link are lost", "body", _around(InlineWriter, "_inlines", _sub(r"its page", ""))),
    Fault("a field of a device stands on no page", "body", _no_fact(device, "After a trip")),
    # The guide.
    Fault("a field of a device is not printed", "guide", _no_fact(device, "Opens when")),
    Fault("a broken word is cut", "guide", _around(lines, "unbroken", lambda pieces: pieces[:1])),
    Fault(
        "signs without a plain letter are not printed", "guide", _around(lines, "shown", _sub(r"[~^|]", ""))
    ),
    Fault("the last row of facts is not printed", "guide", _around(Packer, "_facts", lambda rows: rows[:-1])),
    Fault(
        "marks are not printed",
        "guide",
        _around(Lines, "_inlines", lambda nodes: [n for n in nodes if n[0] != "m"]),
    ),
    # The export.
    Fault("aliases are not exported", "export", _exported(str, "aliases")),
    Fault("the export is plain ASCII", "export", _exported(lambda t: t.encode("ascii", "ignore").decode())),
    Fault("the export loses its line ends", "export", _exported(lambda t: t.replace("\n", ""))),
)

_END = ("The label says", "Give in writing", "Tell")
_ENDS = tuple(f"procedure.steps.<end>.{field}" for field in ("label", "notice", "tell"))
LOST_FIELDS = (
    Fault("the words of an unsafe end stand on no page", "body", _no_fact(procedure_steps, *_END), _ENDS),
    Fault("the words of an unsafe end are not printed", "guide", _not_printed(*_END), _ENDS),
    Fault(
        "the second gauge of an adjustment stands on no page",
        "body",
        _no_fact(procedure_steps, "Watch"),
        ("procedure.steps.<adjust>.gauge",),
    ),
    Fault(
        "who is told, and who takes over, stand on no page",
        "body",
        lambda patch: patch.setattr(procedure_steps, "_unsaid", lambda *_: None),
        ("procedure.steps.<inform>.inform", "procedure.steps.<hand_over>.hand_over"),
    ),
    Fault(
        "where hands go in stands on no page",
        "body",
        lambda patch: patch.setattr(equipment, "_zones", lambda _: None),
        ("equipment.zones.title",),
    ),
    Fault("the wire of a job stands on no page", "body", _no_fact(notes, "Found at"), ("field-note.wire",)),
    Fault("a field is not exported", "export", _exported(str, "tells"), ("symptom.look_first.tells",)),
)
"""Fields taken from one output only, each out of the way that leads there."""
