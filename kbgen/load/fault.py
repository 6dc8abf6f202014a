"""A fault in the text of one file, before it becomes a problem of the knowledge base."""

from __future__ import annotations

from typing import NamedTuple

from kbgen.rule import Family, Rule

DEEPEST = 30
"""Levels of lists and maps inside each other; no entry needs a third of them."""

TOO_DEEP = (f"the entry is nested more than {DEEPEST} levels deep", "Quote the value if it is text.")


class Fault(NamedTuple):
    """One thing wrong with the text.

    Attributes:
        rule: The rule it breaks.
        offset: Where, in code points.
        message: What is wrong.
        hint: What to type instead.
        earlier: Offset of an earlier place that explains it, or ``None``.
        earlier_message: What is there.
    """

    rule: Rule
    offset: int
    message: str
    hint: str
    earlier: int | None = None
    earlier_message: str = ""


FILES = Family(
    "Files",
    "Nothing may change silently between what is typed and what is read.",
    "The bytes, the name and the folder of the file.",
)

INDENTATION = FILES.error(
    "indentation",
    "What a line belongs to is told by its indentation only.",
    "title: A\n  status: draft",
    "title: A\nstatus: draft",
)
COLON_IN_TEXT = FILES.error(
    "colon-in-text",
    "A colon and a blank would start a new field in the middle of a sentence.",
    "means: see: wiring page",
    'means: "see: wiring page"',
)
OPEN_QUOTE = FILES.error(
    "open-quote",
    "Without its second quote the text swallows the rest of the file.",
    'title: "First low water',
    'title: "First low water"',
)
OPEN_BRACKET = FILES.error(
    "open-bracket",
    "Without its second bracket the list swallows the rest of the file.",
    "aliases: [first low, float switch",
    "aliases: [first low, float switch]",
)
MISSING_COLON = FILES.error(
    "missing-colon",
    "A line without its colon is no field.",
    "title First low water",
    "title: First low water",
)
LIST_BESIDE_FIELD = FILES.error(
    "list-beside-field",
    "A list with dashes starts on the line below its field.",
    "aliases: - first low",
    "aliases:\n  - first low",
)
RESERVED_SIGN = FILES.error(
    "reserved-sign", "Some signs cannot start unquoted text.", "title: @panel", 'title: "@panel"'
)
NESTED_TOO_DEEPLY = FILES.error(
    "nested-too-deeply",
    "Nothing in an entry is nested like this.",
    "title: [[[[[[[[[[[[[[[[ ...",
    "title: First low water",
)
YAML_ALIAS = FILES.error(
    "yaml-alias",
    "A text that stands elsewhere cannot be reviewed where it is used.",
    "means: *same",
    "means: The float has sunk.",
)
YAML_ANCHOR = FILES.error(
    "yaml-anchor",
    "A text that is used elsewhere changes there without being seen.",
    "means: &same The float has sunk.",
    "means: The float has sunk.",
)
YAML_TAG = FILES.error(
    "yaml-tag", "A tag would turn text into something else.", "title: !!int 12", 'title: "12"'
)
