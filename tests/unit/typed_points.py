"""Every example that was named for "what is published is what was typed", one file each.

``TOLD``: what must be told, with a piece of what is said. ``KEPT``: a long text and what a reader must see of it.
"""

from __future__ import annotations

from typing import NamedTuple

APPROVED = "status: approved\nreview: [{by: MK, on: 2026-05-04}]\n"
SVG = 'xmlns="http://www.w3.org/2000/svg"'


class Told(NamedTuple):
    """One wrong input.

    Attributes:
        point: The kind of fault.
        path: The file it stands in.
        typed: What the file says; a title and a meaning are added where an entry lacks them.
        says: Line and column, rule, and a piece of the message or hint.
    """

    point: str
    path: str
    typed: str | bytes
    says: tuple[str, str, str]


def _term(name: str, rest: str) -> tuple[str, str]:
    return f"terms/{name}.yaml", f"title: Word {name}\n{rest}"


def _means(point: str, name: str, text: str, *says: str) -> Told:
    place, rule, piece = says
    path, typed = _term(name, f"means: {text}\n")
    return Told(point, path, typed, (place, rule, piece))


def _quantity(name: str, quantity: str, typed: str, hint: str) -> Told:
    text = f"title: Plant {name}\nsettings:\n  - {{title: S, quantity: {quantity}, value: '{typed}', changed_by: nobody}}\n"
    return Told("wrong hints: units", f"equipment/{name}.yaml", text, ("3:", "wrong-quantity", hint))


ITEM = "a list item swallowed"
SIGNS = "long text eats signs"
MARKS = "merge marks, quotes, letters, blanks"
AGAINST = "contradictions"
PRIVATE = "private data"
HINTS = "hints that are wrong"
DRAWINGS = "drawings"
ADDRESSES = "addresses that last"
PATHS = "paths"
LATER = "fresh inputs, by kind"

TOLD = (
    *(
        Told(
            ITEM,
            f"terms/item-{number}.yaml",
            f"title: Item {number}\nmeans: A word.\naliases:\n  - one\n    {mark}two\n",
            ("5:5", "item-in-text", "Line it up with the dash of the item above"),
        )
        for number, mark in enumerate(("- ", "* ", "• ", "– ", "1. ", "+ "))
    ),
    Told(
        ITEM,
        "procedures/pairs.yaml",
        "title: Pairs\nequipment: [heater]\nsteps:\n  - do: Prove it dead.\n    prove_dead: mains\n    between:\n"
        "      - L to earth\n        - N to earth\n",
        ("8:9", "item-in-text", "Line it up with the dash"),
    ),
    Told(
        "a field swallowed",
        "procedures/swallowed.yaml",
        "title: Swallowed\nequipment: [heater]\nsteps:\n  - do: |\n      Read it.\n      measure: volts\n    end: left-safe\n",
        ("6:7", "field-in-text", "`measure:` stands inside the text of `do`"),
    ),
    _means(
        SIGNS,
        "no-empty-line",
        "|\n  Look at:\n  - the glass\n  - the gauge",
        "4:3",
        "text-changed",
        "Put an empty line",
    ),
    _means(
        SIGNS,
        "signed-item",
        "|\n  Read:\n\n  - the glass\n  - 5 V at it\n",
        "6:3",
        "text-changed",
        "If it is a sign",
    ),
    _means(
        MARKS,
        "merge",
        "|\n  One\n    <<<<<<< mine\n  two\n    =======\n  three\n    >>>>>>> theirs",
        "4:5",
        "merge-conflict",
        "Keep one",
    ),
    Told(
        MARKS,
        *_term("curly", "means: A word.\naliases: [“first, low”, cutoff]\n"),
        ("3:", "torn-item", "straight quotes"),
    ),
    Told(
        MARKS,
        *_term("link", "means: A word.\naliases: ['[see](term:word)']\n"),
        ("3:", "markup-in-line", "nothing in `aliases` is markup"),
    ),
    _means(
        MARKS, "invisible", "Low\u200bwater", "2:11", "forbidden-character", "an invisible blank (U+200B)"
    ),
    _means(
        MARKS, "mixed", "What it mеans here", "2:17", "odd-letter", "the e of `mеans` is Cyrillic (U+0435)"
    ),
    Told(
        MARKS,
        "terms/line-break.yaml",
        "title: |\n  One\n  two\nmeans: A word.\n",
        ("1:8", "space-in-line", "is one line"),
    ),
    Told(MARKS, "terms/tab.yaml", 'title: "One\\ttwo"\nmeans: A word.\n', ("1:8", "space-in-line", "a TAB")),
    Told(
        MARKS,
        "terms/outer-blank.yaml",
        'title: "One "\nmeans: A word.\n',
        ("1:8", "space-in-line", "begins or ends"),
    ),
    Told(
        AGAINST,
        "circuits/dc.yaml",
        "title: Dc\nequipment: heater\nsupply: {source: mains, voltage: 24 V DC, current: AC}\npath:\n  - {point: Y1, place: front}\n"
        "  - {load: Valve, impedance: 100 Ω}\n  - {point: Y2}\n",
        ("3:", "current-contradicts", "`24 V DC` says DC, and the circuit is fed with AC"),
    ),
    Told(
        AGAINST,
        "field_notes/day.yaml",
        "title: Day\nequipment: heater\ndate: 2031-01-12\nfault: contact-open\n",
        ("3:7", "day-to-come", "2031-01-12"),
    ),
    _quantity("cold", "temperature", "-300 °C", "no temperature is as low"),
    _quantity("ages", "time", "999999999 d", "no time is as large"),
    Told(
        AGAINST,
        "procedures/reads.yaml",
        "title: Reads\nequipment: [heater]\ncircuit: limits\nsteps:\n"
        "  - {do: Read X1., measure: volts, at: X1, to: X3, reads: 240 V, within: tag, outside: tag}\n"
        "  - {id: tag, do: Hang the tag., end: left-safe}\n",
        ("5:", "reads-above-supply", "`240 V` cannot be read on a circuit of 24 V"),
    ),
    Told(
        AGAINST,
        "equipment/setting.yaml",
        "title: Setting\nsettings:\n  - {title: Opens, quantity: temperature, device: limit-60, value: 75 °C, changed_by: nobody}\n",
        ("3:", "setting-contradicts", "75 °C here, and of Limit 60 °C it says 60 °C"),
    ),
    Told(
        AGAINST,
        "terms/sample.yaml",
        "title: Sample\nmeans: Opens when the boiler water falls below the lowest safe mark.\n" + APPROVED,
        ("2:8", "sample-text", "the sample text of the start"),
    ),
    Told(
        AGAINST,
        "symptoms/completed.yaml",
        "title: Completed\nmeans: At least one contact of the limit string is open.\nlook_first:\n"
        "  - {look: Level in the gauge glass of the boiler, tells: Below the mark the cutoff is doing its job}\n"
        + APPROVED,
        ("2:8", "sample-text", "the sample text of the start"),
    ),
    _means(PRIVATE, "call", "Ask the customer at 555-0142", "2:16", "private-telephone", "telephone number"),
    _means(PRIVATE, "gate", "The gate code is 4711", "2:12", "private-key", "access code"),
    _means(PRIVATE, "key-box", "Key box left of the door, 0815", "2:8", "private-key", "access code"),
    _means(PRIVATE, "alarm", "Alarm code 471100", "2:8", "private-key", "access code"),
    _means(PRIVATE, "password", '"Password: swordfish"', "2:9", "private-key", "a password"),
    _means(PRIVATE, "keys", "The key lies under the door mat", "2:12", "private-key", "a key"),
    _means(
        PRIVATE, "street", "Blocked filter at 12 Mill Street", "2:26", "private-address", "street address"
    ),
    _means(
        PRIVATE, "plate", "The van AB12 CDE stood before the flue", "2:12", "private-vehicle", "number plate"
    ),
    _means(PRIVATE, "wide", "Write to name＠example.org", "2:21", "odd-letter", "fullwidth commercial at"),
    *(
        Told(
            HINTS + ": the opposite is never meant",
            f"symptoms/names-{wrong}.yaml",
            f"title: Names {wrong}\nmeans: A fault.\nsuspects:\n  - device: {wrong}\n",
            ("4:13", "unknown-reference", f"Create devices/{wrong}.yaml"),
        )
        for wrong in ("low-pressure-cutoff", "upstream-valve-switch", "second-limit")
    ),
    Told(
        HINTS,
        *_term("minus", "means: A word.\naliases:\n  - - 5 V\n"),
        ("4:5", "wrong-type", 'If the dash before `5 V` belongs to the text, write "- 5 V"'),
    ),
    *(
        Told(
            HINTS + ": no minus is lost in a field either",
            *_term(f"minus-{depth}", f"means:\n  {'- ' * depth}5 V\n"),
            ("3:3", "wrong-type", 'If the dash before `5 V` belongs to the text, write "- 5 V"'),
        )
        for depth in (1, 2, 3)
    ),
    _quantity("u1", "voltage", "24v", "Write `24 V`."),
    _quantity("u2", "pressure", "1 Bar", "Write `1 bar`."),
    _quantity("u3", "time", "5 MIN", "Write `5 min`."),
    _quantity("u4", "pressure", "250 kpa", "Write `250 kPa`."),
    _quantity("u5", "time", "2 hrs", "Write `2 h`."),
    _quantity("u6", "length", "1/2 in", "Write `0.5 in`."),
    _quantity("u7", "time", "1 h 10 min", "Write `70 min`."),
    Told(PATHS, *_term("con", "means: A word.\n"), ("1:1", "file-name", "a device on Windows")),
    Told(PATHS, *_term("lpt1", "means: A word.\n"), ("1:1", "file-name", "a device on Windows")),
    Told(
        DRAWINGS,
        "photos/script.svg",
        f"<svg {SVG}>\n<script>1</script><path/></svg>",
        ("2:1", "photo-active", "`script`"),
    ),
    Told(
        DRAWINGS,
        "photos/prefix.svg",
        '<s:svg xmlns:s="http://www.w3.org/2000/svg">\n<s:script>1</s:script></s:svg>',
        ("2:1", "photo-active", "`script`"),
    ),
    Told(
        DRAWINGS,
        "photos/utf-16.svg",
        f"<svg {SVG}>\n<script>1</script><path/></svg>".encode("utf-16"),
        ("2:1", "photo-active", "`script`"),
    ),
    Told(
        DRAWINGS,
        "photos/foreign.svg",
        f"<svg {SVG}>\n<foreignObject/><path/></svg>",
        ("2:1", "photo-active", "`foreignObject`"),
    ),
    Told(
        DRAWINGS,
        "photos/click.svg",
        f"<svg {SVG}>\n<path onclick='x()'/></svg>",
        ("2:1", "photo-active", "`onclick`"),
    ),
    Told(
        DRAWINGS,
        "photos/outside.svg",
        f"<svg {SVG}>\n<use href='http://example.org/a.svg'/></svg>",
        ("2:1", "photo-active", "`href` leads to something outside"),
    ),
    Told(DRAWINGS, "photos/empty.svg", "", ("1:1", "photo-unreadable", "the file is empty")),
    Told(DRAWINGS, "photos/broken.svg", f"<svg {SVG}>\n<path", ("2:", "photo-unreadable", "it is damaged")),
    Told(DRAWINGS, "photos/phone.heic", b"\0\0\0\x18ftypheic", ("1:1", "file-name", "Export it as JPEG")),
    Told(
        ADDRESSES,
        *_term("former", "means: A word.\nformer_ids: [index]\n"),
        ("3:14", "file-name", "the list of its kind"),
    ),
    Told(ADDRESSES, *_term("index", "means: A word.\n"), ("1:1", "file-name", "the list of its kind")),
    # What a newcomer typed later, by kind.
    _means(LATER, "degree", "Above 60 \u00baC", "2:17", "odd-letter", "no sign of degrees"),
    _means(LATER, "tabbed", "|\n  code\tmeaning\n  E1\tno air", "3:7", "text-changed", "a TAB stands in"),
    _means(
        LATER, "columns", "|\n  E1      no air\n  E2      no gas", "3:3", "text-changed", "set in columns"
    ),
    _means(
        LATER, "table", "|\n  | code | means |\n  | E1 | no air |", "4:3", "text-changed", "a row of a table"
    ),
    _means(LATER, "no-blank", "|\n  -Look\n  -Listen", "4:3", "text-changed", "without a blank"),
    _means(LATER, "stars", "|\n  *Look\n  *Listen", "4:3", "text-changed", "without a blank"),
    _means(LATER, "heading", "|\n  ## Cause\n  No air.", "3:3", "web-markup", "not read here"),
    _means(LATER, "struck", "Turn it ~~left~~ right", "2:16", "web-markup", "not read here"),
    _means(LATER, "image", "'![panel](photos/panel.png)'", "2:9", "web-markup", "under `photos`"),
    _means(LATER, "formula", "Below $5\\,\\mathrm{V}$ it opens", "2:14", "web-markup", "not read here"),
    _means(LATER, "wiki", "See [[word]] for it", "2:12", "web-markup", "not read here"),
    _means(
        LATER, "apart", "See [it] (term:composed) for it", "2:18", "unknown-link", "[words](term:composed)"
    ),
    _means(
        LATER, "swapped", "See (it)[term:composed] for it", "2:17", "unknown-link", "[words](term:composed)"
    ),
    _means(LATER, "half", "See [it](term:composed for it", "2:17", "unknown-link", "[words](term:composed)"),
    _means(LATER, "todo", "TODO write this", "2:8", "gap-not-filled", "a gap"),
    _means(LATER, "dots", "'...'", "2:", "gap-not-filled", "a gap"),
    _means(PRIVATE, "signed", "Belt broke. Signed John Smith", "2:20", "private-person", "name"),
    _means(PRIVATE, "gps", "Roof unit at 48.1371, 11.5754", "2:21", "private-address", "address"),
    _means(PRIVATE, "flat", "Flat 3b, Rosewood House", "2:8", "private-address", "address"),
    _means(PRIVATE, "spelt", "Door code is four seven one one", "2:8", "private-key", "access code"),
    _means(PRIVATE, "dot", "Write to jo at firm dot com", "2:17", "private-mail", "mail address"),
)

SOUND = {
    "equipment/heater.yaml": "title: Heater\nsources:\n"
    "  - {id: mains, title: Mains, energy: electric, voltage: 24 V, isolate: Q1, prove: Meter, conductors: [L, N]}\n"
    "places: [{id: front, title: Front}]\n",
    "circuits/limits.yaml": "title: Limits\nequipment: heater\nsupply: {source: mains, voltage: 24 V, current: AC}\npath:\n"
    "  - {point: X1, place: front}\n  - {contact: limit-60}\n  - {point: X2}\n  - {load: Valve, impedance: 100 Ω}\n"
    "  - {point: X3}\n",
    "devices/limit-60.yaml": "title: Limit 60 °C\n",
    "devices/high-pressure-cutoff.yaml": "title: High pressure cutoff\n",
    "devices/downstream-valve-switch.yaml": "title: Downstream valve switch\n",
    "devices/first-limit.yaml": "title: First limit\n",
    # Equal but for composition: the second is told when both files can be read.
    "terms/composed.yaml": "title: Caf\u00e9\nmeans: A word.\n",
}

SETTINGS_TOLD = (
    ("language: fr", ("3:11", "wrong-form", "en or es")),
    ("sites:\n  - {id: a, title: A, keys: The gate code is 4711}", ("4:33", "private-key", "access code")),
    (
        "sites:\n  - {id: a, title: A, keys: 'Key box beside the door, 0815'}",
        ("4:", "private-key", "access code"),
    ),
    (
        "sites:\n  - {id: a, title: A, muster: Yard gate; alarm code 471100}",
        ("4:", "private-key", "access code"),
    ),
)
"""What stands in kb.yaml below shop and key."""

KEPT = (
    ("|\n  Set it to\n  - 24 V\n  and wait.", "Set it to - 24 V and wait."),
    ("|\n  Set it to\n  + 24 V\n  and wait.", "Set it to + 24 V and wait."),
    ("|\n  Look at page\n  24. Do\n  nothing.", "Look at page 24. Do nothing."),
    ("Set it to\n  -24 V and wait", "Set it to -24 V and wait"),
    ("24*2*3 and _NC_ and TB_1_2", "24*2*3 and _NC_ and TB_1_2"),
    ("It makes again at 90 psi", "It makes again at 90 psi"),
    ("'<b>24 V</b> &amp; \"x\"'", '<b>24 V</b> &amp; "x"'),
    (
        "Look at X1 in 5 ~ 6 s, and at the dot on it (term:composed) $5",
        "Look at X1 in 5 ~ 6 s, and at the dot on it (term:composed) $5",
    ),
    ("|\n  -x is\n  low.  Then wait", "-x is low. Then wait"),
    ("½ in, 2 m³, μA, ± 10 %, ≥ 40 Ω", "½ in, 2 m³, μA, ± 10 %, ≥ 40 Ω"),
)
"""A meaning as it is typed, and what page, guide and export must show of it."""

ELSEWHERE = (
    (
        "hints: `1 more was found`",
        "tests/unit/views/test_pages.py",
        "test_one_more_device_is_not_called_several",
    ),
    (
        "hints: `It makes again at 90 psi. After every stop`",
        "tests/unit/views/test_pages.py",
        "test_lines_put_behind_each_other_do_not_run_together",
    ),
    ("output: cp1252, ascii", "tests/unit/test_cli_door.py", "test_any_encoding_can_be_written_to"),
    (
        "output: unreadable parent folder",
        "tests/unit/test_cli_door.py",
        "test_a_folder_above_that_cannot_be_entered_is_one_sentence",
    ),
    (
        "output: a name that is not UTF-8",
        "tests/unit/test_cli_door.py",
        "test_a_name_that_is_not_utf_8_is_told_and_hides_no_other",
    ),
    (
        "output: a half-made `.venv` in `make`",
        "tests/unit/test_cli_door.py",
        "test_a_half_made_environment_is_made_anew",
    ),
    (
        "output: a foreign folder beside `--out`",
        "tests/unit/web/test_web_publish.py",
        "test_a_foreign_folder_beside_it_is_never_deleted",
    ),
    (
        "private data: a false alarm accepted with a reason",
        "tests/unit/rules/test_privacy.py",
        "test_a_false_alarm_is_accepted_with_a_reason",
    ),
    (
        "drawings: rewritten by an allow-list",
        "tests/unit/test_photo.py",
        "test_a_drawing_is_written_anew_without_what_nobody_sees",
    ),
    (
        "addresses: anchors by the step's id",
        "tests/unit/views/test_pages.py",
        "test_a_step_put_in_moves_no_anchor_of_a_step_with_an_id",
    ),
    (
        "print: black on white in dark mode",
        "tests/browser/test_web_pages.py",
        "test_paper_is_black_on_white_whatever_the_screen",
    ),
    (
        "print: the edition on every sheet",
        "tests/browser/test_web_pages.py",
        "test_the_edition_stands_on_every_printed_sheet",
    ),
    (
        "screen: turning a phone keeps the step",
        "tests/browser/test_web_pages.py",
        "test_turning_a_phone_keeps_the_step_in_view",
    ),
    ("languages: what `es` gives and does not", "README.md", "## Languages"),
)
"""What a command line cannot show by itself, and the test that holds it."""
