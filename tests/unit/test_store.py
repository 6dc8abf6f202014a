"""The store gives back what was put in, or nothing; whatever is wrong with it, values are made again."""

from __future__ import annotations

import os
import pickle
import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest

from kbgen import store as module
from kbgen.position import Spot
from kbgen.program import make_key
from kbgen.records import dump, load
from kbgen.ref import Kind, Ref
from kbgen.store import Store, open_store

KEY = make_key("a")


@pytest.fixture
def file(tmp_path: Path) -> Path:
    with Store(tmp_path / "store.sqlite") as store:
        store.put(KEY, b"body")
    return tmp_path / "store.sqlite"


def found(file: Path, key: bytes = KEY) -> bytes | None:
    with Store(file) as store:
        return store.get(key)


def test_what_was_put_in_comes_back(file: Path) -> None:
    assert found(file) == b"body"
    assert found(file, make_key("b")) is None


def test_without_a_file_nothing_is_kept() -> None:
    made: list[int] = []
    with Store() as store:
        for _ in range(2):
            assert store.value(KEY, lambda: made.append(1) or "x") == "x"
    assert len(made) == 2


def test_no_two_lists_of_parts_share_a_key() -> None:
    lists = [("a", "b"), ("ab",), ("a", "b", ""), ("", "a", "b"), (b"a", b"b\x00"), ()]
    assert len({make_key(*parts) for parts in lists}) == len(lists)


@pytest.mark.parametrize(
    "damage",
    [
        lambda whole: b"",
        lambda whole: b"\xff" * 5000,
        lambda whole: whole[: len(whole) // 2],
        lambda whole: whole[:4096] + b"\x00" * (len(whole) - 4096),
        lambda whole: whole.replace(b"body", b"bode"),
    ],
    ids=["empty", "noise", "cut", "zeroed", "changed"],
)
def test_what_is_damaged_is_not_believed_and_kept_anew(file: Path, damage: object) -> None:
    file.write_bytes(damage(file.read_bytes()))  # type: ignore[operator]
    with Store(file) as store:
        assert store.value(KEY, lambda: "made") == "made"
    with Store(file) as store:
        assert store.value(KEY, lambda: "again") == "made"


def test_another_layout_is_thrown_away(tmp_path: Path) -> None:
    file = tmp_path / "store.sqlite"
    with sqlite3.connect(file) as base:
        base.execute("CREATE TABLE kept (key, body)")
    assert found(file) is None
    with Store(file) as store:
        store.put(KEY, b"body")
    assert found(file) == b"body"


class _Evil:
    def __reduce__(self) -> object:
        return os.system, ("touch /tmp/kbgen-was-here",)


def test_nothing_but_records_is_made_of_what_is_kept(file: Path) -> None:
    for body in (pickle.dumps(_Evil()), pickle.dumps(subprocess.Popen), pickle.dumps(make_key)):
        with pytest.raises(pickle.UnpicklingError):
            load(body)
        with Store(file) as store:
            store.put(KEY, body)
        with Store(file) as store:
            assert store.value(KEY, lambda: "made") == "made"
    assert not Path("/tmp/kbgen-was-here").exists()


def test_records_enumerations_and_sets_come_back() -> None:
    value = (Spot("a", ("b", 1)), Ref(Kind.DEVICE, "x"), frozenset({1}), {"k": [1.5, None, True]}, 1j)
    assert load(dump(value)) == value


def test_what_was_not_used_for_the_longest_time_goes_first(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = tmp_path / "store.sqlite"
    monkeypatch.setattr(module, "MOST_BYTES", 400_000)
    for day in range(8):
        monkeypatch.setattr(module, "_today", lambda day=day: day)
        with Store(file) as store:
            store.get(make_key("0"))  # used every day
            store.put(make_key(str(day)), os.urandom(100_000))
    assert file.stat().st_size < 500_000
    assert found(file, make_key("0")) is not None
    assert found(file, make_key("1")) is None
    assert found(file, make_key("7")) is not None


def test_what_nobody_used_for_a_month_goes(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    file = tmp_path / "store.sqlite"
    for day in (0, 40):
        monkeypatch.setattr(module, "_today", lambda day=day: day)
        with Store(file) as store:
            store.put(make_key(str(day)), b"secret" if day == 0 else b"x")
    assert found(file, make_key("0")) is None
    assert b"secret" not in file.read_bytes()


def test_two_runs_at_once_do_not_harm_each_other(tmp_path: Path) -> None:
    script = (
        "import sys; from pathlib import Path; from kbgen.program import make_key; from kbgen.store import Store\n"
        "for n in range(30):\n"
        "    with Store(Path(sys.argv[1])) as store:\n"
        "        for k in range(20):\n"
        "            assert store.value(make_key(str(k)), lambda: 'v' * 5000) == 'v' * 5000\n"
        "            store.put(make_key(sys.argv[2], str(n), str(k)), b'x' * 3000)\n"
    )
    file = tmp_path / "store.sqlite"
    runs = [subprocess.Popen([sys.executable, "-c", script, str(file), name]) for name in "abc"]
    assert [run.wait(120) for run in runs] == [0, 0, 0]
    with sqlite3.connect(file) as base:
        assert base.execute("PRAGMA integrity_check").fetchone() == ("ok",)


@pytest.mark.skipif(os.name != "posix", reason="permissions are those of a Unix")
def test_a_folder_that_others_can_write_is_not_believed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    assert open_store().keeps
    assert (tmp_path / "kbgen").stat().st_mode & 0o077 == 0
    assert (tmp_path / "kbgen" / "store.sqlite").stat().st_mode & 0o077 == 0
    (tmp_path / "kbgen").chmod(0o777)
    assert not open_store().keeps


def test_no_store_is_opened_where_it_is_not_wanted(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    assert not open_store(cached=False).keeps
    assert list(tmp_path.iterdir()) == []
