"""The README of a new shop is followed to the letter: build, sign, take back. Nothing of it needs a network."""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from kbgen.cli import main

BASH = shutil.which("bash")
pytestmark = pytest.mark.skipif(
    not (BASH and shutil.which("git") and shutil.which("ssh-keygen")), reason="needs bash, git and ssh-keygen"
)


class Office:
    """A new shop that is a git repository, and somebody who types the README's blocks."""

    def __init__(self, root: Path) -> None:
        self.root, self.shop, self.edition = root, root / "shop", root / "edition"
        assert main(["new", "shop", str(self.shop)]) == 0
        readme = (self.shop / "README.md").read_text(encoding="utf-8")
        self.blocks = re.findall(r"^```sh\n(.*?)^```$", readme, re.DOTALL | re.MULTILINE)
        program = root / "bin" / "kbgen"
        program.parent.mkdir()
        program.write_text(f'#!/bin/sh\nexec "{sys.executable}" -m kbgen "$@"\n', encoding="utf-8")
        asks = root / "bin" / "asks"
        asks.write_text("#!/bin/sh\necho a long pass phrase\n", encoding="utf-8")
        for each in (program, asks):
            each.chmod(0o755)
        self.seconds = 1_790_000_000
        self.type("git init -q && git config user.name Office && git config user.email office@example.org")

    def type(self, block: str) -> subprocess.CompletedProcess[str]:
        """Run a block as typed in the shop's folder; every one a minute after the last."""
        self.seconds += 60
        environment = {name: value for name, value in os.environ.items() if name != "SOURCE_DATE_EPOCH"} | {
            "PATH": f"{self.root / 'bin'}{os.pathsep}{os.environ['PATH']}",
            "HOME": str(self.root),
            "GIT_CONFIG_NOSYSTEM": "1",
            "GIT_COMMITTER_DATE": f"{self.seconds} +0000",
            # Whoever sits there types a pass phrase.
            "SSH_ASKPASS": str(self.root / "bin" / "asks"),
            "SSH_ASKPASS_REQUIRE": "force",
            "DISPLAY": ":0",
        }
        return subprocess.run(
            [str(BASH), "-euc", block],
            cwd=self.shop,
            env=environment,
            capture_output=True,
            text=True,
            check=False,
        )

    def block(self, holds: str) -> str:
        """Return the one block of the README that holds these words."""
        (found,) = (block for block in self.blocks if holds in block)
        return found

    def number(self) -> int:
        return int(json.loads((self.edition / "edition-files.json").read_text(encoding="utf-8"))["number"])


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Office:
    built = Office(tmp_path_factory.mktemp("office"))
    done = built.type(built.block("git add"))
    assert done.returncode == 0, done.stderr
    assert "all " in done.stdout.splitlines()[-1], done.stdout
    return built


def test_the_number_is_the_second_of_the_commit(office: Office) -> None:
    assert office.number() == office.seconds


def test_what_is_not_committed_is_not_built(office: Office) -> None:
    settings = office.shop / "kb.yaml"
    before = office.number()
    settings.write_bytes(settings.read_bytes() + b"# one remark more\n")
    done = office.type("sh edition.sh")
    assert (done.returncode, office.number()) == (1, before)
    assert done.stderr.startswith("Commit first.")
    office.type("git checkout -q kb.yaml")


def test_a_signed_list_holds_and_one_byte_more_does_not(office: Office) -> None:
    for holds in ("-t ed25519", "-Y sign"):
        done = office.type(office.block(holds))
        assert done.returncode == 0, done.stderr
    verify = office.block("-Y verify")
    done = office.type(verify)
    assert done.returncode == 0, done.stderr
    assert 'Good "edition" signature for office' in done.stdout + done.stderr
    listed = office.edition / "edition-files.json"
    text = listed.read_bytes()
    listed.write_bytes(text + b"\n")
    assert office.type(verify).returncode != 0
    listed.write_bytes(text)
    page = office.edition / "leave-now.html"
    content = page.read_bytes()
    page.write_bytes(content + b"\n")
    done = office.type(verify)
    assert done.returncode == 1, "the signature holds, a file does not"
    assert "changed: leave-now.html" in done.stderr
    page.write_bytes(content)


def test_a_bad_edition_is_taken_back_by_a_higher_number(office: Office) -> None:
    settings = office.shop / "kb.yaml"
    good, first = settings.read_bytes(), office.number()
    settings.write_bytes(good.replace(b"shop: Example shop", b"shop: Exmaple shop"))
    assert office.type(office.block("git add")).returncode == 0
    bad = office.number()
    done = office.type(office.block("git revert"))
    assert done.returncode == 0, done.stderr
    assert first < bad < office.number()
    assert settings.read_bytes() == good


def test_a_commit_dated_before_an_earlier_one_is_not_built(office: Office) -> None:
    settings, before = office.shop / "kb.yaml", office.number()
    settings.write_bytes(settings.read_bytes() + b"# one remark more\n")
    now, office.seconds = office.seconds, office.seconds - 86_400
    done = office.type(office.block("git add"))
    office.seconds = now
    assert (done.returncode, office.number()) == (1, before)
    assert (
        done.stderr.splitlines()[-1]
        == "One computer's clock was wrong. Set the clocks, then commit once more."
    )
    settings.write_bytes(settings.read_bytes() + b"# and one\n")
    done = office.type(office.block("git add"))
    assert done.returncode == 0, done.stderr
    assert office.number() == office.seconds


def test_a_copy_with_the_last_commit_only_has_the_same_number(office: Office, tmp_path: Path) -> None:
    """As the forges fetch a repository for their checks."""
    done = office.type(
        f'git clone -q --depth 1 "file://{office.shop}" "{tmp_path}/shop" && sh "{tmp_path}/shop/edition.sh"'
    )
    assert done.returncode == 0, done.stderr
    listed = [
        json.loads((each / "edition-files.json").read_bytes())
        for each in (tmp_path / "edition", office.edition)
    ]
    assert listed[0] == listed[1]


def test_a_folder_that_is_no_repository_is_told_so(office: Office, tmp_path: Path) -> None:
    shutil.copytree(office.shop, tmp_path / "copy", ignore=shutil.ignore_patterns(".git"))
    done = office.type(f'GIT_CEILING_DIRECTORIES="{tmp_path}" sh "{tmp_path}/copy/edition.sh"')
    assert done.returncode != 0
    assert "not a git repository" in done.stderr
    assert not (tmp_path / "edition").exists()
