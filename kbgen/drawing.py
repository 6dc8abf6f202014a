"""Drawings as bytes: parsed and written anew, by lists of what may stand in one.

A list of what is forbidden is never complete: prefixes, encodings and entities spell the same thing in
many ways. Here only what is known to draw is written; what would run, lead outside or carry another
document is refused with its line, and what nobody sees (metadata, marks of an editor) is left out.
"""

from __future__ import annotations

import re
from typing import NamedTuple
from xml.parsers import expat
from xml.sax.saxutils import escape, quoteattr

from kbgen.position import Position

_SVG, _XLINK, _XML = (
    "http://www.w3.org/2000/svg",
    "http://www.w3.org/1999/xlink",
    "http://www.w3.org/XML/1998/namespace",
)
_DRAWN = frozenset("path rect circle ellipse line polyline polygon text use".split())
_ELEMENTS = _DRAWN | frozenset(
    "svg g defs symbol marker linearGradient radialGradient stop clipPath mask pattern title desc style tspan "
    "filter feGaussianBlur feOffset feMerge feMergeNode feFlood feBlend feComposite feColorMatrix".split()
)
_SAYS = frozenset(("text", "title", "desc"))
_LEFT_OUT = frozenset(("metadata",))
_ATTRIBUTES = frozenset(
    "id class style x y x1 y1 x2 y2 cx cy r rx ry fx fy d dx dy points width height viewBox transform "
    "preserveAspectRatio href fill fill-opacity fill-rule stroke stroke-width stroke-linecap stroke-linejoin "
    "stroke-dasharray stroke-dashoffset stroke-miterlimit stroke-opacity opacity color display visibility "
    "overflow clip-path clip-rule mask marker-start marker-mid marker-end markerWidth markerHeight markerUnits "
    "refX refY orient gradientUnits gradientTransform spreadMethod offset stop-color stop-opacity patternUnits "
    "patternContentUnits patternTransform clipPathUnits maskUnits maskContentUnits font-family font-size "
    "font-weight font-style font-variant font-stretch text-anchor text-decoration dominant-baseline "
    "alignment-baseline baseline-shift letter-spacing word-spacing textLength lengthAdjust rotate writing-mode "
    "paint-order vector-effect shape-rendering text-rendering color-interpolation pathLength xml:space xml:lang "
    "filter filterUnits primitiveUnits stdDeviation in in2 result mode operator k1 k2 k3 k4 type values "
    "flood-color flood-opacity color-interpolation-filters role lang".split()
)
_SAYS_NOTHING = re.compile(
    r"version|baseProfile|enable-background|content|contentStyleType|data-[\w.-]+|zoomAndPan"
)
_OUTSIDE = re.compile(r"url\s*\(\s*(?!['\"]?#)|javascript:|expression\s*\(|@|\\|-moz-binding", re.IGNORECASE)
_DEEPEST = 200


class Words(NamedTuple):
    """What one text of a drawing says.

    Attributes:
        pieces: Its pieces in the order of the file; an editor cuts a text where its lines and styles change.
        position: Where it begins.
    """

    pieces: tuple[str, ...]
    position: Position

    @property
    def readings(self) -> tuple[str, str]:
        """The whole text, once with its pieces as words and once as parts of words."""
        return " ".join(" ".join(self.pieces).split()), "".join(self.pieces)


class Drawing(NamedTuple):
    """What became of a drawing.

    Attributes:
        content: The drawing written anew, in UTF-8; empty when it was refused.
        fault: What is wrong with it; empty when all is well.
        active: Whether it would run something or lead outside, rather than being no drawing.
        position: Where it is wrong.
        words: What can be read in it, titles and descriptions included.
    """

    content: bytes
    fault: str = ""
    active: bool = False
    position: Position = Position(1, 1)
    words: tuple[Words, ...] = ()


class _RefusedError(Exception):
    """Something in the drawing that must not be published."""


def redrawn(content: bytes) -> Drawing:
    """Write a drawing anew from what may stand in one; the same bytes for the same drawing."""
    writer = _Writer()
    try:
        writer.parser.Parse(content, True)
    except _RefusedError as refused:
        return Drawing(b"", str(refused), active=True, position=writer.at)
    except expat.ExpatError as broken:
        if not content.strip():
            return Drawing(b"", "the file is empty")
        why = expat.ErrorString(broken.code)
        return Drawing(
            b"", f"it is no SVG, or it is damaged: {why}", position=Position(broken.lineno, broken.offset + 1)
        )
    except (LookupError, ValueError):
        return Drawing(b"", "its encoding is not known")
    if not writer.draws:
        return Drawing(b"", "nothing is drawn in it")
    return Drawing("".join(writer.parts).encode() + b"\n", words=tuple(writer.words))


class _Writer:
    """Takes the events of the parser and keeps what may stay."""

    def __init__(self) -> None:
        self.parts: list[str] = []
        self.draws = False
        self.words: list[Words] = []
        self.at = Position(1, 1)
        """Where what is being looked at begins; behind an exception the parser stands at its end."""
        self._said: list[str] = []
        self._said_at = Position(1, 1)
        self._open: list[str] = []
        self._left_out = 0
        self.parser = expat.ParserCreate(namespace_separator=" ")
        self.parser.buffer_text = True
        self.parser.StartElementHandler = self._start
        self.parser.EndElementHandler = self._end
        self.parser.CharacterDataHandler = self._text
        self.parser.StartDoctypeDeclHandler = self._doctype
        self.parser.ProcessingInstructionHandler = self._instruction

    @property
    def position(self) -> Position:
        """Where the parser stands."""
        return Position(self.parser.CurrentLineNumber, self.parser.CurrentColumnNumber + 1)

    def _start(self, name: str, attributes: dict[str, str]) -> None:
        self.at = self.position
        space, _, local = name.rpartition(" ")
        if not self._open and (space, local) != (_SVG, "svg"):
            raise _RefusedError(f"it begins with `{local}` and not with an `svg` of the SVG namespace")
        if self._left_out or space != _SVG or local in _LEFT_OUT:
            if space == "http://www.w3.org/1999/xhtml" or local.lower() in ("script", "foreignobject"):
                raise _RefusedError(f"`{local}` has no place in a drawing")
            self._left_out += 1
            return
        if local not in _ELEMENTS:
            raise _RefusedError(f"`{local}` has no place in a drawing")
        if len(self._open) > _DEEPEST:
            raise _RefusedError("its parts stand in each other without end")
        kept = [part for name_, value in sorted(attributes.items()) if (part := _attribute(name_, value))]
        root = f' xmlns="{_SVG}"' if not self._open else ""
        self.parts.append(f"<{local}{root}{''.join(kept)}>")
        self._open.append(local)
        self.words += [
            Words((text,), self.position) for name_, text in attributes.items() if name_.startswith("aria-")
        ]
        self.draws = self.draws or local in _DRAWN

    def _end(self, _name: str) -> None:
        if self._left_out:
            self._left_out -= 1
            return
        self.parts.append(f"</{self._open.pop()}>")
        if self._said and not _SAYS.intersection(self._open):
            self.words.append(Words(tuple(self._said), self._said_at))
            self._said = []

    def _text(self, text: str) -> None:
        self.at = self.position
        if self._left_out or not self._open:
            return
        if self._open[-1] == "style" and _OUTSIDE.search(text):
            raise _RefusedError("its style leads to something outside it")
        if _SAYS.intersection(self._open):
            self._said_at = self._said_at if self._said else self.position
            self._said.append(text)
        self.parts.append(escape(text))

    def _doctype(self, _name: str, _system: str | None, _public: str | None, internal: int) -> None:
        self.at = self.position
        # The plain declaration of older editors says nothing; one with entities can say anything.
        if internal:
            raise _RefusedError("it declares entities of its own")

    def _instruction(self, target: str, _data: str) -> None:
        self.at = self.position
        if target.lower().startswith("xml-stylesheet"):
            raise _RefusedError("it names a style sheet outside it")


def _attribute(name: str, value: str) -> str:
    """Return an attribute as it is written, or nothing for one that says nothing to a reader."""
    space, _, local = name.rpartition(" ")
    if space == _XLINK and local == "href":
        space = ""
    elif space == _XML:
        space, local = "", f"xml:{local}"
    if space or _SAYS_NOTHING.fullmatch(local):
        return ""
    said = local.startswith("aria-")
    if local.lower().startswith("on") or (local not in _ATTRIBUTES and not said):
        raise _RefusedError(f"`{local}` has no place in a drawing")
    if (local == "href" and not value.strip().startswith("#")) or (not said and _OUTSIDE.search(value)):
        raise _RefusedError(f"`{local}` leads to something outside it")
    return f" {local}={quoteattr(value)}"
