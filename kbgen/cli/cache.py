"""What the last check of a knowledge base found, so that one without changes is not checked again.

One file for each knowledge base lies in the user's cache folder, never in the knowledge base. It counts
only for the very same bytes read by the very same program, and only while its own checksum is right:
whatever is wrong with it, the check simply runs. Outputs are never made from it.
"""

from __future__ import annotations

import dataclasses
import hashlib
import json
import os
import sys
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from tempfile import NamedTemporaryFile
from typing import Any

from kbgen.load.discover import discover
from kbgen.problems import Severity
from kbgen.report.locate import Located, LocatedRelated
from kbgen.resources import folder

_PROGRAM = Path(__file__).resolve().parent.parent


@dataclass(frozen=True, slots=True)
class Outcome:
    """What a check has to say, once every place is looked up.

    Attributes:
        problems: Located and sorted.
        entries: Number of entries that could be read.
        suppressed: Number of warnings that entries accept with a reason.
        not_run: Names of the checks that could not run.
        edition: Id and date of the edition.
    """

    problems: tuple[Located, ...]
    entries: int
    suppressed: int
    not_run: tuple[str, ...]
    edition: tuple[str, str]


def key_of(root: Path, today: date | None) -> str | None:
    """Return a hash of everything an outcome depends on; ``None`` when a file cannot be read.

    That is the content and name of every file of the knowledge base, the program with its schemas, the
    packages it works with, and the two dates that are asked for.
    """
    digest = hashlib.sha256()

    def add(*parts: str) -> None:
        digest.update(json.dumps(parts).encode())

    try:
        add(sys.version, str(today), os.environ.get("SOURCE_DATE_EPOCH", ""))
        add(*sorted(package.name for where in sys.path for package in Path(where).glob("*.dist-info")))
        for path in (*sorted(_PROGRAM.rglob("*.py")), *sorted(folder("schema").glob("*.json"))):
            add(path.name, _hash(path))
        found = discover(root)
        add(*map(repr, found.problems))
        for name in (*(file.path for file in found.files), *found.photos):
            add(name, _hash(root / name))
    except OSError:
        return None
    return digest.hexdigest()


def _hash(path: Path) -> str:
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def recall(root: Path, key: str) -> Outcome | None:
    """Return the outcome that was remembered under this key, or ``None``."""
    try:
        checksum, _, body = _file(root).read_text(encoding="utf-8").partition("\n")
        if checksum != _checksum(key, body):
            return None
        return _outcome(json.loads(body))
    except (OSError, ValueError, TypeError, KeyError, RecursionError):
        return None


def remember(root: Path, key: str, outcome: Outcome) -> None:
    """Keep an outcome for the next check, in place of the one before; without a fuss if that fails."""
    body = json.dumps(dataclasses.asdict(outcome))
    file = _file(root)
    try:
        file.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        with NamedTemporaryFile("w", encoding="utf-8", dir=file.parent, delete=False) as new:
            new.write(f"{_checksum(key, body)}\n{body}")
        Path(new.name).replace(file)
    except OSError:
        return


def _file(root: Path) -> Path:
    home = os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache"
    name = hashlib.sha256(os.fsencode(root.resolve())).hexdigest()[:32]
    return Path(home) / "kbgen" / f"check-{name}.json"


def _checksum(key: str, body: str) -> str:
    return hashlib.sha256(f"{key}\n{body}".encode()).hexdigest()


def _outcome(data: dict[str, Any]) -> Outcome:
    return Outcome(
        problems=tuple(_located(each) for each in data["problems"]),
        entries=data["entries"],
        suppressed=data["suppressed"],
        not_run=tuple(data["not_run"]),
        edition=(data["edition"][0], data["edition"][1]),
    )


def _located(data: dict[str, Any]) -> Located:
    near = tuple(LocatedRelated(**each) for each in data.pop("related"))
    return Located(**{**data, "severity": Severity(data["severity"]), "related": near})
