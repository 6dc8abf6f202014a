"""A second process makes values for the first, and is never needed."""

from __future__ import annotations

import os
import shutil
import signal
import threading
from pathlib import Path

import pytest

from kbgen import ahead as module
from kbgen.ahead import ahead
from kbgen.pipeline import compile_folder
from kbgen.program import make_key
from kbgen.store import Store

KEY, MINE = make_key("beside"), make_key("mine")
pytestmark = pytest.mark.skipif(
    not hasattr(os, "sched_getaffinity") or len(os.sched_getaffinity(0)) < 2, reason="there is one processor"
)


@pytest.fixture
def store(tmp_path: Path) -> Store:
    store = Store(tmp_path / "store.sqlite")
    store.fresh = module.MUCH
    return store


def asked(store: Store) -> tuple[str, bool]:
    """Return the value, and whether it had to be made."""
    made: list[int] = []
    return store.value(KEY, lambda: made.append(1) or "made"), bool(made)


def test_what_the_other_made_is_found_and_lasts(store: Store, tmp_path: Path) -> None:
    with ahead(store, lambda: asked(store)):
        assert store.value(MINE, lambda: "mine") == "mine"
    assert asked(store) == ("made", False)
    assert store.fresh == module.MUCH + 2
    store.close()
    with Store(tmp_path / "store.sqlite") as again:
        assert asked(again) == ("made", False)
        assert again.get(MINE) is not None


@pytest.mark.parametrize(
    "breaks", [lambda: 1 / 0, lambda: os.kill(os.getpid(), signal.SIGKILL), lambda: os._exit(0)]
)
def test_what_the_other_could_not_make_is_made_here(store: Store, breaks: object) -> None:
    with ahead(store, lambda: (asked(store), breaks())):  # type: ignore[operator]
        pass
    assert asked(store) == ("made", True)


def test_a_fault_of_the_first_ends_both(store: Store) -> None:
    with pytest.raises(KeyError), ahead(store, threading.Event().wait):
        raise KeyError
    with pytest.raises(ChildProcessError):
        os.waitpid(-1, os.WNOHANG)


def test_nothing_is_begun_where_it_does_not_pay(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(os, "fork", lambda: pytest.fail("a second process"))
    store.fresh -= 1
    with ahead(store, lambda: None):
        pass
    store.fresh += 1
    monkeypatch.setattr(os, "sched_getaffinity", lambda _: {0})
    with ahead(store, lambda: None):
        pass
    with ahead(Store(), lambda: None):
        pass


def test_a_check_says_the_same_with_two_as_with_one(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    folder = tmp_path / "kb"
    shutil.copytree("tests/kb/good/routines", folder)
    for file in folder.glob("*/*.yaml"):
        file.write_text(file.read_text().replace("title: ", "title: Jim's 555 010 0199 "))
    told = []
    for much in (10**9, 0):
        monkeypatch.setattr(module, "MUCH", much)
        with Store(tmp_path / f"{much}.sqlite") as store:
            told.append(compile_folder(folder, store=store).verdict)
    assert told[0] == told[1]
    assert {problem.rule for problem in told[0].problems} >= {"private-telephone"}
