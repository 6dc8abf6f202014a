"""How problems reach a person, a script and a pull request."""

from __future__ import annotations

from pathlib import Path

from kbgen.load import Document, read
from kbgen.load.discover import File
from kbgen.position import Exact, Position, Spot
from kbgen.problems import Problem, Related, Severity
from kbgen.ref import Kind
from kbgen.report import as_github, as_json, as_text, counts, locate, prefix_to
from kbgen.report.text import excerpt
from kbgen.schemacheck.rules import WRONG_VALUE


def document(path: str, text: str) -> Document:
    return read(File(path, Kind.DEVICE, "a"), text.encode())[0]


ONE = document("devices/a.yaml", "title: Gas valve\nstate: shut\n")
TWO = document("devices/b.yaml", "title: Fan\n")
SHUT = WRONG_VALUE.at(Spot("devices/a.yaml", ("state",)), "`shut` is not allowed", "Use open or closed.")


def test_problems_are_sorted_and_identical_ones_shown_once() -> None:
    late = Problem("z", Severity.WARNING, Spot("devices/b.yaml", ("title",)), "m", "h")
    early = Problem("y", Severity.ERROR, Exact("devices/a.yaml", Position(1, 3)), "m", "h")
    nowhere = Problem("x", Severity.ERROR, Exact("circuits"), "m", "h")
    found = locate([late, SHUT, early, SHUT, nowhere], [TWO, ONE])
    assert [(each.path, each.line, each.column) for each in found] == [
        ("circuits", 1, 1),
        ("devices/a.yaml", 1, 3),
        ("devices/a.yaml", 2, 8),
        ("devices/b.yaml", 1, 8),
    ]
    assert counts(found) == "3 errors, 1 warning"


def test_text_shows_place_message_line_caret_hint_and_further_places() -> None:
    fitted = Related(Spot("devices/b.yaml", ("title",), on_key=True), "fitted here")
    problem = WRONG_VALUE.at(SHUT.place, SHUT.message, SHUT.hint, fitted)
    assert as_text(locate([problem], [ONE, TWO]), "shop/") == (
        "shop/devices/a.yaml:2:8: error: `shut` is not allowed [wrong-value]\n"
        "  state: shut\n"
        "         ^\n"
        "  hint: Use open or closed.\n"
        "  see shop/devices/b.yaml:1:1: fitted here\n"
    )


def test_the_caret_lines_up_under_tabs_wide_and_combining_signs() -> None:
    assert excerpt("a\tb", 3) == ["  a\tb", "   \t^"]
    assert excerpt("温度x", 3) == ["  温度x", "      ^"]
    assert excerpt("e\u0301x", 3) == ["  e\u0301x", "   ^"]
    assert excerpt("ab", 3) == ["  ab", "    ^"]


def test_a_long_line_is_cut_around_the_column() -> None:
    line = "x" * 4099 + ":" + "y" * 900
    shown, caret = excerpt(line, 4100)
    assert len(shown) <= 82
    assert shown[caret.index("^")] == ":"
    for column in (1, 2, 40, 79, 80, 81, 82, 4960, 5000):
        digits = "1234567890" * 500
        shown, caret = excerpt(digits, column)
        assert len(shown) <= 82
        assert shown[caret.index("^")] == str(column % 10)


def test_nothing_in_a_file_can_steer_the_terminal() -> None:
    broken = document("devices/a.yaml", "title: a\x1b[2Jb\u202ec\n")
    problem = Problem("r", Severity.ERROR, Exact("devices/a.yaml", Position(1, 9)), "bad \x1b[2J sign", "h")
    shown = as_text(locate([problem], [broken]))
    assert "\x1b" not in shown
    assert "\u202e" not in shown


def test_json_has_the_agreed_names() -> None:
    related = Related(Exact("devices/b.yaml", Position(1, 2)), "there")
    problem = Problem("r", Severity.WARNING, Exact("devices/a.yaml", Position(2, 1)), "m", "h", (related,))
    assert as_json(locate([problem, SHUT], [ONE, TWO]), entries=2, suppressed=1, not_run=("x",)) == {
        "problems": [
            {
                "rule": "r",
                "severity": "warning",
                "path": "devices/a.yaml",
                "line": 2,
                "column": 1,
                "message": "m",
                "hint": "h",
                "related": [{"path": "devices/b.yaml", "line": 1, "column": 2, "message": "there"}],
            },
            {
                "rule": "wrong-value",
                "severity": "error",
                "path": "devices/a.yaml",
                "line": 2,
                "column": 8,
                "message": "`shut` is not allowed",
                "hint": "Use open or closed.",
                "related": [],
            },
        ],
        "summary": {"entries": 2, "errors": 1, "warnings": 1, "suppressed": 1, "not_run": ["x"]},
    }


def test_a_pull_request_gets_one_line_for_each_problem() -> None:
    problem = Problem(
        "r", Severity.ERROR, Exact("devices/a,b.yaml", Position(2, 1)), "100 % wrong\nreally", "Mend it."
    )
    assert as_github(locate([problem], []), "kb/") == (
        "::error file=kb/devices/a%2Cb.yaml,line=2,col=1,title=r::100 %25 wrong%0Areally. Mend it.\n"
    )


def test_paths_lead_from_the_current_folder_to_the_knowledge_base(tmp_path: Path) -> None:
    assert prefix_to(tmp_path, tmp_path) == ""
    assert prefix_to(tmp_path / "kb_source", tmp_path) == "kb_source/"
    assert prefix_to(tmp_path / "a", tmp_path / "b") == "../a/"
