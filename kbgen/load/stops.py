"""Say in the author's words why the YAML parser stopped."""

from __future__ import annotations

import yaml

from kbgen.load.fault import Fault

# The parser's own words (of both its implementations) → ours. The place is the parser's problem
# mark, or where the construct began that it could not finish.
_QUOTE = "quote the whole value"
_SAYINGS: tuple[tuple[str, bool, str, str, str], ...] = (
    ("mapping values are not allowed", False, "colon-in-text", "a colon starts a field where none can start", f"{_QUOTE}, or check the indentation"),
    ("sequence entries are not allowed", False, "list-beside-field", "a list with dashes starts on the line below its field", "move the dash to a line of its own"),
    ("expected ':'", True, "missing-colon", "this line has no colon and a blank after a field's name", "type the colon and the blank, or indent the line if it is text"),
    ("scanning a quoted scalar", True, "open-quote", "the quote that opens here is never closed", "close the quote at the end of the value"),
    ("scanning a double-quoted scalar", True, "open-quote", "the quote that opens here is never closed", "close the quote at the end of the value"),
    ("unknown escape", False, "unknown-escape", "a backslash in double quotes has a meaning of its own", "use single quotes"),
    ("escape", False, "unknown-escape", "a backslash in double quotes has a meaning of its own", "use single quotes"),
    ("hexdecimal", False, "unknown-escape", "a backslash in double quotes has a meaning of its own", "use single quotes"),
    ("parsing a flow sequence", True, "open-bracket", "the list that opens here is not closed or not separated by commas", "close it with `]`; quote the value if it is text"),
    ("parsing a flow mapping", True, "open-bracket", "the map that opens here is not closed or not separated by commas", "close it with `}`; quote the value if it is text"),
    ("cannot start any token", False, "reserved-sign", "this sign has a meaning of its own in YAML and cannot start a value", _QUOTE),
    ("scanning an alias", True, "yaml-alias", "`*` at the start of a value has a meaning of its own in YAML", _QUOTE),
    ("scanning an anchor", True, "yaml-anchor", "`&` at the start of a value has a meaning of its own in YAML", _QUOTE),
    ("a tag", True, "yaml-tag", "`!` at the start of a value has a meaning of its own in YAML", _QUOTE),
    ("undefined tag handle", False, "yaml-tag", "`!` at the start of a value has a meaning of its own in YAML", _QUOTE),
    ("scanning a block scalar", True, "block-text", "this block of text is indented unevenly or has text beside its mark", "start the text on the next line, two spaces in"),
    ("parsing a block", False, "indentation", "this line does not fit the lines above it", "line it up with the field or dash it belongs beside"),
)


def explain_stop(stop: yaml.MarkedYAMLError, text: str) -> Fault:
    """Turn the parser's stop into a fault."""
    said = f"{stop.context or ''} {stop.problem or ''}"
    problem, context = stop.problem_mark, stop.context_mark or stop.problem_mark
    for words, at_context, rule, message, hint in _SAYINGS:
        if words in said:
            mark = context if at_context else problem
            return Fault(rule, _inside(mark, text), message, hint)
    return Fault("unreadable-yaml", _inside(problem, text), "the file cannot be read on from here", "check indentation, quotes and brackets of this line and the one above")


def _inside(mark: yaml.Mark | None, text: str) -> int:
    """The mark's offset, moved back to the last sign of the text when it lies behind it."""
    return min(mark.index if mark else 0, max(len(text.rstrip()) - 1, 0))
