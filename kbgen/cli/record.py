"""Job records as a tablet saves them: read, and refused where they tell whose plant it is."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from kbgen.cli.common import WrongUse
from kbgen.rules.privacy import private_in

_MOST_BYTES = 256 * 1024


@dataclass(frozen=True, slots=True)
class JobRecord:
    """What of a job record becomes a field note.

    Attributes:
        fields: Fields of the note by name.
        wrong: What was said to be wrong at a step: page, step, words.
    """

    title: str
    equipment: str
    fields: dict[str, Any]
    wrong: tuple[tuple[str, str, str], ...]


def read_record(file: Path) -> JobRecord:
    """Read a job record.

    Raises:
        WrongUse: It is none, or it tells whose plant it is; the sentence says which words and what to do.
    """
    try:
        content = file.read_bytes()
        data = json.loads(content) if len(content) <= _MOST_BYTES else None
    except OSError as fault:
        raise WrongUse(f"{file} cannot be read: {fault.strerror}") from fault
    except ValueError as fault:
        raise WrongUse(f"{file} is no job record: {fault}; save it anew on the tablet") from fault
    if not isinstance(data, dict) or data.get("kbgen") != "job-record" or data.get("v") != 1:
        raise WrongUse(f"{file} is no job record; give a file that a tablet saved at the end of a job")
    for text in _texts(data):
        for what in private_in(text):
            raise WrongUse(f"{file} holds {what}; take it out there, and out of the record on the tablet")
    if data.get("practice"):
        raise WrongUse(f"{file} is of practice; nothing was found at a plant")
    try:
        return _made(data)
    except (KeyError, TypeError, ValueError, AttributeError) as fault:
        raise WrongUse(f"{file} is a damaged job record; save it anew on the tablet") from fault


def _made(data: dict[str, Any]) -> JobRecord:
    title = f"Job at {data['plant']}, {data['day']}"
    return JobRecord(
        title=title,
        equipment=str(data["equipment"]),
        fields={
            "title": title,
            "date": str(data["day"]),
            "equipment": str(data["equipment"]),
            "minutes": f"{int(data['minutes'])} min",
            "cause": " ".join(_lines(data)),
        },
        wrong=tuple((each["page"], each["step"], each["text"]) for each in data["wrong"]),
    )


def _lines(data: dict[str, Any]) -> Iterator[str]:
    """Yield what was done, read and left, one line each, without what long text would act upon."""
    for each in data["pages"]:
        yield f"{each['title']}: {each['how'].replace('-', ' ')}."
    for each in data["readings"]:
        values = ", ".join(map(str, each["values"]))
        yield f"{each['what'].replace('`', '')} Read: {values} {each['unit']}".rstrip() + "."
    for each in data["notes"]:
        yield f"{each['label'] or 'Note'}: {each['text']}."
    for each in data["on"]:
        if not each["off"]:
            yield f"Still so: {each['words']}."
    for each in data["outstanding"]:
        yield f"Outstanding: {each}."
    for each in data["added"]:
        yield f"{each['text']}"


def _texts(value: object) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, list):
        for each in value:
            yield from _texts(each)
    elif isinstance(value, dict):
        for each in value.values():
            yield from _texts(each)
