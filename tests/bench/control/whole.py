"""Pages with routines as if their author had written every step: only what is written can be changed."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from kbgen.cli.walk import expanded
from kbgen.compose import compose
from kbgen.read import read_folder
from kbgen.schemas import load_schemas
from kbgen.store import open_store
from tests.bench.control.draft import Data, read

LONGEST = 60
"""Characters that an id may have."""


def written_out(root: Path) -> dict[str, Data]:
    """Return the pages of a knowledge base that have routines, by path, with steps and ids as an author types them."""
    with open_store() as store:
        folder = read_folder(root, load_schemas(), store)
        known = frozenset(entry.ref for entry in folder.entries)
        made = compose(folder.shop, folder.entries, known, store)
    steps = {
        entry.path: read("\n".join(expanded(entry.data["steps"])))["steps"]
        for entry in made.entries
        if entry.path in made.origins
    }
    ids = {Path(path).stem: _typed_ids(each) for path, each in steps.items()}
    return {
        path: {
            **read((root / path).read_text(encoding="utf-8")),
            "steps": [_typed(step, ids, Path(path).stem) for step in each],
        }
        for path, each in steps.items()
    }


def _typed_ids(steps: list[Data]) -> dict[str, str]:
    """Return ids that an author may type, where routines made theirs of several."""
    given = [step["id"] for step in steps if "id" in step]
    ids = {
        name: _fitting(name.replace(".", "-").lower(), number)
        for number, name in enumerate(given)
        if "." in name or len(name) > LONGEST
    }
    assert len({ids.get(name, name) for name in given}) == len(given), "two steps would have one id"
    return ids


def _typed(step: Data, ids: dict[str, dict[str, str]], page: str) -> Data:
    """Give a step the ids of its page, and of the page that it sends to the middle of."""
    # A routine names parts with their signs in `expect`; nobody may type them there.
    plain = {key: value.replace("`", "") if key == "expect" else value for key, value in step.items()}
    typed: Data = _renamed(plain, ids[page])
    if "next" in step and "next_step" in step:
        typed["next_step"] = _renamed(step["next_step"], ids.get(step["next"], {}))
    return typed


def _fitting(name: str, number: int) -> str:
    """Return an id that may be typed: one that is too long ends in its number."""
    return name if len(name) <= LONGEST else f"{name[: LONGEST - 5].rstrip('-')}-{number}"


def _renamed(data: Any, ids: dict[str, str]) -> Any:
    if isinstance(data, dict):
        return {key: _renamed(value, ids) for key, value in data.items()}
    if isinstance(data, list):
        return [_renamed(value, ids) for value in data]
    return type(data)(ids[data]) if data in ids else data
