"""Every example named for "what is published is what was typed", typed and given to the command line.

What it printed stands in ``tests/data/typed-or-told.md``, which this test holds true.
"""

from __future__ import annotations

import contextlib
import io
import json
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from kbgen.cli import main
from kbgen.outputs.guide import make_binder
from kbgen.pipeline import compile_folder
from kbgen.report import locate
from tests.conftest import Golden
from tests.unit.shops import SETTINGS, as_signed, write_shop
from tests.unit.test_published_as_typed import Published, spaced
from tests.unit.typed_points import APPROVED, ELSEWHERE, KEPT, SETTINGS_TOLD, SOUND, TOLD, Told

LIST = Path(__file__).parents[1] / "data" / "typed-or-told.md"
TODAY = "2026-11-29"
HEAD = f"""\
# What was typed, and what was printed

Every example named for "what is published is what was typed, or the check speaks". Written by
`tests/unit/test_typed_points.py --update-golden`, which also holds it true.

## Told: `kbgen check --today {TODAY}`

| point | file | printed of it |
| --- | --- | --- |
"""


@pytest.fixture(scope="module", autouse=True)
def _all_signed() -> Iterator[None]:
    with as_signed():
        yield


@pytest.fixture(scope="module")
def printed(tmp_path_factory: pytest.TempPathFactory) -> dict[str, list[str]]:
    """What the check prints of every file, one file wrong in each."""
    root = tmp_path_factory.mktemp("typed")
    write_shop(root / "kb", SOUND)
    for case in TOLD:
        file = root / "kb" / case.path
        file.parent.mkdir(exist_ok=True)
        file.write_bytes(case.typed if isinstance(case.typed, bytes) else case.typed.encode())
    return checked(root / "kb")


def checked(kb: Path) -> dict[str, list[str]]:
    """Run the check; every problem as it is printed, by file."""
    with pytest.MonkeyPatch.context() as patch:
        patch.chdir(kb)
        said = captured(["check", "--today", TODAY])
    found: dict[str, list[str]] = {}
    for block in said.split("\n\n"):
        head = re.match(r"([^:\n]+):(\d+:\d+: .*)", block)
        if head:
            hint = re.search(r"^  hint: (.*)$", block, re.MULTILINE)
            found.setdefault(head[1], []).append(f"{head[2]} → {hint[1] if hint else ''}")
    return found


def captured(words: list[str]) -> str:
    out = io.StringIO()
    with contextlib.redirect_stdout(out):
        main(words)
    return out.getvalue()


@pytest.mark.parametrize("case", TOLD, ids=lambda case: case.path)
def test_it_is_told_with_file_line_and_column(case: Told, printed: dict[str, list[str]]) -> None:
    place, rule, piece = case.says
    found = printed.get(case.path, ["nothing"])
    assert any(each.startswith(place) and f"[{rule}]" in each and piece in each for each in found), found


def test_titles_that_are_equal_but_for_composition_are_told(tmp_path: Path) -> None:
    write_shop(tmp_path, {**SOUND, "terms/decomposed.yaml": "title: Cafe\u0301\nmeans: A word.\n"})
    assert "[title-twice]" in checked(tmp_path)["terms/decomposed.yaml"][0]


@pytest.fixture(scope="module")
def settings(tmp_path_factory: pytest.TempPathFactory) -> list[list[str]]:
    """What the check prints of every wrong kb.yaml."""
    root = tmp_path_factory.mktemp("settings")
    files = [{"kb.yaml": f"{SETTINGS}{typed}\n"} for typed, _ in SETTINGS_TOLD]
    return [checked(write_shop(root / str(n), each))["kb.yaml"] for n, each in enumerate(files)]


@pytest.mark.parametrize("number", range(len(SETTINGS_TOLD)))
def test_it_is_told_of_the_settings(number: int, settings: list[list[str]]) -> None:
    place, rule, piece = SETTINGS_TOLD[number][1]
    found = settings[number]
    assert any(each.startswith(place) and f"[{rule}]" in each and piece in each for each in found), found


def test_a_sign_that_no_font_prints_is_told_twice(tmp_path: Path) -> None:
    """The check warns of it on its own line, and the guide is not made rather than printed with a hole."""
    kb = write_shop(
        tmp_path, {"terms/a.yaml": f"title: A\n{APPROVED}means: A word.\naliases: [\u05e9\u05d5\u05d8]\n"}
    )
    found = checked(kb)["terms/a.yaml"]
    assert found[0].startswith("5:11: warning: no font of the pocket guide has the sign")
    made = make_binder(compile_folder(kb), tmp_path / "guide.pdf")
    places = [
        f"{each.path}:{each.line}:{each.column}"
        for each in locate(made.problems, compile_folder(kb).documents)
    ]
    assert set(places) == {"terms/a.yaml:5:11", "terms/a.yaml:5:12", "terms/a.yaml:5:13"}
    assert not (tmp_path / "guide.pdf").exists()


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> Published:
    """The outputs of a shop with a term for every text."""
    terms = {f"terms/k{n}.yaml": f"title: K{n}\n{APPROVED}means: {t}\n" for n, (t, _) in enumerate(KEPT)}
    root = write_shop(tmp_path_factory.mktemp("kept") / "kb", terms)
    compiled = compile_folder(root)
    assert compiled.sound
    return Published(compiled, root.parent)


@pytest.mark.parametrize("number", range(len(KEPT)), ids=lambda number: KEPT[number][1])
def test_it_is_published_as_it_was_typed(number: int, kept: Published) -> None:
    _, shows = KEPT[number]
    assert shows in kept.pages[f"terms/k{number}.html"]
    assert kept.in_guide(shows)
    assert shows == spaced(kept.export[f"terms/k{number}.yaml"]["means"])


@pytest.mark.parametrize(("file", "what"), [row[1:] for row in ELSEWHERE])
def test_what_is_shown_elsewhere_is_shown(file: str, what: str) -> None:
    text = Path(file).read_text(encoding="utf-8")
    assert what in text if file.endswith(".md") else f"def {what}(" in text


def test_the_list_says_what_is_printed(
    printed: dict[str, list[str]], settings: list[list[str]], golden: Golden
) -> None:
    rows = [f"| {case.point} | `{case.path}` | {_cell(_own(case, printed))} |" for case in TOLD]
    rows += [
        f"| settings | `kb.yaml` {_cell(json.dumps(typed))} | {_cell(found[0])} |"
        for (typed, _), found in zip(SETTINGS_TOLD, settings, strict=True)
    ]
    kept_rows = [
        f"| {_cell(json.dumps(typed, ensure_ascii=False))} | {_cell(shows)} |" for typed, shows in KEPT
    ]
    there = [f"| {point} | `{file}` {what} |" for point, file, what in ELSEWHERE]
    text = HEAD + "\n".join(rows)
    text += (
        "\n\n## Kept on page, in the guide and in the export\n\n| typed | shown |\n| --- | --- |\n"
        + "\n".join(kept_rows)
    )
    text += "\n\n## Shown elsewhere\n\n| point | where |\n| --- | --- |\n" + "\n".join(there) + "\n"
    golden(LIST, text)


def _own(case: Told, printed: dict[str, list[str]]) -> str:
    return next(each for each in printed[case.path] if f"[{case.says[1]}]" in each)


def _cell(text: str) -> str:
    return text.replace("|", "\\|")
