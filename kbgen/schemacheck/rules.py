"""The rules of fields: what a schema asks for."""

from __future__ import annotations

from kbgen.load.fault import FILES
from kbgen.rule import Family

FIELDS = Family("Fields", FILES.practice, "The entry as typed, and the schema of its kind.")

MISSING_FIELD = FIELDS.error(
    "missing-field",
    "An entry without it says too little to be a page.",
    "aliases: [first low]",
    "title: First low-water cutoff\naliases: [first low]",
)
MISSING_HEAD = FIELDS.error(
    "missing-head",
    "An item that does not say what it is cannot be checked or shown.",
    "path:\n  - {place: panel}",
    "path:\n  - {point: X3:1, place: panel}",
)
TWO_IN_ONE = FIELDS.error(
    "two-in-one",
    "One step does one thing; two actions in one step have no order.",
    "- do: Switch off and lock.\n  isolate: control\n  lock: control",
    "- do: Switch off.\n  isolate: control\n- do: Lock it.\n  lock: control",
)
UNKNOWN_FIELD = FIELDS.error(
    "unknown-field",
    "A misspelt field would be dropped without a word.",
    "caution: [hot-water]",
    "cautions: [hot-water]",
)
EMPTY_VALUE = FIELDS.error(
    "empty-value",
    "Nothing behind the colon may be a line that was forgotten.",
    "title:",
    "title: First low-water cutoff",
)
WRONG_VALUE = FIELDS.error(
    "wrong-value",
    "Only these words mean something to the check and to the page.",
    "dead_state: shut",
    "dead_state: closed",
)
WRONG_TYPE = FIELDS.error(
    "wrong-type",
    "A list, a group of fields and a text are read in different ways.",
    "aliases: first low",
    "aliases: [first low]",
)
WRONG_FORM = FIELDS.error(
    "wrong-form", "Names must work in addresses and in files.", "id: Power Off", "id: power-off"
)
WRONG_QUANTITY = FIELDS.error(
    "wrong-quantity",
    "A number without its unit is read in the unit one is used to.",
    "voltage: 120",
    "voltage: 120 V",
)
WRONG_DATE = FIELDS.error(
    "wrong-date",
    "A day that does not exist hides when something was reviewed.",
    'on: "2026-02-30"',
    'on: "2026-02-28"',
)
WRONG_INTERVAL = FIELDS.error(
    "wrong-interval",
    "Nobody knows when it is due.",
    "every: quarterly-ish",
    "every: 3 months",
)
AMBIGUOUS_NUMBER = FIELDS.error(
    "ambiguous-number",
    "012 is ten to some programs and twelve to others.",
    "review_months: 012",
    "review_months: 12",
)
OUT_OF_RANGE = FIELDS.error(
    "out-of-range", "The value cannot be meant.", "review_months: 0", "review_months: 12"
)
TOO_LONG = FIELDS.error(
    "too-long",
    "It has to fit a heading, a label or a tag.",
    "title: (three hundred words)",
    "title: First low-water cutoff",
)
TOO_SHORT = FIELDS.error(
    "too-short", "It says nothing.", "alt: x", "alt: Terminal strip at the bottom of the panel"
)
TOO_FEW = FIELDS.error(
    "too-few",
    "A list like this needs more to mean something.",
    "outcomes:\n  - {when: 'Yes', go: go-on}",
    "outcomes:\n  - {when: 'Yes', go: go-on}\n  - {when: No or not sure, go: stop}",
)
TOO_MANY = FIELDS.error(
    "too-many",
    "More than this nobody reads.",
    "aliases: [(a hundred names)]",
    "aliases: [first low, float switch]",
)
REPEATED_ITEM = FIELDS.error(
    "repeated-item",
    "The same thing twice is most likely a slip for another.",
    "sizes: [sb-1, sb-1]",
    "sizes: [sb-1, sb-2]",
)
SPACE_IN_LINE = FIELDS.error(
    "space-in-line",
    "A page shows no line end in a line, no tab and no blank at its ends.",
    'title: "First low water "',
    "title: First low water",
)
MARKUP_IN_LINE = FIELDS.error(
    "markup-in-line",
    "Short fields are shown letter by letter: the signs of the markup would stand on the page.",
    "title: The **first** cutoff",
    "title: The first cutoff",
)
FIELD_IN_TEXT = FIELDS.error(
    "field-in-text",
    "A field indented one step too far is swallowed by the text above it, and its own place stays empty.",
    "means: |\n  A contact is open.\n\n  normal_when: After every stop",
    "means: |\n  A contact is open.\nnormal_when: After every stop",
)
TEXT_CHANGED = FIELDS.error(
    "text-changed",
    "What looks like a list, a link or emphasis is read as one, or is not: the page would not say what was typed.",
    "means: |\n  Look at:\n  - the glass\n  - the gauge",
    "means: |\n  Look at:\n\n  - the glass\n  - the gauge",
)
