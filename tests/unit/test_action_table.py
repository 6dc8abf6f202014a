"""The table of actions is said once: schema, names and words follow it."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

import pytest

from kbgen.link.action_names import in_procedure
from kbgen.model.action import TABLE, Measure
from kbgen.model.action_schema import answered_by, write_into
from kbgen.model.build import head_key
from kbgen.model.procedure import Outcome, ProcedureStep
from kbgen.model.takes import SCOPES, Names
from kbgen.model.verdicts import ALL, WORDS
from kbgen.model.wording import ANSWERS, QUESTIONS
from tests.unit.rules.cases import PROCEDURE, entries_of, linked, problems_of

SCHEMA = Path(__file__).parents[2] / "schema" / "procedure.schema.json"
_YAML_BOOLEANS = {"yes", "no", "on", "off", "true", "false", "y", "n", "null", "~"}


def test_the_schema_is_what_the_table_writes(golden) -> None:
    raw = json.loads(SCHEMA.read_text(encoding="utf-8"))
    golden(SCHEMA, json.dumps(write_into(raw), indent=2, ensure_ascii=False) + "\n")


def test_no_verdict_word_is_a_boolean_or_a_field() -> None:
    fields = {key for row in TABLE.values() for key in row.takes}
    steps = {name.rstrip("_") for record in (ProcedureStep, Outcome) for name in record.__dataclass_fields__}
    assert not set(WORDS) & (_YAML_BOOLEANS | fields | steps)


def test_every_word_and_every_kind_of_name_is_said_in_the_words_of_the_interface() -> None:
    assert set(ANSWERS) == set(WORDS)
    assert set(SCOPES) == set(Names)
    asked = {row.name for row in TABLE.values() if row.verdicts is not None} - {"measure", "watch"}
    assert asked <= set(QUESTIONS)


def test_doubt_never_goes_by_the_word_that_passes_but_for_the_job_check() -> None:
    passing = {row.words for row in ALL if row.doubtful == row.passing}
    assert passing == {("real", "faulty")}


# A good value for every field that names something on the plant of the rule cases.
_GOOD = {
    Names.SOURCE: "control",
    Names.ELECTRIC: "control",
    Names.COVER: "panel-door",
    Names.VALVE: "plant-cock",
    Names.FUEL_POINT: "plug",
    Names.ZONE: "fan-housing",
    Names.SETTING: "operating",
    Names.DEVICE: "filter",
    Names.TRIPPED: "water",
    Names.CIRCUIT: "limits",
    Names.POINT: "X2",
    Names.PAIR: "X1 to N",
}
_OTHER_PLANT = {
    "equipment/other": {
        "title": "Other",
        "sources": [{"id": "strange", "title": "Strange", "energy": "electric", "isolate": "Q9"}],
        "places": [{"id": "strange", "title": "Strange"}],
        "covers": [{"id": "strange", "title": "Strange", "place": "strange"}],
        "fuel_valves": [{"id": "strange", "title": "Strange"}],
        "fuel_points": [{"id": "strange", "title": "Strange"}],
        "zones": [{"id": "strange", "title": "Strange"}],
        "settings": [{"id": "strange", "title": "Strange", "value": "1 psi"}],
    },
    "devices/strange": {"title": "Strange device", "equipment": ["other"]},
    "circuits/strange": {
        "title": "Strange circuit",
        "equipment": "other",
        "supply": {"voltage": "24 V"},
        "path": [],
    },
}


def _fields() -> Iterator[tuple[str, str, Names]]:
    for row in TABLE.values():
        for key, takes in row.takes.items():
            if takes.names in _GOOD:
                yield row.name, key, takes.names


def _step(action: str, field: str, value: str) -> dict[str, object]:
    row = next(row for row in TABLE.values() if row.name == action)
    step: dict[str, object] = {"do": "Do it."}
    for key, takes in row.takes.items():
        good = _GOOD.get(takes.names, takes.example) if takes.names else takes.example
        many = isinstance(takes.example, list) and not isinstance(good, list)
        if key == field:
            step[key] = [value] if isinstance(takes.example, list) else value
        elif key in (head_key(row.record), "at", "name", "from", "to", "with") and key in row.takes:
            step[key] = [good] if many else good
    return step


@pytest.mark.parametrize(("action", "field", "names"), list(_fields()))
def test_a_misspelt_name_is_refused_in_every_field(action: str, field: str, names: Names) -> None:
    wrong = "X2 to Q" if names is Names.PAIR else f"{_GOOD[names]}x"
    base, problems = linked(entries_of([_step(action, field, wrong), "leave"], {}))
    assert {problem.rule for problem in problems} & {"unknown-name", "unknown-reference"}, (wrong, base)


@pytest.mark.parametrize(
    ("action", "field", "names"),
    [each for each in _fields() if each[2] not in (Names.POINT, Names.PAIR, Names.CIRCUIT)],
)
def test_the_name_of_another_plant_is_refused_in_every_field(action: str, field: str, names: Names) -> None:
    content = {**_OTHER_PLANT, PROCEDURE: {"steps": [_step(action, field, "strange"), "leave"]}}
    content.pop("circuits/strange")
    found = problems_of(content)
    assert "unknown-name" in {problem.rule for problem in found}


def test_good_names_are_accepted() -> None:
    for action, field, names in _fields():
        base, _ = linked(entries_of([_step(action, field, _GOOD[names]), "leave"], {}))
        page = next(entry for entry in base.entries.values() if entry.path == f"{PROCEDURE}.yaml")
        wrong = [use for use in in_procedure(base, page.record) if use.name not in use.known]
        assert [use for use in wrong if use.route[-1] == field] == [], (action, field)


def test_a_reading_says_which_words_answer_it() -> None:
    """Ohms are never full or none: nothing on the meter is a closed contact, and no reading an open one."""
    told = {each.partition(":")[0]: each for each in answered_by(TABLE[Measure])}
    (ohms,) = (said for read, said in told.items() if "ohms" in read)
    assert "`within`" in ohms
    assert "`full`" not in ohms
    assert "lead on by `go`" in ohms
    assert "lead on by `go`" not in told["volts"]
