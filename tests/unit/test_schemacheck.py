"""What an author reads when an entry does not fit its schema."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest

from kbgen.load import Loaded, read
from kbgen.load.discover import File
from kbgen.ref import Kind
from kbgen.schemacheck import Checked, check
from kbgen.schemas import Schemas, load_schemas


@pytest.fixture(scope="module")
def schemas() -> Schemas:
    return load_schemas()


def checked(schemas: Schemas, kind: Kind | None, text: str) -> tuple[Checked, list[str]]:
    """Check one document; problems of reading and of the schema as ``line:column rule: message hint``."""
    document, problems = read(File("x.yaml", kind, "x"), text.encode())
    made = check(Loaded(Path(), (document,), (), tuple(problems)), schemas)
    found = [(document.source.resolve(problem.place), problem) for problem in (*problems, *made.problems)]
    found.sort(key=lambda pair: pair[0])
    return made, [f"{place.line}:{place.column} {p.rule}: {p.message}. {p.hint}" for place, p in found]


def said(schemas: Schemas, kind: Kind | None, text: str) -> list[str]:
    return checked(schemas, kind, text)[1]


def data(schemas: Schemas, kind: Kind | None, text: str) -> Any:
    made, lines = checked(schemas, kind, text)
    assert lines == []
    return made.documents[0].data


SYMPTOM = "title: x\nmeans: y\n"


def test_numbers_and_booleans_only_where_the_schema_asks_for_them(schemas: Schemas) -> None:
    typed = data(schemas, None, "shop: 012\nkey: '1'\nreview_months: 12\n")
    assert typed == {"shop": "012", "key": "1", "review_months": 12}
    step = "title: x\nsecond_person: Yes\nsteps:\n  - do: on\n"
    assert data(schemas, Kind.PROCEDURE, step) == {
        "title": "x",
        "second_person": True,
        "steps": [{"do": "on"}],
    }


def test_a_field_of_an_older_form_is_told_with_the_command_that_turns_it(schemas: Schemas) -> None:
    step = (
        "- id: a\n  do: x\n  ask: Dead?\n  outcomes:\n  - {when: a, is: yes, go: x}\n  - {when: b, go: y}\n"
    )
    [line] = said(schemas, Kind.PROCEDURE, f"title: x\nsteps:\n{step}")
    assert "there is no field `is`" in line
    assert "`kbgen migrate`" in line


def test_a_dash_that_may_be_a_minus_sign_is_not_taken_away(schemas: Schemas) -> None:
    [line] = said(schemas, Kind.TERM, "title: x\naliases:\n  - - 5 V\nmeans: y\n")
    assert 'write "- 5 V"' in line


def test_a_number_that_looks_octal_is_asked_about(schemas: Schemas) -> None:
    [line] = said(schemas, None, "shop: x\nkey: y\nreview_months: 012\n")
    assert line.startswith('3:16 ambiguous-number: `012` may mean the number 12 or the text "012".')


def test_one_wrong_word_is_one_report_with_the_allowed_words(schemas: Schemas) -> None:
    assert said(schemas, Kind.SYMPTOM, SYMPTOM + "status: aproved\n") == [
        "3:9 wrong-value: `aproved` is not allowed for `status`. Use approved or draft."
    ]


def test_a_misspelt_field_explains_the_missing_one(schemas: Schemas) -> None:
    assert said(schemas, Kind.SYMPTOM, "titel: x\nmeans: y\n") == [
        "1:1 unknown-field: there is no field `titel`. Did you mean `title`?"
    ]


def test_a_missing_and_an_unrelated_unknown_field_are_two_reports(schemas: Schemas) -> None:
    lines = said(schemas, Kind.SYMPTOM, "means: y\ncolour: red\n")
    assert [line.split(":")[:2] for line in lines] == [["1", "1 missing-field"], ["2", "1 unknown-field"]]
    assert "Add `title:`" in lines[0]


def test_a_field_in_the_wrong_place_is_sent_home(schemas: Schemas) -> None:
    [line] = said(schemas, Kind.SYMPTOM, SYMPTOM + "tells: z\n")
    assert line == "3:1 unknown-field: there is no field `tells`. It belongs under `look_first`."
    [line] = said(schemas, Kind.SYMPTOM, SYMPTOM + "look_first:\n  - look: z\n    behaviours: [q]\n")
    assert line.endswith("It belongs at the top of the entry, without indentation.")


def test_id_and_kind_are_not_typed(schemas: Schemas) -> None:
    lines = said(schemas, Kind.SYMPTOM, SYMPTOM + "id: a\nkind: symptom\n")
    assert [line.split(". ")[1] for line in lines] == [
        "Delete the line: the file name is the id.",
        "Delete the line: the folder is the kind.",
    ]


def test_a_sentence_with_a_colon_in_a_list_of_texts(schemas: Schemas) -> None:
    [line] = said(schemas, Kind.SYMPTOM, SYMPTOM + "behaviours:\n  - Check fuse: F2\n")
    assert line.startswith("4:15 colon-in-text: ")
    assert line.endswith('Quote the whole value: "Check fuse: F2".')


def test_a_comma_inside_unquoted_text_in_braces(schemas: Schemas) -> None:
    [line] = said(schemas, Kind.SYMPTOM, SYMPTOM + "look_first:\n  - {look: Water, steam and gas.}\n")
    assert line.startswith("4:19 unknown-field: there is no field `steam and gas.`")
    assert line.endswith("A comma ends a value inside braces; quote the whole text before it.")


@pytest.mark.parametrize(
    ("field", "expected"),
    [
        (
            "aliases: boiler\n",
            "3:10 wrong-type: `aliases` must be a list, not `boiler`. Put a dash before each item.",
        ),
        ("circuit: [a]\n", "3:10 wrong-type: `circuit` must be one text, not a list."),
        ("circuit: {a: b}\n", "3:10 wrong-type: `circuit` must be one text, not a group of fields."),
        (
            "review: {by: MK, on: 2026-05-04}\n",
            "3:9 wrong-type: `review` must be a list. An older form; `kbgen migrate` writes it anew, and `kbgen sign` signs.",
        ),
        ("look_first:\n  - the glass\n", "4:5 wrong-type: item 1 of `look_first` must be a group of fields"),
        ("circuit:\n", "3:9 empty-value: `circuit` has nothing behind it. Type its value, or delete it."),
        ("aliases:\n", "3:9 empty-value: `aliases` has nothing behind it. Put a dash"),
        ("stage: ''\n", "3:8 empty-value: `stage` is empty."),
        ("stage: The Start\n", "3:8 wrong-form: `The Start` does not fit `stage`. Write it as `the-start`"),
        ("sizes: []\n", "3:8 too-few: `sizes` has no items; at least 1 is needed."),
        (
            f"aliases: [{'x' * 301}]\n",
            "3:11 too-long: item 1 of `aliases` has 301 characters; at most 300 fit.",
        ),
        (
            "look_first: [{look: a, minutes: 3}]\n",
            "3:33 wrong-quantity: `3` has no unit. Write a number and its unit",
        ),
        ("review: [{by: MK, on: 2026-02-30}]\n", "3:23 wrong-date: 30 February 2026 does not exist."),
        ("review: [{by: MK, on: 2026-13-01}]\n", "3:23 wrong-date: there is no month 13."),
        ("review: [{by: MK, on: 9999-12-30}]\n", "3:23 wrong-date: the year 9999 cannot be meant."),
        ("review: [{by: MK, on: 0026-02-03}]\n", "3:23 wrong-date: the year 26 cannot be meant."),
        ("review: [{by: MK, on: 1/2/26}]\n", "3:23 wrong-date: `1/2/26` is not a date."),
    ],
)
def test_one_plain_sentence(schemas: Schemas, field: str, expected: str) -> None:
    [line] = said(schemas, Kind.SYMPTOM, SYMPTOM + field)
    assert line.startswith(expected)


def test_numbers_out_of_range_and_no_numbers(schemas: Schemas) -> None:
    [line] = said(schemas, None, "shop: x\nkey: y\nreview_months: 99\n")
    assert line == "3:16 out-of-range: `review_months` is 99. Give a number of at most 60."
    [line] = said(schemas, None, "shop: x\nkey: y\nreview_months: a year\n")
    assert line.startswith("3:16 wrong-type: `review_months` must be a whole number, not `a year`.")
    [line] = said(schemas, Kind.PROCEDURE, "title: x\nsecond_person: maybe\nsteps: [{do: y}]\n")
    assert line == "2:16 wrong-type: `second_person` must be yes or no, not `maybe`. Type yes or no."


def test_two_actions_in_one_step(schemas: Schemas) -> None:
    text = "title: x\nsteps:\n  - do: y\n    isolate: a\n    measure: volts\n"
    assert said(schemas, Kind.PROCEDURE, text) == [
        "5:5 two-in-one: `isolate` and `measure` stand in one item of `steps`. Make two items of them."
    ]


def test_a_misspelt_action(schemas: Schemas) -> None:
    text = "title: x\nsteps:\n  - do: y\n    mesure: volts\n"
    assert said(schemas, Kind.PROCEDURE, text) == [
        "4:5 unknown-field: there is no field `mesure` in item 1 of `steps`. Did you mean `measure`?"
    ]


def test_a_misspelt_action_that_needs_no_words_is_not_asked_for_any(schemas: Schemas) -> None:
    assert said(schemas, Kind.PROCEDURE, "title: x\nsteps:\n  - loc: gas\n") == [
        "3:5 unknown-field: there is no field `loc` in item 1 of `steps`. Did you mean `lock`?"
    ]
    assert data(schemas, Kind.PROCEDURE, "title: x\nsteps:\n  - lock: gas\n")
    [line] = said(schemas, Kind.PROCEDURE, "title: x\nsteps:\n  - inspect: Panel\n")
    assert line.startswith("3:5 missing-field: `do` is missing")


def test_a_field_of_another_action(schemas: Schemas) -> None:
    text = "title: x\nsteps:\n  - do: y\n    isolate: a\n    reads: 3 V\n"
    [line] = said(schemas, Kind.PROCEDURE, text)
    assert line.endswith("It goes with `measure`; this item is something else.")


CIRCUIT = "title: x\nequipment: a\nsupply: {voltage: 24 V, current: AC}\npath:\n"


def test_parts_of_a_circuit_inside_parallel_groups(schemas: Schemas) -> None:
    good = CIRCUIT + "  - point: A\n  - parallel:\n      - - contact: b\n      - - contact: c\n"
    assert data(schemas, Kind.CIRCUIT, good)
    lines = said(schemas, Kind.CIRCUIT, good + "        - contcat: e\n  - sizes: [f]\n")
    assert [line.split(": ")[0] for line in lines] == ["9:11 unknown-field", "10:5 missing-head"]
    assert "Did you mean `contact`?" in lines[0]
    assert lines[1].startswith(
        "10:5 missing-head: item 3 of `path` does not say what it is. Give it one of point"
    )


def test_a_fault_of_the_text_hides_only_its_own_consequences(schemas: Schemas) -> None:
    lines = said(schemas, Kind.SYMPTOM, "title: Burner #2\nmeans: y\nstatus: aproved\n\tstage: X\n")
    assert [line.split(": ")[0] for line in lines] == ["1:15 hash-in-text", "4:1 tab"]
    lines = said(schemas, Kind.SYMPTOM, "title: Burner #2\nmeans: y\nstatus: aproved\nstage: X Y\n")
    assert [line.split(": ")[0] for line in lines] == [
        "1:15 hash-in-text",
        "3:9 wrong-value",
        "4:8 wrong-form",
    ]


def test_a_broken_entry_is_set_aside_and_still_known(schemas: Schemas) -> None:
    good = read(File("devices/a.yaml", Kind.DEVICE, "a"), b"title: x\ncolour: red\n")[0]
    other = read(File("symptoms/b.yaml", Kind.SYMPTOM, "b"), SYMPTOM.encode())[0]
    loaded = Loaded(Path(), (good, other), (), ())
    made = check(loaded, schemas)
    assert [document.id for document in made.sound] == ["b"]
    assert {ref.id for ref in loaded.known} == {"a", "b"}


def test_no_sentence_uses_a_programmers_words(schemas: Schemas) -> None:
    nonsense = ["a", "[]", "{}", "[a]", "{a: b}", "", "''", "-1", "1.5"]
    for kind in (None, *Kind):
        for name in schemas.of(kind)["properties"]:
            for value in nonsense:
                for line in said(schemas, kind, f"{name}: {value}\n"):
                    words = set(re.split(r"[^A-Za-z]+", line))
                    assert not words & {
                        "oneOf",
                        "anyOf",
                        "None",
                        "True",
                        "False",
                        "dict",
                        "str",
                        "schema",
                        "array",
                        "object",
                    }
                    assert len(line) < 600


def test_a_list_inside_a_list_shows_its_brackets(schemas: Schemas) -> None:
    text = (
        "title: x\nequipment: y\nsupply: {voltage: 120 V, kind: ac}\npath:\n"
        "  - parallel:\n      - contact: a\n      - [{contact: b}]\n"
    )
    lines = [line for line in said(schemas, Kind.CIRCUIT, text) if "wrong-type" in line]
    assert lines == [
        "6:9 wrong-type: item 1 of `parallel` must be a list, not a group of fields. "
        "Each item here is itself a list; put brackets around it: `- [{contact: …}]`."
    ]


def test_a_name_that_is_no_id_gets_the_id_that_was_meant(schemas: Schemas) -> None:
    plant, _ = read(
        File("equipment/p.yaml", Kind.EQUIPMENT, "p"),
        b"title: P\nsizes: [{id: eh-20}]\nsequence: [{id: start-check}]\nsources: [{id: gas}, {id: gas-cock}]\n",
    )

    def hint(kind: Kind, text: str) -> str:
        document, _ = read(File("x.yaml", kind, "x"), text.encode())
        made = check(Loaded(Path(), (document, plant), (), ()), schemas)
        (found,) = [problem for problem in made.problems if problem.rule == "wrong-form"]
        return found.hint

    assert hint(Kind.SYMPTOM, f"{SYMPTOM}sizes: [EH-20]\n") == "Did you mean `eh-20`?"
    assert hint(Kind.SYMPTOM, f"{SYMPTOM}stage: start_check\n") == "Did you mean `start-check`?"
    assert (
        hint(Kind.PROCEDURE, "title: x\nsteps:\n- {do: y, unlock: Gas cock}\n") == "Did you mean `gas-cock`?"
    )
    assert hint(Kind.SYMPTOM, f"{SYMPTOM}stage: Ignition\n") == "Write it as `ignition`."
    assert hint(Kind.PROCEDURE, "title: x\nsteps:\n- {id: Gas cock, do: y}\n") == "Write it as `gas-cock`."


@pytest.mark.parametrize(
    ("value", "expected"),
    [
        ("{quantity: temperature, value: 65 degrees}", "`degrees` is not a unit of temperature"),
        ("{quantity: pressure, value: '100'}", "`100` has no unit"),
        ("{quantity: pressure, value: 100 psi}", None),
        ("{quantity: other, value: at the lower mark}", None),
        ("{value: at the lower mark}", None),
    ],
)
def test_a_setting_has_the_unit_of_what_is_set(schemas: Schemas, value: str, expected: str | None) -> None:
    lines = said(schemas, Kind.EQUIPMENT, f"title: x\nsettings:\n- {value.replace('{', '{title: s, ')}\n")
    found = [line for line in lines if "wrong-quantity" in line]
    assert (expected is None and not found) or (expected or "") in found[0]


def test_a_field_swallowed_by_the_text_above_it(schemas: Schemas) -> None:
    swallowed = "title: x\nmeans: |\n  A contact is open.\n\n  normal_when: After every stop\n"
    [line] = said(schemas, Kind.SYMPTOM, swallowed)
    assert line.startswith("5:3 field-in-text: `normal_when:` stands inside the text of `means`")


@pytest.mark.parametrize(
    ("mark", "field"),
    [
        ("|", "measure: volts"),
        (">", "measure: volts"),
        ("|", "id: next"),
        ("|", "steps:"),
        ("|", "  id: next"),
    ],
)
def test_a_field_swallowed_by_the_text_of_a_step(schemas: Schemas, mark: str, field: str) -> None:
    swallowed = f"title: x\nsteps:\n  - do: {mark}\n      Read it.\n      {field}\n"
    [line] = said(schemas, Kind.PROCEDURE, swallowed)
    assert (
        f"field-in-text: `{field.split(':', maxsplit=1)[0].strip()}:` stands inside the text of `do`" in line
    )
    assert line.startswith("5:")


def test_a_field_swallowed_by_the_text_of_a_map_inside(schemas: Schemas) -> None:
    swallowed = "title: x\nindependent_check:\n  with: Glass\n  do: |\n    Look.\n    real: It is low\n"
    found = said(schemas, Kind.DEVICE, swallowed)
    assert any(line.startswith("6:5 field-in-text: `real:` stands inside the text of `do`") for line in found)


@pytest.mark.parametrize(
    "text", ["Open. normal_when: never", "Seen:\n  made: by hand", "A\n  Title: of the plate", "A\n  title:x"]
)
def test_what_only_looks_like_a_field_is_text(schemas: Schemas, text: str) -> None:
    assert said(schemas, Kind.SYMPTOM, f"title: x\nmeans: |\n  {text}\n") == []
