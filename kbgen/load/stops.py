"""Say in the author's words why the YAML parser stopped.

The line scanner explains most of what a parser trips over; this is for what is left.
"""

from __future__ import annotations

from typing import NamedTuple

import yaml

from kbgen.load.fault import (
    COLON_IN_TEXT,
    FILES,
    INDENTATION,
    LIST_BESIDE_FIELD,
    MISSING_COLON,
    OPEN_BRACKET,
    OPEN_QUOTE,
    RESERVED_SIGN,
    YAML_ALIAS,
    YAML_ANCHOR,
    YAML_TAG,
    Fault,
)
from kbgen.rule import Rule


class _Saying(NamedTuple):
    """Our words for a stop; ``at_start`` puts it where the unfinished construct began."""

    rule: Rule
    message: str
    hint: str
    at_start: bool = False


_UNQUOTED = "Quote the whole value."
UNKNOWN_ESCAPE = FILES.error(
    "unknown-escape", "A backslash in double quotes has a meaning of its own.", 'title: "\\q"', "title: '\\q'"
)

_ESCAPE = _Saying(
    UNKNOWN_ESCAPE, "a backslash in double quotes has a meaning of its own", "Use single quotes."
)
_OPEN = "opens here is not closed or not separated by commas"
BLOCK_TEXT = FILES.error(
    "block-text",
    "A block of text ends where its indentation ends.",
    "do: |\n    Shut the cock.\n  Wait.",
    "do: |\n  Shut the cock.\n  Wait.",
)
UNREADABLE_YAML = FILES.error(
    "unreadable-yaml", "From here on the file cannot be read.", "title: }", 'title: "}"'
)

_SAYINGS: dict[str, _Saying] = {
    "mapping values are not allowed": _Saying(
        COLON_IN_TEXT,
        "a colon starts a field where none can start",
        "Quote the whole value, or check the indentation.",
    ),
    "sequence entries are not allowed": _Saying(
        LIST_BESIDE_FIELD,
        "a list with dashes starts on the line below its field",
        "Move the dash to a line of its own.",
    ),
    "expected ':'": _Saying(
        MISSING_COLON,
        "this line has no field name with a colon and a blank behind it",
        "Type the colon and the blank, or indent the line if it is text.",
        at_start=True,
    ),
    "escape": _ESCAPE,
    "hexdecimal": _ESCAPE,
    "quoted scalar": _Saying(
        OPEN_QUOTE,
        "the quote that opens here is never closed",
        "Close the quote at the end of the value.",
        at_start=True,
    ),
    "flow sequence": _Saying(
        OPEN_BRACKET,
        f"the list that {_OPEN}",
        "Close it with `]`, or quote the value if it is text.",
        at_start=True,
    ),
    "flow mapping": _Saying(
        OPEN_BRACKET,
        f"the map that {_OPEN}",
        "Close it with `}`, or quote the value if it is text.",
        at_start=True,
    ),
    "cannot start any token": _Saying(
        RESERVED_SIGN, "this sign has a meaning of its own in YAML and cannot start a value", _UNQUOTED
    ),
    "an alias": _Saying(
        YAML_ALIAS, "`*` at the start of a value has a meaning of its own in YAML", _UNQUOTED, at_start=True
    ),
    "an anchor": _Saying(
        YAML_ANCHOR, "`&` at the start of a value has a meaning of its own in YAML", _UNQUOTED, at_start=True
    ),
    "tag": _Saying(
        YAML_TAG, "`!` at the start of a value has a meaning of its own in YAML", _UNQUOTED, at_start=True
    ),
    "block scalar": _Saying(
        BLOCK_TEXT,
        "this block of text is indented unevenly",
        "Start every line of the text two spaces right of its field.",
        at_start=True,
    ),
    "flow node": _Saying(
        UNREADABLE_YAML,
        "inside these brackets a value is missing before this sign",
        "Take the sign out, or quote it if it is text.",
    ),
    "parsing a block": _Saying(
        INDENTATION,
        "this line does not fit the lines above it",
        "Line it up with the field or dash it belongs beside.",
    ),
}
"""By words of the parser (of both its implementations); the first that fit are taken."""

_OTHERWISE = _Saying(
    UNREADABLE_YAML,
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
