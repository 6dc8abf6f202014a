"""Job records as a tablet saves them: read, and refused where they tell whose plant it is."""

from __future__ import annotations

import base64
import hashlib
import json
import re
import zlib
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

from kbgen.cli.common import WrongUse
from kbgen.rules.privacy import private_in

_MOST_BYTES = 256 * 1024
_CODE = re.compile(rb"\bKBJ1\.([A-Za-z0-9_-]+)")
"""What a QR code of a record says: the record as JSON, deflated, in base64 for addresses."""
_ACTED_UPON = str.maketrans("", "", "`*[]<>\\")
"""Signs that long text would act upon."""
NO_WORD = "No word was given"


@dataclass(frozen=True, slots=True)
class JobRecord:
    """What of a job record becomes a field note, and perhaps a machine.

    Attributes:
        file: Where it was read from.
        day: Day of the job, in ISO 8601.
        machine: Id of the machine as the tablet offered it; empty where it was typed.
        number: What the machine was called: its number, or a name of one's own.
        size: Id of the size; empty where it is not known.
        named: Ids of entries that the record names, by the field of the note they go into.
        fields: Other fields of the note by name.
        outstanding: What was left to do, in words.
    """

    file: Path
    title: str
    day: str
    equipment: str
    machine: str
    number: str
    size: str
    named: dict[str, str]
    fields: dict[str, Any]
    outstanding: tuple[str, ...]


Words = Callable[[str, str], str]
"""Gives the words of a step, by its page and the step's place."""


def read_record(file: Path, words: Words) -> JobRecord:
    """Read a job record: the file a tablet saved, or a text with what its QR code says.

    Args:
        words: Asked for what a code leaves out to stay small.

    Raises:
        WrongUse: It is none, or it tells whose plant it is; the sentence says which words and what to do.
    """
    try:
        content = file.read_bytes()
    except OSError as fault:
        raise WrongUse(f"{file} cannot be read: {fault.strerror}") from fault
    data = _data(file, content)
    if not isinstance(data, dict) or data.get("kbgen") != "job-record" or data.get("v") != 1:
        raise WrongUse(f"{file} is no job record; give a file that a tablet saved at the end of a job")
    for text in _texts(data):
        for what in private_in(text):
            raise WrongUse(
                f"{file} holds {what} in “{text[:60]}”; take it out there, and out of the record on the tablet"
            )
    if data.get("practice"):
        raise WrongUse(f"{file} is of practice; nothing was found at a plant")
    try:
        return _made(file, data, words)
    except (KeyError, TypeError, ValueError, AttributeError, OverflowError) as fault:
        raise WrongUse(f"{file} is a damaged job record; save it anew on the tablet") from fault


def _data(file: Path, content: bytes) -> Any:
    if len(content) > _MOST_BYTES:
        return None
    if found := _CODE.search(content):
        try:
            packed = base64.urlsafe_b64decode(found[1] + b"=" * (-len(found[1]) % 4))
            # No more than so much: a code holds a few kilobytes, whatever it says it holds.
            reader = zlib.decompressobj(-zlib.MAX_WBITS)
            content = reader.decompress(packed, _MOST_BYTES)
            whole = reader.eof
        except (ValueError, zlib.error):
            whole = False
        if not whole:
            raise WrongUse(f"{file} holds a part of a code only; scan it anew and save all that it says")
    try:
        return json.loads(content)
    except (ValueError, RecursionError) as fault:
        raise WrongUse(f"{file} is no job record: {fault}; save it anew on the tablet") from fault


def _made(file: Path, data: dict[str, Any], words: Words) -> JobRecord:
    number, day = _text(data["plant"]), _text(data["day"])
    if date.fromisoformat(day).isoformat() != day:
        raise ValueError(day)
    # The number stands in `plant:` alone: an edition without the machines shows the titles of notes.
    title = f"Job of {day}, {_mark(data)}"
    found = data.get("found") or {}
    fields: dict[str, Any] = {"minutes": f"{_minutes(data['minutes'])} min"}
    if lines := list(_lines(data, words)):
        fields["cause"] = "\n".join(f"- {each}" for each in lines)
    if remarks := list(_remarks(data)):
        fields["remarks"] = remarks
    return JobRecord(
        file=file,
        title=title,
        day=day,
        equipment=_text(data["equipment"]),
        machine=_text(data.get("machine") or ""),
        number=number,
        size=_text(data.get("size") or ""),
        named={name: _text(found[name]) for name in ("symptom", "device") if found.get(name)},
        fields=fields,
        outstanding=tuple(_plain(each) for each in _left(data)),
    )


def _text(value: object) -> str:
    """Return what must be text; a list or a number is no name of anything."""
    if not isinstance(value, str):
        raise TypeError(value)
    return value


def _minutes(value: object) -> int:
    if not isinstance(value, int) or isinstance(value, bool) or not 1 <= value < 100_000:
        raise ValueError(value)
    return value


def _mark(data: dict[str, Any]) -> str:
    """Return a short mark of a job: the same for the file and the code of it, another for another job of that day."""
    said = [data.get(name) for name in ("equipment", "plant", "machine", "minutes", "who", "found")]
    pages = [[each["page"], each["how"]] for each in data.get("pages", ())]
    return hashlib.sha256(json.dumps([said, pages], sort_keys=True).encode()).hexdigest()[:6]


def _remarks(data: dict[str, Any]) -> Iterator[dict[str, str]]:
    """Yield the steps that were said to be wrong, as the field note holds them."""
    for each in data.get("wrong", ()):
        said = _plain(each.get("text", "")) or NO_WORD
        photo = f" (photo: {_plain(each['photo'])})" if each.get("photo") else ""
        remark = {"page": _text(each["page"]), "step": _place(each), "said": said + photo}
        if edition := each.get("edition") or data.get("edition"):
            remark["edition"] = _text(edition)
        yield remark


def _left(data: dict[str, Any]) -> Iterator[str]:
    yield from (each["words"] for each in data.get("on", ()) if not each.get("off"))
    yield from data.get("outstanding", ())


def _lines(data: dict[str, Any], words: Words) -> Iterator[str]:
    """Yield what was found, done, read and left, one line each."""
    found = data.get("found") or {}
    for name in ("fault", "cause"):
        if found.get(name):
            yield _sentence(found[name])
    for each in data.get("pages", ()):
        yield _sentence(f"{each['title']}: {each['how'].replace('-', ' ')}")
    for each in data.get("readings", ()):
        values = ", ".join(map(str, each["values"]))
        meter = f" ({each['meter']})" if each.get("meter") else ""
        what = each.get("what") or words(each["page"], _place(each))
        yield _sentence(f"{what} Read: {values} {each.get('unit', '')}".rstrip() + meter)
    for each in data.get("notes", ()):
        yield _sentence(f"{each.get('label') or 'Note'}: {each['text']}")
    for each in data.get("on", ()):
        if not each.get("off"):
            yield _sentence(f"Still so: {each['words']}")
    for each in data.get("outstanding", ()):
        yield _sentence(f"Outstanding: {each}")
    for each in data.get("added", ()):
        beside = f"Added to “{each['of']}”: " if each.get("of") else ""
        yield _sentence(beside + each["text"])


def _place(said: dict[str, Any]) -> str:
    return _text(said["step"]).removeprefix("step-")


def _sentence(text: str) -> str:
    said = _plain(text)
    return said if said.endswith((".", "!", "?")) else f"{said}."


def _plain(text: str) -> str:
    """Return a text on one line, without what long text would act upon."""
    return " ".join(text.translate(_ACTED_UPON).split())


def _texts(data: object) -> Iterator[str]:
    # Not by calling itself: a wrong file may nest deeper than that reaches.
    left = [data]
    while left:
        value = left.pop()
        if isinstance(value, str):
            yield value
        elif isinstance(value, list | dict):
            left.extend(value if isinstance(value, list) else value.values())
