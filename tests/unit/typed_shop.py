"""A shop whose every text is replaced by something somebody might type, in every way of typing it."""

from __future__ import annotations

import json
import random
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from kbgen.load import load
from kbgen.position import Route
from kbgen.ref import Kind
from kbgen.resources import folder
from kbgen.schemacheck import check
from kbgen.schemas import Schemas, leaves
from tests.unit.full_shop import APART, FULL, Slot, free, grown, slot_of

BULLET, STAR, PAGE, ITEM = "\1", "\2", "\3", "\4"
"""Where a dash or a star may have become the mark of an item (before a figure it must not), where the guide names
the page of a link, and where a dash must have become such a mark."""

# Each with what a page shows of it; the signs of documented markup are all that may go.
_WORDS = (
    *(
        "the",
        "Gauge",
        "reads",
        "low-water",
        "T19",
        "cutoff",
        "F22",
        "X3:5",
        "don't",
        "açaí",
        "Größe",
        "niño",
        "μA",
    ),
    *(
        "24 V",
        "-24 V",
        "+5 °C",
        "± 10 %",
        '3/4"',
        "6' 2\"",
        "½",
        "72 °F",
        "≥ 40 Ω",
        "2 m³",
        "H₂O",
        "24*2*3",
        "5 * 3",
    ),
    *(
        "TB_1_2",
        "_NC_",
        "LWC__1__2",
        "(*)",
        "[1](2)",
        "{K1}",
        "{{ volts }}",
        "<b>x</b>",
        "&amp;",
        "C:\\temp",
        "~",
        "^",
    ),
    *(
        "“short”",
        "„kurz“",
        "it’s",
        "'yes'",
        '"no"',
        "a--b",
        "1e3",
        "012",
        "12:30",
        "off",
        "null",
        "#2",
        "x: y",
        "@panel",
    ),
    *(
        "…",
        "→",
        "•",
        "–",
        "€",
        "№",
        "%",
        "!",
        "?",
        "|",
        "a, b",
        "[x]",
        "x]",
        ">",
        "=",
        "100%",
        "$5",
        "--8<--",
        "\\*",
        "://",
    ),
)
_AT_LINE_START = (
    "- 24 V ",
    "+ 24 V ",
    "24. Do ",
    "- ",
    "* ",
    "• ",
    "1. ",
    "2. ",
    "– ",
    "# ",
    "> ",
    "| ",
    "a) ",
    "+ ",
    "-x ",
    "",
)
_MARKUP = (
    ("**never**", "never"),
    ("*once*", "once"),
    ("`X9`", "X9"),
    ("\\*", "*"),
    ("[its page](term:example-high-limit-term)", "its page" + PAGE),
)
_RARE = (
    "а",
    "Т",
    "\u200b",
    "\u202e",
    "ﬁ",
    "\u00a0",
    "e\u0301",
    "\t",
    "🔥",
    "漢",
    "Ａ",
    "\u2009",
    "ℓ",
    "\u200d",
    "⚠️",
)


_WIDE = "X3:5/" * 30 + "X3:6"


@dataclass(frozen=True)
class Leaf:
    """One text of the shop: where it stands, and of which class it is.

    Attributes:
        text_class: ``long``, ``short``, ``code`` (short, and a mark in most cases) or ``figure``.
        slot: The text field that it is one of.
        own: Whether nothing else of the shop names it, so that it may become any other text.
    """

    path: str
    kind: Kind | None
    route: Route
    text_class: str
    text: str
    slot: Slot
    own: bool

    @property
    def name(self) -> tuple[str, Route]:
        return self.path, self.route


@dataclass(frozen=True)
class Typed:
    """A text as it is typed into the file, and as a page must show it (words one blank apart).

    Attributes:
        lines: What stands behind the field's name or the dash; the first line on the same line.
    """

    lines: tuple[str, ...]
    shows: str
    value: str


ALWAYS = tuple(
    Typed(("|", *lines), shows, "\n".join(lines))
    for lines, shows in (
        (("Set it to", "- 24 V", "and wait."), "Set it to - 24 V and wait."),
        (("Then:", "", "3. Open the lid", "4. Close it"), "Then: 3. Open the lid 4. Close it"),
        (("Look at:", "", "- the glass", "- the gauge"), f"Look at: {ITEM} the glass {ITEM} the gauge"),
        (("One", "two", "", "three"), "One two three"),
        ((f"Behind {_WIDE} here.",), f"Behind {_WIDE} here."),
    )
)
"""Texts that every shop holds, since they are seldom drawn and what they show is easily lost."""


def the_shop(schemas: Schemas) -> dict[str, Any]:
    """The data of the shop that ``kbgen new shop`` writes, every entry approved, by path."""
    checked = check(load(folder("starter_shop")), schemas)
    shop = {document.path: json.loads(json.dumps(document.data)) for document in checked.documents}
    for path, data in shop.items():
        if path != "kb.yaml":
            data["status"] = "approved"
            data["review"] = [{"by": "MK", "on": "2026-05-04"}]
    device = shop["devices/example-high-limit.yaml"]
    device["photos"] = [{"file": "plate.png", "alt": "The plate of it", "caption": "Its plate"}]
    shop["terms/example-high-limit-term.yaml"]["not_to_confuse"] = [
        {"term": "example-other", "differs": "That one comes back by itself"}
    ]
    shop["terms/example-other.yaml"] = {
        "title": "Other limit",
        "means": "It comes back by itself.",
        "status": "approved",
        "review": [{"by": "MK", "on": "2026-05-04"}],
    }
    shop["devices/example-sensor.yaml"] = {
        "title": "Water sensor",
        "type": "sensor",
        "dead_state": "unknown",
        "status": "approved",
        "never_because": "It is no contact",
        "review": [{"by": "MK", "on": "2026-05-04"}],
        "sensor": {
            "reads": [{"at": "10 °C", "is": "19 kΩ"}, {"at": "20 °C", "is": "12 kΩ"}],
            "permitted_difference": "Two kelvin at most",
        },
    }
    return shop


def the_whole_shop(schemas: Schemas) -> dict[str, Any]:
    """The same shop, and beside it entries that hold every text field there is."""
    shop = the_shop(schemas)
    return shop | grown(schemas, shop)


def texts(schemas: Schemas, shop: dict[str, Any]) -> list[Leaf]:
    """Every text that may say anything: no ids, names of files, quantities or fixed words."""
    found = []
    for path, data in shop.items():
        kind = kind_of(path)
        own = path.split("/")[-1] in (f"{FULL}.yaml", f"{APART}.yaml")
        for route, leaf, value in leaves(schemas.of(kind), data):
            if free(leaf):
                slot = slot_of(schemas, kind, data, route)
                found.append(Leaf(path, kind, route, _class(route, leaf, data), value, slot, own))
    return found


def _class(route: Route, leaf: Mapping[str, Any], data: Any) -> str:
    # Quantities by their neighbour, and the rows of a sensor, are read as numbers.
    if route[0] == "settings" and route[-1] in ("value", "tolerance"):
        return "short" if data["settings"][route[1]].get("quantity", "other") == "other" else "figure"
    if "sensor" in route[:-1] and "reads" in route[:-1]:
        return "figure"
    return str(leaf.get("x-text", "code" if leaf.get("maxLength", 300) < 100 else "short"))


def kind_of(path: str) -> Kind | None:
    head = path.split("/", maxsplit=1)[0]
    return next((kind for kind in Kind if kind.folder == head), None)


def word_of(number: int) -> str:
    """Return a word that no other number has.

    >>> word_of(0), word_of(27)
    ('Qaaax', 'Qbbax')
    """
    return f"Q{''.join(chr(97 + number // 26**power % 26) for power in range(3))}x"


def plain(leaf: Leaf, number: int) -> Typed:
    """Type a word, or a figure, that no other text has."""
    word = f"{number + 1000} {leaf.text.split()[-1]}" if leaf.text_class == "figure" else word_of(number)
    return Typed((word,), word, word)


def sample(leaf: Leaf, number: int, draw: random.Random) -> Typed:
    """Type some text for a leaf; the number is its own."""
    if leaf.text_class == "figure":
        unit = leaf.text.split()[-1]
        figure = f"{draw.randint(10, 10**7) / 1000:g} {unit}"
        return Typed((figure,), figure, figure)
    most = {"code": 2, "short": 8, "long": 14}[leaf.text_class]
    shown, typed = [], []
    for _ in range(draw.randint(1, most)):
        word = draw.choice(_WORDS)
        if leaf.text_class == "long" and draw.random() < 0.15:
            word, shows = draw.choice(_MARKUP)
        else:
            shows = word.replace("\\*", "*") if leaf.text_class == "long" else word
        if draw.random() < 0.01 and word == shows:
            word = shows = word + draw.choice(_RARE)
        typed.append(word)
        shown.append(shows)
    # A word that no other text has: what stands elsewhere does not stand for this one.
    at = draw.randint(1, len(typed))
    typed.insert(at, word_of(number))
    shown.insert(at, word_of(number))
    if draw.random() < 0.2:
        lead = draw.choice(_AT_LINE_START)
        seen = _seen(lead, typed[0]) if leaf.text_class == "long" else lead
        typed[0], shown[0] = lead + typed[0], seen + shown[0]
    if leaf.text_class == "long" and draw.random() < 0.5:
        return _block(typed, shown, draw)
    return _one_text(typed, " ".join(" ".join(shown).split()), leaf.text_class, draw)


def _block(typed: list[str], shown: list[str], draw: random.Random) -> Typed:
    lines, shows, value = ["|"], "", []
    row: list[str] = []
    lead = ""
    for word, seen in zip(typed, shown, strict=True):
        shows += f" {_seen(lead, word)}{seen}"
        row.append(lead + word)
        lead = ""
        if draw.random() < 0.3:
            value.append(" ".join(row))
            if draw.random() < 0.3:
                value.append("")
            row = []
            lead = draw.choice(_AT_LINE_START) if draw.random() < 0.4 else ""
    value.append(" ".join(row))
    # A deeper line is still a line of the text.
    lines += ["  " * (draw.random() < 0.1) + line if line and n else line for n, line in enumerate(value)]
    return Typed(tuple(lines), " ".join(shows.split()), "\n".join(value))


def _seen(lead: str, word: str) -> str:
    """What a page may show of a sign at the start of a line of long text."""
    if lead == "- " and word in ("24 V", "72 °F", "2 m³", "100%"):
        return lead
    return {"- ": BULLET, "* ": STAR}.get(lead, lead)


def _one_text(typed: list[str], shows: str, text_class: str, draw: random.Random) -> Typed:
    whole = " ".join(typed)
    style = draw.choice(("double", "single", "plain", "wrapped", "wrapped-double"))
    # A quote at the start, or a lone `|` or `>`, is how YAML is told of quoted text and of a block.
    if style == "double" or (style != "single" and typed[0][:1] in ("'", '"', "|", ">")):
        return Typed((json.dumps(whole, ensure_ascii=False),), shows, whole)
    if style == "single":
        return Typed(("'" + whole.replace("'", "''") + "'",), shows, whole)
    quote = '"' if style == "wrapped-double" else ""
    body = [json.dumps(word, ensure_ascii=False)[1:-1] if quote else word for word in typed]
    if style == "plain" or text_class == "code":
        return Typed((quote + " ".join(body) + quote,), shows, whole)
    rows, row = [], []
    for word in body:
        row.append(word)
        if draw.random() < 0.25:
            rows.append(" ".join(row))
            row = []
    rows += [" ".join(row)] if row else []
    # Whether a line goes on deeper or less deep says nothing.
    first, *more = rows
    more = [" " * draw.randint(0, 3) + line for line in more]
    rows = [quote + first, *more]
    rows[-1] += quote
    return Typed(tuple(rows), shows, whole)


def write(
    root: Path, shop: dict[str, Any], typed: dict[tuple[str, Route], Typed]
) -> dict[tuple[str, Route], range]:
    """Write the shop with the typed texts in it; return the lines of every typed text."""
    where: dict[tuple[str, Route], range] = {}
    for path, data in shop.items():
        lines: list[str] = []
        for route, row in _rows(data, (), 0, {r: t for (p, r), t in typed.items() if p == path}):
            if route is not None:
                begun = where.get((path, route), range(len(lines) + 1, 0)).start
                where[path, route] = range(begun, len(lines) + 2)
            lines.append(row)
        file = root / path
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return where


def _rows(
    value: Any, route: Route, depth: int, typed: dict[Route, Typed]
) -> Iterator[tuple[Route | None, str]]:
    pad = "  " * depth
    pairs: Iterator[tuple[Any, str, Any]] = (
        ((key, f"{key}:", inner) for key, inner in value.items())
        if isinstance(value, dict)
        else ((index, "-", inner) for index, inner in enumerate(value))
    )
    for key, head, inner in pairs:
        own = (*route, key)
        if own in typed:
            first, *more = typed[own].lines
            yield own, f"{pad}{head} {first}"
            yield from ((own, f"{pad}    {line}" if line else "") for line in more)
        elif isinstance(inner, dict | list) and inner:
            if head == "-":
                nested = list(_rows(inner, own, depth + 1, typed))
                at, row = nested[0]
                yield at, f"{pad}- {row[len(pad) + 2 :]}"
                yield from nested[1:]
            else:
                yield None, f"{pad}{head}"
                yield from _rows(inner, own, depth + 1, typed)
        elif isinstance(inner, str) and "\n" in inner:
            yield None, f"{pad}{head} |"
            yield from ((None, f"{pad}    {line}" if line else "") for line in inner.split("\n"))
        else:
            yield None, f"{pad}{head} {json.dumps(inner, ensure_ascii=False)}"
