"""What the stages before the rules say: reading, schemas, links. They need no check of their own here."""

from __future__ import annotations

from kbgen.problems import Severity
from kbgen.rules.record import Rule

_SILENT = "Nothing may change silently between what is typed and what is read."

# Name, why, before, after.
# fmt: off
_FILES: tuple[tuple[str, str, str, str], ...] = (
    ("no-knowledge-base", "Without kb.yaml nobody knows whose book it is.", "(a folder without kb.yaml)", "kb.yaml"),
    ("settings-name", "Some systems tell KB.yaml from kb.yaml and some do not.", "KB.yml", "kb.yaml"),
    ("unknown-folder", "The folder says what kind of entry a file is; entries elsewhere would be forgotten.", "device/", "devices/"),
    ("misplaced-folder", "Entries lie directly in the folder of their kind; the file name is the id.", "devices/boiler/cutoff.yaml", "devices/cutoff.yaml"),
    ("misplaced-file", "An entry outside the folder of its kind has no kind.", "cutoff.yaml", "devices/cutoff.yaml"),
    ("file-name", "The file name is the id: it becomes an address and must work on every system.", "devices/Low Water.yaml", "devices/low-water.yaml"),
    ("file-name-clash", "Two names that differ only in case or accents are one file elsewhere, and one page overwrites the other.", "devices/LWC.yaml and devices/lwc.yaml", "devices/first-low-water.yaml and devices/second-low-water.yaml"),
    ("symbolic-link", "A link can point at another file on every machine.", "devices/cutoff.yaml -> ../old/cutoff.yaml", "devices/cutoff.yaml (the file itself)"),
    ("unreadable-file", "A file that cannot be read would be left out without a word.", "(no permission to read)", "(readable for everybody)"),
    ("file-too-large", "No entry is this long; it is most likely something pasted in by mistake.", "(one file with everything)", "(one file per entry)"),
    ("not-utf-8", "Signs like ° and µ turn into others when the encoding is guessed.", "(saved as Windows-1252)", "(saved as UTF-8)"),
    ("internal-error", "A fault of the program must name the file and must not hide the other files.", "(any file)", "(report it)"),
    ("empty-file", "An empty file makes an empty page.", "(nothing)", "title: First low-water cutoff"),
    ("not-fields", "An entry is made of fields.", "- First low-water cutoff", "title: First low-water cutoff"),
    ("forbidden-character", "Signs that nobody sees break the search and the print.", "title: First low\\u0007water", "title: First low water"),
    ("merge-conflict", "Both versions of a merge would be read as text.", "<<<<<<< ours\ntitle: A", "title: A"),
    ("tab", "A tab looks like blanks and is not read as such.", "steps:\n\t- do: Shut the cock.", "steps:\n  - do: Shut the cock."),
    ("indentation", "What a line belongs to is told by its indentation only.", "title: A\n  status: draft", "title: A\nstatus: draft"),
    ("hash-in-text", "Everything behind ` #` would be dropped.", "title: Burner #2 locks out", 'title: "Burner #2 locks out"'),
    ("colon-in-text", "A colon and a blank would start a new field in the middle of a sentence.", "means: see: wiring page", 'means: "see: wiring page"'),
    ("folded-list", "The sign > joins lines: a list would become one long sentence.", "do: >\n  1. Shut the cock\n  2. Wait", "do: |\n  1. Shut the cock\n  2. Wait"),
    ("block-text", "A block of text ends where its indentation ends.", "do: |\n    Shut the cock.\n  Wait.", "do: |\n  Shut the cock.\n  Wait."),
    ("open-quote", "Without its second quote the text swallows the rest of the file.", 'title: "First low water', 'title: "First low water"'),
    ("open-bracket", "Without its second bracket the list swallows the rest of the file.", "aliases: [first low, float switch", "aliases: [first low, float switch]"),
    ("text-after-value", "Text behind a closed value belongs to nothing.", 'title: "First" low water', 'title: "First low water"'),
    ("missing-colon", "A line without its colon is no field.", "title First low water", "title: First low water"),
    ("list-beside-field", "A list with dashes starts on the line below its field.", "aliases: - first low", "aliases:\n  - first low"),
    ("reserved-sign", "Some signs cannot start unquoted text.", "title: @panel", 'title: "@panel"'),
    ("unknown-escape", "A backslash in double quotes has a meaning of its own.", 'title: "\\q"', "title: '\\q'"),
    ("nested-too-deeply", "Nothing in an entry is nested like this.", "title: [[[[[[[[[[[[[[[[ ...", "title: First low water"),
    ("second-document", "Three dashes start a second entry, and the file name can be the id of one only.", "title: A\n---\ntitle: B", "title: A"),
    ("repeated-field", "Of two fields of one name the first would be dropped, and with it perhaps a caution.", "cautions: [hot-water]\ncautions: []", "cautions: [hot-water]"),
    ("field-name", "The name of a field is one plain word.", "? [a, b]\n: c", "title: c"),
    ("yaml-alias", "A text that stands elsewhere cannot be reviewed where it is used.", "means: *same", "means: The float has sunk."),
    ("yaml-anchor", "A text that is used elsewhere changes there without being seen.", "means: &same The float has sunk.", "means: The float has sunk."),
    ("yaml-merge", "Fields merged in from elsewhere cannot be reviewed where they are used.", "<<: *common", "equipment: [ondrel-sb]"),
    ("yaml-tag", "A tag would turn text into something else.", "title: !!int 12", 'title: "12"'),
    ("yaml-directive", "Directives are for programs.", "%YAML 1.1", "title: A"),
    ("unreadable-yaml", "From here on the file cannot be read.", "title: }", 'title: "}"'),
)
_FIELDS: tuple[tuple[str, str, str, str], ...] = (
    ("missing-field", "An entry without it says too little to be a page.", "aliases: [first low]", "title: First low-water cutoff\naliases: [first low]"),
    ("missing-head", "An item that does not say what it is cannot be checked or shown.", "path:\n  - {place: panel}", "path:\n  - {point: X3:1, place: panel}"),
    ("two-in-one", "One step does one thing; two actions in one step have no order.", "- do: Switch off and lock.\n  isolate: control\n  lock: control", "- do: Switch off.\n  isolate: control\n- do: Lock it.\n  lock: control"),
    ("unknown-field", "A misspelt field would be dropped without a word.", "caution: [hot-water]", "cautions: [hot-water]"),
    ("empty-value", "Nothing behind the colon may be a line that was forgotten.", "title:", "title: First low-water cutoff"),
    ("wrong-value", "Only these words mean something to the check and to the page.", "dead_state: shut", "dead_state: closed"),
    ("wrong-type", "A list, a group of fields and a text are read in different ways.", "aliases: first low", "aliases: [first low]"),
    ("wrong-form", "Names must work in addresses and in files.", "id: Power Off", "id: power-off"),
    ("wrong-quantity", "A number without its unit is read in the unit one is used to.", "voltage: 120", "voltage: 120 V"),
    ("wrong-date", "A day that does not exist hides when something was reviewed.", 'on: "2026-02-30"', 'on: "2026-02-28"'),
    ("ambiguous-number", "012 is ten to some programs and twelve to others.", "review_months: 012", "review_months: 12"),
    ("out-of-range", "The value cannot be meant.", "review_months: 0", "review_months: 12"),
    ("too-long", "It has to fit a heading, a label or a tag.", "title: (three hundred words)", "title: First low-water cutoff"),
    ("too-short", "It says nothing.", "alt: x", "alt: Terminal strip at the bottom of the panel"),
    ("too-few", "A list like this needs more to mean something.", "outcomes:\n  - {when: 'Yes', go: go-on}", "outcomes:\n  - {when: 'Yes', go: go-on}\n  - {when: No or not sure, go: stop}"),
    ("too-many", "More than this nobody reads.", "aliases: [(a hundred names)]", "aliases: [first low, float switch]"),
    ("repeated-item", "The same thing twice is most likely a slip for another.", "sizes: [sb-1, sb-1]", "sizes: [sb-1, sb-2]"),
)
_REFERENCES: tuple[tuple[str, str, str, str], ...] = (
    ("unknown-reference", "A link to an entry that does not exist leads the reader nowhere.", "device: frist-low-water", "device: first-low-water"),
    ("unknown-link", "A link whose kind is misspelt would show as plain text.", "[cutoff](devices:first-low-water)", "[cutoff](device:first-low-water)"),
    ("unknown-name", "Sizes, sources, covers, valves, points and steps are named exactly as they are listed.", "isolate: contrl", "isolate: control"),
    ("id-used-twice", "An old address must lead to one entry.", "former_ids: [float-switch]  # in two entries", "former_ids: [float-switch]  # in one of them"),
    ("unknown-photo", "A picture that is not there leaves a hole in the page.", "file: panel.png  # not in photos/", "file: panel-sb.png"),
)
_PHOTOS: tuple[tuple[str, str, str, str], ...] = (
    ("photo-unreadable", "A picture that cannot be opened leaves a hole in the page.", "photos/panel.png (damaged)", "photos/panel.png (saved anew)"),
    ("photo-active", "A drawing with a script runs it on every tablet.", "<svg onload=...>", "(a plain SVG)"),
    ("photo-private-data", "A phone writes where and when a photo was taken into the file: where a customer lives.", "photos/panel.jpg (straight from the phone)", "photos/panel.png (written anew)"),
)

# fmt: on


def _records(family: str, rests_on: str, rows: tuple[tuple[str, str, str, str], ...]) -> tuple[Rule, ...]:
    return tuple(
        Rule(name, family, Severity.ERROR, why, before, after, rests_on) for name, why, before, after in rows
    )


RULES: tuple[Rule, ...] = (
    *_records("Files", _SILENT, _FILES),
    *_records("Fields", _SILENT, _FIELDS),
    *_records("References", "Whatever is named exists.", _REFERENCES),
    *_records("Photos", "Privacy of the customer; nothing published runs code.", _PHOTOS),
    Rule(
        name="review-overdue",
        family="Reviews",
        severity=Severity.WARNING,
        why="Plant and codes change; a write-up nobody has read for a year may be wrong.",
        before='review: {by: MK, on: "2024-01-10"}',
        after='review: {by: MK, on: "2026-01-12"}',
        rests_on="Review of safety instructions at fixed intervals.",
    ),
    Rule(
        name="day-to-come",
        family="Reviews",
        severity=Severity.WARNING,
        why="A mistyped year becomes the date of the edition, and the review never runs out.",
        before='review: {by: MK, on: "2126-01-12"}',
        after='review: {by: MK, on: "2026-01-12"}',
        rests_on="Review of safety instructions at fixed intervals.",
    ),
)
