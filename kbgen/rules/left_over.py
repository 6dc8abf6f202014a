"""What no author meant to be read: remains of other programs, and gaps in a pattern that nobody filled."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from functools import lru_cache
from html.entities import html5

from kbgen.load.discover import SETTINGS
from kbgen.model.entry import Entry
from kbgen.position import Spot
from kbgen.problems import Problem, shown
from kbgen.rules.language import LANGUAGE
from kbgen.rules.look import Look
from kbgen.rules.material import Check, EntryCheck, Material

WEB_MARKUP = LANGUAGE.warning(
    "web-markup",
    "Pasted from a web page, it stands on the page as signs between the words.",
    "means: A burner with a fan,<br>a pump&nbsp;and a controller",
    "means: A burner with a fan, a pump and a controller",
)
PROGRAM_REMAINS = LANGUAGE.warning(
    "program-remains",
    "What the text pointed at is gone, and the reader stands without it.",
    "permission: Shift lead, see Error! Reference source not found.",
    "permission: Shift lead, by telephone",
)
GAP_NOT_FILLED = LANGUAGE.warning(
    "gap-not-filled",
    "Nobody in the plant room knows what should stand there.",
    "title: Pump seized at {{plant}}",
    "title: Pump seized after a long weekend",
)
PARTED_WORD = LANGUAGE.warning(
    "parted-word",
    "A word parted at the end of a line is shown with a blank in it, and no search finds it.",
    "cause: The coil over- heated",
    "cause: The coil overheated",
)
QUOTING_IN_TEXT = LANGUAGE.warning(
    "quoting-in-text",
    "What quotes a value in one way of typing is a sign like any other in the next, and stands on the page.",
    "means: The burner won''t start",
    "means: The burner won't start",
)
REMARK_IN_TEXT = LANGUAGE.warning(
    "remark-in-text",
    "Inside a text everything is text: what somebody noted for himself is published with it.",
    "means: |\n  A contact is open.\n  # ask before we approve",
    "# ask before we approve\nmeans: |\n  A contact is open.",
)

_TAGS = (
    "br|hr|p|div|span|b|i|u|em|strong|a|ul|ol|li|table|tr|td|th|font|sup|sub|img|h[1-6]|script|style|code|pre"
)
_LOUD_TAGS = "BR|DIV|SPAN|FONT|TABLE|IMG|STRONG|SCRIPT"
"""The panel may show the others in angle brackets."""
_JOINING = "and|or|nor|to|than|but|as|y|o|e|u|ni|und|oder|bis|et|ou|à"
_LOOKS = (
    Look(
        WEB_MARKUP,
        "is markup of a web page",
        "Take it out, and type the sign itself where one was meant.",
        re.compile(
            rf"</?(?:{_TAGS}|{_LOUD_TAGS})(?:\s[^<>\n]*)?\s*/?>|<!--|&(?P<entity>[A-Za-z]{{2,8}}|#\d{{2,5}}|#x[0-9A-Fa-f]{{2,5}});"
        ),
    ),
    Look(
        WEB_MARKUP,
        "is markup that is not read here",
        "Write it in plain words; a picture is named under `photos`.",
        re.compile(
            r"!\[[^\]\n]*\]\([^)\n]*\)|~~[^\s~][^~\n]*~~|(?m:^\s*#{2,6}[ \t]+(?=\S))|(?m:^\s*```)|(?m:^\s*-{3,}\s*$)"
            r"|(?<!\w)__[^\W_][^_\n]*__(?!\w)|\[\[[^\[\]\n]+\]\]|\$[^$\n]*\\[A-Za-z]+[^$\n]*\$"
        ),
    ),
    Look(
        PROGRAM_REMAINS,
        "was put there by a program, in place of what is lost",
        "Write what it pointed at, or take it out.",
        re.compile(
            r"\bError! (?:Reference source|Bookmark|No|Unknown|Hyperlink)[^.\n]*\.?"
            r"|¡Error! (?:No se encuentra|Marcador|Referencia)[^.\n]*\.?|#(?:REF|VALUE|NAME|NULL|DIV/0)[!?]|#N/A\b|\[object Object\]"
        ),
    ),
    Look(
        GAP_NOT_FILLED,
        "is a gap that nobody filled",
        "Write what belongs there, or take it out.",
        re.compile(
            r"\{\{[^{}\n]*\}\}|\$\{\w+\}|(?i:lorem ipsum)|(?<![\w-])(?:TODO|TBD|TBC|FIXME|XXX+)(?![\w-])|\?{3,}"
            r"|\A(?:[.…_?–—-]|\s)+\Z"
            r"|[<\[](?i:insert|enter|fill in|your|name of)\s[^<>\[\]\n]*(?:>|\](?!\())"
        ),
    ),
    Look(
        QUOTING_IN_TEXT,
        "opens quotes around the whole text, and they would stand on the page",
        'Take them out; what needs quotes for its colon or comma gets straight ones (") behind the field or dash.',
        re.compile(
            r'\A\s*(?:[“„«](?=[^“”„«»]*[”“»]\s*\Z)|‘(?=[^‘]*’\s*\Z)|"(?=(?:[^"]|"")*"\s*\Z)|\'(?=[^\']*\'\s*\Z))'
        ),
    ),
    Look(
        QUOTING_IN_TEXT,
        "is a doubled quote and would stand there twice",
        "Type it once; it is doubled only inside a value in quotes of the same kind.",
        re.compile(r"""(?<=[^\W\d_])''(?=[^\W\d_])|(?<![\w"])""(?=[^\W_])|(?<=[^\W_])""(?![\w"])"""),
    ),
    Look(
        QUOTING_IN_TEXT,
        "is no line end and no sign here, only a backslash and letters",
        'A backslash means something only between straight double quotes ("); type the line end or the sign itself.',
        re.compile(
            r"""(?<![\w:\\])\\[nrt](?![a-z])|(?<=\w)\\n(?=[A-Z]|\s|\Z)|(?<=[.;!?,])\\[nrt]"""
            r"""|\\u[0-9A-Fa-f]{4}|\\x[0-9A-Fa-f]{2}|\\["']"""
        ),
    ),
    Look(
        REMARK_IN_TEXT,
        "begins no remark inside a text; it would be published",
        "Put the remark above the field, lined up with it; if it is text, write it as a sentence.",
        re.compile(r"(?m:^[ \t]*#[ \t]+(?=\S))|(?<=\s)#[ \t]+(?=[^\W\d_])"),
    ),
    Look(
        PARTED_WORD,
        "is parted behind its stroke, and a blank would stand there",
        "Write both parts on one line, without the blank.",
        re.compile(r"(?<![\w/-])[A-Z][A-Z0-9]*/\s(?=[A-Z][A-Z0-9]*(?![\w-]))"),
    ),
    Look(
        PARTED_WORD,
        "is one word in two",
        "Write it as one; where the hyphen belongs, leave out the blank behind it.",
        re.compile(rf"(?<![\w-])[^\W\d_]{{2,}}-\s(?!(?:{_JOINING})\b)[a-zà-öø-ÿ]{{2,}}"),
    ),
)
_SHOWN_AS_TYPED = re.compile(r"`[^`\n]*`")


def _settings(material: Material) -> Iterator[Problem]:
    for route, kind, text in material.schemas.texts(None, material.settings):
        yield from _found(Spot(SETTINGS, route), text, kind)


def _in(material: Material, entry: Entry) -> Iterator[Problem]:
    for route, kind, text in material.texts(entry):
        yield from _found(Spot(entry.path, route), text, kind)


def _found(spot: Spot, text: str, kind: str) -> Iterator[Problem]:
    if kind == "code":
        # A panel may show anything.
        return
    for look, piece in _seen_in(text, kind):
        # A piece that is wrapped stands in no line as a whole.
        yield look.rule.at(replace(spot, find=piece.split()[0]), f"`{shown(piece)}` {look.what}", look.hint)


# Pages that are written out say the same sentences many times.
@lru_cache(maxsize=2**15)
def _seen_in(text: str, kind: str) -> tuple[tuple[Look, str], ...]:
    """Return what was left over in a text, each with the first piece of it."""
    if kind == "long":
        text = _SHOWN_AS_TYPED.sub(lambda match: "·" * len(match.group()), text)
    found = []
    for look in _LOOKS:
        for match in look.pattern.finditer(text):
            entity = match.groupdict().get("entity") or "#"
            if entity[0] == "#" or f"{entity};" in html5:
                found.append((look, match.group()))
                break
    return tuple(found)


CHECKS: tuple[Check, ...] = (_settings,)
ENTRY_CHECKS: tuple[EntryCheck, ...] = (_in,)
