"""``kbgen migrate`` on folders: what it writes, tells, leaves, and how it ends."""

from __future__ import annotations

import json

import pytest

from kbgen.cli import main
from kbgen.migrate import migrate

EQUIPMENT = "title: Boiler\nsources:\n  - {id: control, energy: electric, conductors: [X1, N]}\n"
PAGE = """\
title: Make safe
equipment: [boiler]
steps:
  - do: Prove it dead.
    prove_dead: control
    ask: Is it dead?
    outcomes:
      - {when: Yes, go: look}
      - {when: No, go: safe}
      - {when: Not sure, go: safe}
  - id: look
    do: Look.
    inspect: Glass
    ask: What do you see?
    outcomes:
      - {when: Water, is: other, go: safe}
      - {when: Not sure, go: safe}
  - {id: safe, do: Hang the tag., end: left-safe}
"""
NEW = PAGE.replace(
    PAGE[PAGE.index("    ask: Is it") : PAGE.index("  - id: look")], "    dead: look\n    live: safe\n"
)
NEW = NEW.replace("is: other, ", "")
ODD = "title: Odd\nequipment: [boiler]\nsteps:\n  - do: Prove.\n    prove_dead: control\n    ask: Is it dead?\n    outcomes:\n      - {when: Yes, go: a}\n      - {when: No, go: b}\n      - {when: Not sure, go: b}\n  - do: See.\n    observe: purge\n    ask: Is it so?\n    outcomes:\n      - {when: Yes, go: a}\n      - {when: Foam, is: other, go: b}\n"


@pytest.fixture
def shop(tmp_path):
    for path, text in {"kb.yaml": "shop: S\nkey: s\n", "equipment/boiler.yaml": EQUIPMENT}.items():
        (tmp_path / path).parent.mkdir(exist_ok=True)
        (tmp_path / path).write_text(text, encoding="utf-8")
    (tmp_path / "procedures").mkdir()
    return tmp_path


def write(shop, name, text):
    (shop / "procedures" / name).write_bytes(text.encode("utf-8"))


def read(shop, name):
    return (shop / "procedures" / name).read_bytes().decode("utf-8")


def test_it_writes_tells_and_changes_nothing_when_run_again(shop, capsys, monkeypatch):
    monkeypatch.chdir(shop)
    write(shop, "make-safe.yaml", PAGE)
    assert main(["migrate"]) == 0
    assert read(shop, "make-safe.yaml") == NEW
    assert capsys.readouterr().out.splitlines() == [
        "procedures/make-safe.yaml:6: question and outcomes became `dead: look`, `live: safe`",
        "procedures/make-safe.yaml:16: outcome `Water`: `is: other` is gone, it leads on by `go`",
        "2 changes made in 1 file, 0 places left for a person",
    ]
    stamp = (shop / "procedures" / "make-safe.yaml").stat().st_mtime_ns
    assert main(["migrate"]) == 0
    assert capsys.readouterr().out == "0 changes made in 0 files, 0 places left for a person\n"
    assert (shop / "procedures" / "make-safe.yaml").stat().st_mtime_ns == stamp


def test_a_dry_run_writes_nothing_and_tells_the_lines_of_the_files_as_they_are(shop, capsys):
    write(shop, "odd.yaml", ODD)
    assert main(["migrate", "--kb", str(shop), "--dry-run", "--json"]) == 1
    told = json.loads(capsys.readouterr().out)
    assert read(shop, "odd.yaml") == ODD
    assert told["files"] == ["procedures/odd.yaml"]
    assert [each["line"] for each in told["changes"]] == [6]
    # No outcome takes doubt at line 13; lines after what shrinks are told as they stand.
    assert [each["line"] for each in told["left"]] == [13]


def test_what_is_left_is_told_with_the_lines_of_the_files_as_they_then_stand(shop, capsys):
    write(shop, "odd.yaml", ODD)
    assert main(["migrate", "--kb", str(shop)]) == 1
    out = capsys.readouterr().out
    assert "odd.yaml:10: no outcome says where not sure leads" in out
    assert read(shop, "odd.yaml").splitlines()[9] == "    ask: Is it so?"


def test_a_byte_order_mark_and_crlf_stay(shop):
    write(shop, "make-safe.yaml", "\ufeff" + PAGE.replace("\n", "\r\n"))
    migrate(shop)
    assert read(shop, "make-safe.yaml") == "\ufeff" + NEW.replace("\n", "\r\n")


@pytest.mark.parametrize(
    ("text", "line"),
    [
        (PAGE.replace("    prove_dead", "\tprove_dead"), 5),
        (PAGE.replace("look}", "look"), 8),
        (PAGE + "title: Again\n", 19),
        (PAGE.replace("go: look", "go: &look look"), 8),
    ],
)
def test_a_file_that_cannot_be_read_is_left_as_it_is(shop, text, line):
    write(shop, "make-safe.yaml", text)
    write(shop, "other.yaml", PAGE)
    done = migrate(shop)
    assert read(shop, "make-safe.yaml") == text
    assert [(each.path, each.line) for each in done.left] == [("procedures/make-safe.yaml", line)]
    assert read(shop, "other.yaml") == NEW


def test_files_that_the_schema_refuses_are_migrated(shop):
    write(shop, "make-safe.yaml", PAGE.replace("title: Make safe", "titel: [Make, safe]\nsteps_too: 1"))
    migrate(shop)
    assert "    dead: look\n" in read(shop, "make-safe.yaml")


@pytest.mark.parametrize("steps", ["steps: none", "steps:", "steps: {a: b}", "steps: [a, [b], {do: c}]"])
def test_shapes_that_the_check_refuses_are_passed_over(shop, steps):
    write(shop, "make-safe.yaml", f"title: T\nequipment: {{a: b}}\n{steps}\n")
    (shop / "equipment" / "boiler.yaml").write_text("title: B\nsources: [a, {energy: electric}]\n")
    done = migrate(shop)
    assert not done.changes
    assert [each.path for each in done.left] == ["equipment/boiler.yaml"]


def test_a_file_that_cannot_be_written_ends_with_a_sentence(shop, capsys, monkeypatch):
    write(shop, "make-safe.yaml", PAGE)

    def refuse(*_):
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr("kbgen.migrate.replace_file", refuse)
    assert main(["migrate", "--kb", str(shop)]) == 2
    assert "permission denied" in capsys.readouterr().err
    assert read(shop, "make-safe.yaml") == PAGE
