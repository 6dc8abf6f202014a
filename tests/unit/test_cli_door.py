"""One door for output: no terminal's encoding and no refusal of the system ends in a traceback."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.unit.shops import write_shop


def run(root: Path, *words: str, encoding: str = "utf-8") -> subprocess.CompletedProcess[bytes]:
    environment = {**os.environ, "PYTHONIOENCODING": encoding, "PYTHONUTF8": "0"}
    return subprocess.run(
        [sys.executable, "-m", "kbgen", *words], cwd=root, env=environment, capture_output=True, check=False
    )


@pytest.mark.parametrize("encoding", ["ascii", "cp1252", "cp437", "utf-8"])
def test_any_encoding_can_be_written_to(tmp_path: Path, encoding: str) -> None:
    write_shop(tmp_path, {"terms/a.yaml": "title: Δp → 漢 mеans\nmeans: B\n"})
    text = run(tmp_path, "check", encoding=encoding)
    assert (text.returncode, text.stderr) == (1, b"")
    assert b"odd-letter" in text.stdout
    data = json.loads(run(tmp_path, "check", "--json", encoding=encoding).stdout.decode(encoding))
    assert "mеans" in data["problems"][0]["message"]


def test_what_the_system_refuses_is_one_sentence(tmp_path: Path) -> None:
    done = run(tmp_path, "check", "--kb", "x" * 300)
    assert done.returncode == 2
    assert done.stderr.startswith(b"kbgen: ")
    assert b"Traceback" not in done.stderr


def closed(folder: Path) -> list[str]:
    """Close a folder; return what a command must begin with so that also the superuser stands outside."""
    folder.chmod(0)
    return ["setpriv", "--bounding-set=-dac_override,-dac_read_search"] if os.geteuid() == 0 else []


@pytest.mark.parametrize(
    "words",
    [
        "check --kb in/kb",
        "check --kb in/kb --json",
        "check --kb in",
        "build --kb in/kb --out site",
        "build --kb kb --out in/site",
        "guide --kb kb --out in/guide.pdf",
        "export --kb in/kb --out x.json",
        "export --kb kb --out in/x.json",
        "search --kb in/kb gauge",
        "migrate --kb in/kb",
        "new shop in/kb2",
        "new term --kb in/kb Title",
        "new photo --kb kb in/a.png",
    ],
)
def test_a_folder_above_that_cannot_be_entered_is_one_sentence(tmp_path: Path, words: str) -> None:
    write_shop(tmp_path / "kb", {})
    write_shop(tmp_path / "in/kb", {})
    first = closed(tmp_path / "in")
    try:
        done = subprocess.run(
            [*first, sys.executable, "-m", "kbgen", *words.split()],
            cwd=tmp_path,
            capture_output=True,
            text=True,
            check=False,
        )
    finally:
        (tmp_path / "in").chmod(0o700)
    said = done.stdout + done.stderr
    assert done.returncode in (1, 2)
    assert "permission denied" in said.lower()
    assert "Traceback" not in said
    assert words == "check --kb in" or (said.startswith("kbgen: in") and said.count("\n") == 1)
    assert list((tmp_path / "in").iterdir()) == [tmp_path / "in/kb"]


@pytest.mark.parametrize("words", ["check", "check --json", "build --out site", "migrate"])
@pytest.mark.parametrize("name", [b"terms/a\xff.yaml", b"ter\xffms/a.yaml", b"photos/\xe9.png", b"\xfe.yaml"])
def test_a_name_that_is_not_utf_8_is_told_and_hides_no_other(tmp_path: Path, words: str, name: bytes) -> None:
    write_shop(tmp_path, {"terms/b.yaml": "title: B #2\nmeans: B\n"})
    file = tmp_path / os.fsdecode(name)
    file.parent.mkdir(exist_ok=True)
    file.write_text("title: A\nmeans: B\n")
    done = run(tmp_path, *words.split())
    said = (done.stdout + done.stderr).decode()
    assert "Traceback" not in said
    if words == "migrate":
        return
    assert done.returncode == 1
    assert "terms/b.yaml" in said
    assert "\ufffd" in said or "\\ufffd" in said


def test_a_place_whose_name_is_not_utf_8_is_read_and_is_not_written_to(tmp_path: Path) -> None:
    strange = os.fsdecode(b"sh\xffop")
    assert run(tmp_path, "new", "shop", "shop").returncode == 0
    (tmp_path / "shop").rename(tmp_path / strange)
    assert run(tmp_path, "check", "--kb", strange).returncode == 0
    assert run(tmp_path, "build", "--kb", strange, "--out", "site").returncode == 0
    for words in ("new shop", "build --out", "export --out"):
        name, *option = words.split()
        kb = ["--kb", strange] if name != "new" else []
        done = run(tmp_path, name, *kb, *option, os.fsdecode(b"o\xfe"))
        assert done.returncode == 2
        assert done.stderr.startswith(b"kbgen: o\\udcfe cannot be written: a name in its path is not UTF-8")
    assert sorted(path.name for path in tmp_path.iterdir()) == sorted((strange, "site"))


HALF_MADE = {
    "without pip": "#!/bin/sh\nexit 1\n",
    "whose pip is the machine's own": "#!/bin/sh\necho pip 23.0\n",
    "empty": "",
    "of a Python that is gone": None,
}


@pytest.mark.parametrize("half", HALF_MADE)
def test_a_half_made_environment_is_made_anew(tmp_path: Path, half: str) -> None:
    (tmp_path / "Makefile").write_text(Path("Makefile").read_text())
    for name in ("requirements.lock", "pyproject.toml"):
        (tmp_path / name).touch()
    sound = "#!/bin/sh\nexit 0\n"
    make = tmp_path / "python"
    # Stands for a Python: makes an environment whose programs do nothing, and only into an empty place.
    make.write_text(
        '#!/bin/sh\n[ "$1" = -m ] || exit 0\n[ -e .venv ] && exit 1\nmkdir -p .venv/bin\n'
        "for each in python pip; do printf '#!/bin/sh\\nexit 0\\n' > .venv/bin/$each; "
        "chmod +x .venv/bin/$each; done\n"
    )
    make.chmod(0o755)
    program = tmp_path / ".venv/bin/python"
    program.parent.mkdir(parents=True)
    content = HALF_MADE[half]
    if content is None:
        program.symlink_to("/nonexistent/python")
    else:
        program.write_text(content)
        program.chmod(0o755)
    done = subprocess.run(
        ["make", ".venv/ready", f"PYTHON={make}"], cwd=tmp_path, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stdout + done.stderr
    assert program.read_text() == sound
    assert (tmp_path / ".venv/ready").exists()
