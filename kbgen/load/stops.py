"""Say in the author's words why the YAML parser stopped.

The line scanner explains most of what a parser trips over; this is for what is left.
"""

from __future__ import annotations

from typing import NamedTuple

import yaml

from kbgen.load.fault import Fault


class _Saying(NamedTuple):
    """Our words for a stop; ``at_start`` puts it where the unfinished construct began."""

    rule: str
    message: str
    hint: str
    at_start: bool = False


_UNQUOTED = "Quote the whole value."
_ESCAPE = _Saying(
    "unknown-escape", "a backslash in double quotes has a meaning of its own", "Use single quotes."
)
_OPEN = "opens here is not closed or not separated by commas"
_SAYINGS: dict[str, _Saying] = {
    "mapping values are not allowed": _Saying(
        "colon-in-text",
        "a colon starts a field where none can start",
        "Quote the whole value, or check the indentation.",
    ),
    "sequence entries are not allowed": _Saying(
        "list-beside-field",
        "a list with dashes starts on the line below its field",
        "Move the dash to a line of its own.",
    ),
    "expected ':'": _Saying(
        "missing-colon",
        "this line has no field name with a colon and a blank behind it",
        "Type the colon and the blank, or indent the line if it is text.",
        at_start=True,
    ),
    "escape": _ESCAPE,
    "hexdecimal": _ESCAPE,
    "quoted scalar": _Saying(
        "open-quote",
        "the quote that opens here is never closed",
        "Close the quote at the end of the value.",
        at_start=True,
    ),
    "flow sequence": _Saying(
        "open-bracket",
        f"the list that {_OPEN}",
        "Close it with `]`, or quote the value if it is text.",
        at_start=True,
    ),
    "flow mapping": _Saying(
        "open-bracket",
        f"the map that {_OPEN}",
        "Close it with `}`, or quote the value if it is text.",
        at_start=True,
    ),
    "cannot start any token": _Saying(
        "reserved-sign", "this sign has a meaning of its own in YAML and cannot start a value", _UNQUOTED
    ),
    "an alias": _Saying(
        "yaml-alias", "`*` at the start of a value has a meaning of its own in YAML", _UNQUOTED, at_start=True
    ),
    "an anchor": _Saying(
        "yaml-anchor",
        "`&` at the start of a value has a meaning of its own in YAML",
        _UNQUOTED,
        at_start=True,
    ),
    "tag": _Saying(
        "yaml-tag", "`!` at the start of a value has a meaning of its own in YAML", _UNQUOTED, at_start=True
    ),
    "block scalar": _Saying(
        "block-text",
        "this block of text is indented unevenly",
        "Start every line of the text two spaces right of its field.",
        at_start=True,
    ),
    "flow node": _Saying(
        "unreadable-yaml",
        "inside these brackets a value is missing before this sign",
        "Take the sign out, or quote it if it is text.",
    ),
    "parsing a block": _Saying(
        "indentation",
        "this line does not fit the lines above it",
        "Line it up with the field or dash it belongs beside.",
    ),
}
"""By words of the parser (of both its implementations); the first that fit are taken."""

_OTHERWISE = _Saying(
    "unreadable-yaml",
    "the file cannot be read on from here",
    "Check indentation, quotes and brackets of this line and the one above.",
)


def explain_stop(stop: yaml.MarkedYAMLError, text: str) -> Fault:
    """Turn the parser's stop into a fault."""
    said = f"{stop.context or ''} {stop.problem or ''}"
    saying = next((ours for words, ours in _SAYINGS.items() if words in said), _OTHERWISE)
    mark = (stop.context_mark if saying.at_start else None) or stop.problem_mark
    # A stop at the end of the file points at the last sign of the text.
    offset = min(mark.index if mark else 0, max(len(text.rstrip()) - 1, 0))
    return Fault(saying.rule, offset, saying.message, saying.hint)
