"""The part of ``schema/procedure.schema.json`` that the table of actions says.

The file is written from here (``pytest --update-golden``) and a test holds that it is: editors and the
check of entries read the file, so that the table need not be there before any entry is read.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from kbgen.model.action import TABLE, Row, row_verdicts
from kbgen.model.build import required
from kbgen.model.claims import CLAIMS
from kbgen.model.duties import DUTIES
from kbgen.model.routine import ROUTINES, RoutineRow
from kbgen.model.takes import Names, Takes
from kbgen.model.verdicts import ALL, GONE, WITHIN, Verdicts
from kbgen.model.wording import ANSWERS

_REFERENCES = {Names.DEVICE: "device", Names.CIRCUIT: "circuit", Names.PROCEDURE: "procedure"}


def heads() -> dict[str, Any]:
    """Return the heads of a step: one for each action, with its fields and verdict words."""
    return {row.name: _head(row) for row in TABLE.values()}


def outcome_fields() -> dict[str, Any]:
    """Return what an outcome may claim, and the verdict words it may carry in place of ``go``."""
    return {"claims": _claims(), "are_on": _are_on(), "danger": _danger()} | {
        word: _leads(word) for row in ALL for word in row.words
    }


def _duties() -> str:
    return "What every page must do. " + " ".join(f"{duty.head}: {' '.join(duty.says)}" for duty in DUTIES)


def _claims() -> dict[str, Any]:
    says = (
        "What the reader says of the plant by it, of all that earlier pages may have left. A page that brings energy back or "
        "ends in service asks for it once, right after `identify`, and gives the answer that all is in order every word "
        "that applies. It is followed only where that can be so; what this page itself did, it cannot deny. "
        + " ".join(f"{word}: {meaning}." for word, meaning in CLAIMS.items())
    )
    word = {"type": "string", "enum": list(CLAIMS), "description": "One claim.", "examples": ["trips-proved"]}
    return {
        "type": "array",
        "minItems": 1,
        "items": word,
        "description": says,
        "examples": [["nothing-altered", "trips-proved", "covers-closed"]],
    }


def _are_on() -> dict[str, Any]:
    says = (
        "Sources that are on by this answer, open and without a lock: the answer that a page gives past its own `unlock` and "
        "`restore` of them. It is followed only where that can be so."
    )
    name = {"$ref": "common.schema.json#/$defs/id", "description": "Id of a source.", "examples": ["gas"]}
    return {"type": "array", "minItems": 1, "items": name, "description": says, "examples": [["gas"]]}


def _danger() -> dict[str, Any]:
    says = "Somebody is in danger: it leads to leaving at once, whatever state the plant is in."
    return {"type": "boolean", "description": says, "examples": [True]}


def write_into(schema: dict[str, Any]) -> dict[str, Any]:
    """Put both into the schema of procedures, in place, and return it."""
    step = schema["$defs"]["step"]["x-heads"]
    step["heads"] = heads()
    step["apart"] = {"common": _line(), "heads": {row.name: _routine(row) for row in ROUTINES.values()}}
    fields = step["common"]["properties"]["outcomes"]["items"]["properties"]
    for word in list(fields):
        if word not in ("when", "go", "say", "at_most"):
            del fields[word]
    fields |= outcome_fields()
    # A comment, since the description stands in the sentence about a page without steps.
    schema["properties"]["steps"] |= {
        "description": "The steps in order. A step without a question goes on with the one below it. "
        "A line may be a routine, which stands for many steps: `arrive`, `lock_off`, `hunt`, `put_back` and others. "
        "`kbgen explain --all` begins with what every page must do, and lists them.",
        "$comment": _duties(),
    }
    return schema


def _line() -> dict[str, Any]:
    """Return what every line with a routine can say."""
    step, line = "common.schema.json#/$defs/step_id", "common.schema.json#/$defs/line"
    own = {
        "say": {
            "$ref": "common.schema.json#/$defs/long",
            "description": "Sentences that stand behind the instruction.",
            "examples": ["Two hands on the lever."],
        },
        "expect": {
            "$ref": line,
            "description": "What is seen besides when it is right.",
            "examples": ["The wheel rests."],
        },
        "note_down": {
            "$ref": line,
            "description": "Label of a box to write in, besides what the routine has noted.",
            "examples": ["Lamps after it"],
        },
        "cautions": {
            "type": "array",
            "items": {
                "type": "string",
                "x-reference": "caution",
                "description": "Id of a caution.",
                "examples": ["starts-by-itself"],
            },
            "description": "Cautions besides.",
            "examples": [["starts-by-itself"]],
        },
    }
    adds = {
        "type": "object",
        "description": "Own words for one step of the routine, by what it does. They are added; nothing is replaced.",
        "examples": [{"say": "Two hands on the lever."}],
        "additionalProperties": False,
        "properties": own,
    }
    return {
        "type": "object",
        "description": "What every line with a routine can say.",
        "examples": [{"id": "back", "put_back": ["all"]}],
        "properties": {
            "id": {
                "$ref": "common.schema.json#/$defs/id",
                "description": "A name for the line, where others lead to it or the routine stands on the page twice. "
                "The ids of its steps begin with it in place of the routine's name.",
                "examples": ["back"],
            },
            "go": {
                "$ref": step,
                "description": "Where it leads when all of it is done. Without it, the line below.",
                "examples": ["stop-here"],
            },
            "add": {
                "type": "object",
                "description": "Own words inside the routine, by the deed they belong to.",
                "examples": [{"fan": {"say": "Two hands on the lever."}}],
                "additionalProperties": adds,
            },
        },
    }


def _routine(row: RoutineRow) -> dict[str, Any]:
    takes = row.takes
    needed = required(row.record)
    return {
        "type": "object",
        "description": f"{row.says} Its steps: {row.deeds}.",
        "examples": [{key: takes[key].example for key in needed}],
        "required": needed,
        "properties": {key: _field(each) for key, each in takes.items()},
    }


def _head(row: Row) -> dict[str, Any]:
    takes = row.takes
    verdicts = [word for verdicts in row_verdicts(row) for word in verdicts.words]
    fields = {key: _field(each) for key, each in takes.items()}
    fields |= {word: _leads(word) for word in dict.fromkeys(verdicts)}
    needed = required(row.record)
    example = {key: takes[key].example for key in needed}
    return {
        "type": "object",
        "description": _sentence(row),
        "examples": [example],
        "required": needed,
        **({"x-spared": ["do"]} if row.said_by else {}),
        "properties": fields,
    }


def _sentence(row: Row) -> str:
    parts = [row.says.rstrip(".")]
    parts += [
        f"{word} {said}"
        for word, said in (("Needs", row.needs), ("Gives", row.gives), ("Owes", row.owes))
        if said
    ]
    parts += [f"Answered by {said}" for said in answered_by(row)]
    parts += [spared(row)] if row.said_by else []
    return ". ".join(parts) + "."


def spared(row: Row) -> str:
    """Say that a step with this action needs no words."""
    return f"Without `do` the page takes its words from {row.said_by}"


def answered_by(row: Row) -> list[str]:
    """Say with which verdict words an action is answered, one sentence each where that hangs on what is read."""
    if not isinstance(row.verdicts, Mapping):
        return [_words(each) for each in row_verdicts(row)]
    read: dict[Verdicts, list[str]] = {}
    for word, verdicts in row.verdicts.items():
        read.setdefault(verdicts, []).append(word)
    return [f"{', '.join(words)}: {_words(verdicts)}" for verdicts, words in read.items()]


def _words(verdicts: Verdicts) -> str:
    rows = [verdicts, WITHIN] if verdicts is GONE or verdicts.reads else [verdicts]
    says = " or ".join(
        ", ".join(f"`{word}` ({ANSWERS[word]})" for word in each.words) + f", doubt goes by `{each.doubtful}`"
        for each in rows
    )
    return says if verdicts.must else f"{says}; or an own question whose outcomes lead on by `go`"


def _field(takes: Takes) -> dict[str, Any]:
    one = _one(takes)
    if not isinstance(takes.example, list):
        return {**one, "description": takes.says, "examples": [takes.example]}
    item = {**one, "description": takes.says, "examples": [takes.example[0]]}
    return {
        "type": "array",
        "minItems": 1,
        "items": item,
        "description": takes.says,
        "examples": [takes.example],
    }


def _one(takes: Takes) -> dict[str, Any]:
    names = takes.names
    if names in _REFERENCES and not takes.besides:
        return {"type": "string", "x-reference": _REFERENCES[names], "x-names": str(names)}
    if names is Names.POINT:
        return {"$ref": "common.schema.json#/$defs/mark", "x-names": str(names)}
    if names is Names.STEP:
        return {"$ref": "common.schema.json#/$defs/step_id", "x-names": str(names)}
    if names in (Names.PART, Names.PAIR):
        return {"$ref": "common.schema.json#/$defs/line", "x-names": str(names)}
    if names is Names.TRIPPED:
        return {"type": "string", "minLength": 1, "maxLength": 60, "x-names": str(names)}
    if names is not None:
        return {"$ref": "common.schema.json#/$defs/id", "x-names": str(names)}
    if takes.words:
        return {"type": "string", "enum": list(takes.words)}
    if takes.kind == "time":
        return {"type": "string", "x-quantity": "time"}
    return {"$ref": f"common.schema.json#/$defs/{'id' if takes.kind == 'id' else 'line'}"}


def _leads(word: str) -> dict[str, Any]:
    return {
        "$ref": "common.schema.json#/$defs/step_id",
        "description": f"Id of the step that follows on: {ANSWERS[word]}.",
        "examples": ["leave-safe"],
    }
