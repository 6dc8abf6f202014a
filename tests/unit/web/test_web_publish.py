"""The last good edition stays until a whole new one is ready; foreign folders are never touched."""

from __future__ import annotations

from pathlib import Path

import pytest

from kbgen.render.web.error import WebError
from kbgen.render.web.publish import MARKER, replacing


def publish(out: Path, text: str) -> None:
    with replacing(out) as new:
        (new / "index.html").write_text(text)


def test_a_new_edition_replaces_the_last_one_whole(tmp_path: Path) -> None:
    out = tmp_path / "deep" / "site"
    publish(out, "one")
    (out / "stale.html").write_text("gone with the next")
    publish(out, "two")
    assert sorted(file.name for file in out.iterdir()) == ["index.html", MARKER]
    assert (out / "index.html").read_text() == "two"
    assert [file.name for file in out.parent.iterdir()] == ["site"]


def test_a_failed_build_leaves_the_last_edition(tmp_path: Path) -> None:
    out = tmp_path / "site"
    publish(out, "one")

    def interrupted() -> None:
        with replacing(out) as new:
            (new / "index.html").write_text("half")
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        interrupted()
    assert (out / "index.html").read_text() == "one"
    assert [file.name for file in tmp_path.iterdir()] == ["site"]


def test_a_build_killed_between_the_renames_is_mended_by_the_next(tmp_path: Path) -> None:
    out = tmp_path / "site"
    publish(out, "one")
    out.rename(tmp_path / ".site.old")
    with pytest.raises(ZeroDivisionError), replacing(out):
        raise ZeroDivisionError
    assert (out / "index.html").read_text() == "one"


def test_what_a_killed_build_left_behind_goes(tmp_path: Path) -> None:
    (tmp_path / ".site.new").mkdir()
    (tmp_path / ".site.new" / "half.html").write_text("half")
    (tmp_path / ".site.new" / MARKER).write_text("ours")
    publish(tmp_path / "site", "one")
    assert sorted(file.name for file in (tmp_path / "site").iterdir()) == ["index.html", MARKER]


def test_a_folder_with_other_things_in_it_is_refused(tmp_path: Path) -> None:
    (tmp_path / "thesis.txt").write_text("years of work")
    with pytest.raises(WebError, match="holds files that no build put there"), replacing(tmp_path):
        pass
    assert (tmp_path / "thesis.txt").read_text() == "years of work"


def test_a_file_in_the_way_is_refused(tmp_path: Path) -> None:
    (tmp_path / "site").write_text("a file")
    with pytest.raises(WebError, match="is not a folder"), replacing(tmp_path / "site"):
        pass


def test_an_empty_folder_may_be_filled(tmp_path: Path) -> None:
    (tmp_path / "site").mkdir()
    publish(tmp_path / "site", "one")
    assert (tmp_path / "site" / "index.html").is_file()


@pytest.mark.parametrize("name", [".site.new", ".site.old"])
def test_a_foreign_folder_beside_it_is_never_deleted(tmp_path: Path, name: str) -> None:
    (tmp_path / name).mkdir()
    (tmp_path / name / "thesis.txt").write_text("years of work")
    with pytest.raises(WebError, match="holds files that no build put there"):
        publish(tmp_path / "site", "one")
    assert (tmp_path / name / "thesis.txt").read_text() == "years of work"
