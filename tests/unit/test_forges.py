"""The checks that a new shop brings along, each script run to the letter in a clean folder, with a forge of ours.

What a forge does by itself is simulated: its variables, its rules for when a step runs, the folder it fetches into, and
its list of comments. Installing the wheel is left to the test of the README.
"""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
import threading
from collections.abc import Iterator, Mapping
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any

import pytest
import yaml

from kbgen.cli import main
from tests.unit.shops import sign_all

BASH = shutil.which("bash") or ""
pytestmark = pytest.mark.skipif(not (BASH and shutil.which("git")), reason="needs bash and git")
MARK = "<!-- kbgen review -->"
PLANT = Path(__file__).resolve().parents[1] / "kb" / "good" / "routines"
PAGE, LESS = "cautions/live-strip.yaml", "Signal: NOTICE, was WARNING."
OTHERS = [{"id": number, "body": f"Somebody says {number}."} for number in range(1, 121)]


class Forge:
    """Keeps the comments of one change, a hundred a page, as both usual forges do."""

    def __init__(self) -> None:
        self.comments = list(OTHERS)
        self.may_write = True
        self.asked: list[str] = []
        forge = self

        class Answers(BaseHTTPRequestHandler):
            def _answer(self) -> None:
                forge.asked.append(f"{self.command} {self.path.partition('?')[0]}")
                size = int(self.headers.get("Content-Length") or 0)
                body = json.loads(self.rfile.read(size))["body"] if size else ""
                allowed = self.headers.get("Authorization") or self.headers.get("PRIVATE-TOKEN")
                code, found = forge.answer(self.command, self.path, body) if allowed else (401, None)
                self.send_response(code)
                self.end_headers()
                self.wfile.write(json.dumps(found).encode())

            do_GET = do_POST = do_PUT = do_PATCH = _answer  # noqa: N815 - names of the library

            def log_message(self, *_: object) -> None:
                pass

        self.server = ThreadingHTTPServer(("127.0.0.1", 0), Answers)
        threading.Thread(target=self.server.serve_forever, daemon=True).start()
        self.address = f"http://127.0.0.1:{self.server.server_port}"

    def answer(self, method: str, path: str, body: str) -> tuple[int, Any]:
        if method == "GET":
            page = int(re.findall(r"[?&]page=(\d+)", path)[0])
            return 200, self.comments[(page - 1) * 100 : page * 100]
        if not self.may_write:
            return 403, {}
        if method == "POST":
            self.comments.append({"id": 900 + len(self.comments), "body": body})
            return 201, self.comments[-1]
        (found,) = (each for each in self.comments if path.endswith(f"/{each['id']}"))
        found["body"] = body
        return 200, found

    @property
    def ours(self) -> list[str]:
        return [str(each["body"]) for each in self.comments if each not in OTHERS]


@pytest.fixture
def forge() -> Iterator[Forge]:
    found = Forge()
    yield found
    found.server.shutdown()
    found.server.server_close()


class Project:
    """A shop in a bare repository, and clean folders fetched from it."""

    def __init__(self, root: Path) -> None:
        self.root = root
        self.shop, self.bare = root / "shop", root / "remote.git"
        assert main(["new", "shop", str(self.shop)]) == 0
        settings = self.shop / "kb.yaml"
        people = "{initials: AB, may: [gas, electric, boiler, first-aid], up_to: 690 V}"
        settings.write_text(settings.read_text("utf-8").replace("{initials: AB}", people), encoding="utf-8")
        for file in sorted(PLANT.glob("*/*.yaml")):
            text = "status: approved\n" + file.read_text("utf-8").replace(
                "Push the tube home.", "Push it home."
            )
            (self.shop / file.relative_to(PLANT)).write_text(text, encoding="utf-8")
        sign_all(self.shop, by="AB")
        (self.shop / "wheel").mkdir()
        (self.shop / "wheel" / "kbgen-1-py3-none-any.whl").write_bytes(b"")
        programs = root / "bin"
        programs.mkdir()
        installs = '[ "$*" = "-m pip install wheel/kbgen-1-py3-none-any.whl" ] && exit 0\n'
        for name, text in (
            ("kbgen", f'exec "{sys.executable}" -m kbgen "$@"\n'),
            ("python", f'{installs}exec "{sys.executable}" "$@"\n'),
        ):
            (programs / name).write_text(f"#!/bin/sh\n{text}", encoding="utf-8")
            (programs / name).chmod(0o755)
        self.git(self.root, "init", "-q", "--bare", "-b", "main", str(self.bare))
        self.git(self.shop, "init", "-q", "-b", "main")
        self.git(self.shop, "remote", "add", "origin", str(self.bare))

    def git(self, folder: Path, *words: str) -> str:
        who = ("-c", "user.name=A", "-c", "user.email=a@example.org", "-c", "commit.gpgsign=false")
        done = subprocess.run(["git", *who, *words], cwd=folder, check=True, capture_output=True, text=True)
        return done.stdout.strip()

    def commit(self, branch: str = "main") -> str:
        self.git(self.shop, "add", "--all")
        self.git(self.shop, "commit", "-q", "-m", "A change")
        self.git(self.shop, "push", "-q", "origin", f"HEAD:{branch}")
        return self.git(self.shop, "rev-parse", "HEAD")

    def fetched(self, commit: str) -> Path:
        folder = self.root / f"job-{len(list(self.root.glob('job-*')))}"
        self.git(self.root, "clone", "-q", str(self.bare), str(folder))
        self.git(folder, "checkout", "-q", commit)
        return folder

    def run(self, folder: Path, script: str, given: Mapping[str, str]) -> subprocess.CompletedProcess[str]:
        keep = {name: os.environ[name] for name in ("HOME", "LANG", "XDG_CACHE_HOME") if name in os.environ}
        path = f"{self.root / 'bin'}{os.pathsep}{os.environ['PATH']}"
        return subprocess.run(
            [BASH, "-e", "-c", script],
            cwd=folder,
            env={**keep, "PATH": path, **given},
            capture_output=True,
            text=True,
            check=False,
        )


def on_github(project: Project, forge: Forge, commit: str, base: str = "", only: str = "") -> tuple[int, str]:
    """Run the job as the forge does; a change where there is a base, else a push. Return its end and its log.

    Args:
        only: What stands in the scripts that are run; all are where it is empty.
    """
    folder = project.fetched(commit)
    job = yaml.safe_load((folder / ".github/workflows/kbgen.yml").read_text("utf-8"))["jobs"]["check"]
    event = "pull_request" if base else "push"
    says = {
        "github.event.pull_request.base.sha": base,
        "github.event.pull_request.number": "7" if base else "",
        "github.token": "secret",
    }
    known = {"GITHUB_API_URL": forge.address, "GITHUB_REPOSITORY": "shop/book", "CI": "true"}
    failed, log = 0, ""
    for step in job["steps"]:
        if only not in step.get("run", "") or "run" not in step:
            continue
        when = step.get("if", "success()")
        wanted = "always()" in when or not failed
        if "event_name" in when:
            wanted = wanted and f"'{event}'" in when
        if wanted:
            given = {name: says[value[3:-2].strip()] for name, value in step.get("env", {}).items()}
            done = project.run(folder, step["run"], {**known, **given})
            log += done.stdout + done.stderr
            failed = failed or done.returncode
    return failed, log


def on_gitlab(project: Project, forge: Forge, commit: str, base: str = "", only: str = "") -> tuple[int, str]:
    """Run the job as the forge does; see ``on_github``."""
    folder = project.fetched(commit)
    job = yaml.safe_load((folder / ".gitlab-ci.yml").read_text("utf-8"))["kbgen"]
    given = {
        "CI_DEFAULT_BRANCH": "main",
        "CI_API_V4_URL": forge.address,
        "CI_PROJECT_ID": "3",
        **job["variables"],
    }
    given |= {"KBGEN_TOKEN": "secret", "CI_PIPELINE_SOURCE": "push", "CI_COMMIT_BRANCH": "main"}
    if base:
        given |= {"CI_MERGE_REQUEST_DIFF_BASE_SHA": base, "CI_MERGE_REQUEST_IID": "7"}
        given |= {"CI_PIPELINE_SOURCE": "merge_request_event", "CI_COMMIT_BRANCH": ""}
    lines = [line for line in job["script"] if only in line]
    done = project.run(folder, "\n".join(["set -o pipefail", *lines]), given)
    found = folder / "codequality.json"
    return done.returncode, done.stdout + done.stderr + (found.read_text("utf-8") if found.is_file() else "")


@pytest.fixture(scope="module")
def begun(tmp_path_factory: pytest.TempPathFactory) -> tuple[Project, str]:
    """A project and its first commit."""
    project = Project(tmp_path_factory.mktemp("project"))
    return project, project.commit()


def test_the_first_push_is_green_and_builds_the_pages(begun: tuple[Project, str], forge: Forge) -> None:
    project, first = begun
    end, log = on_gitlab(project, forge, first)
    assert end == 0, log
    job = max(project.root.glob("job-*"))
    assert (job / "site" / "index.html").is_file()
    assert "run: kbgen build --out site\n" in (job / ".github/workflows/kbgen.yml").read_text("utf-8")
    end, log = on_github(project, forge, first, only="kbgen check")
    assert end == 0, log
    assert forge.ours == []


@pytest.mark.parametrize("job", [on_github, on_gitlab])
def test_a_change_is_told_on_its_lines_and_in_one_comment_that_is_kept_up_to_date(
    begun: tuple[Project, str], forge: Forge, job: Any
) -> None:
    project, first = begun
    page, branch = project.shop / PAGE, job.__name__
    project.git(project.shop, "checkout", "-q", "-b", branch, first)
    text = page.read_text("utf-8")
    (project.shop / "devices" / "new.yaml").write_text(
        "title: A new cutout\nequipment: [kw]\n", encoding="utf-8"
    )
    first_change = project.commit(branch)
    if job is on_github:
        end, log = job(project, forge, first_change, first, "kbgen check")
        notes = [line for line in log.splitlines() if line.startswith(("::warning", "::error"))]
        assert notes
        assert all("file=devices/new.yaml," in line for line in notes), notes
    end, log = job(project, forge, first_change, first, "kbgen review")
    assert end == 0, log
    (comment,) = forge.ours
    assert comment.startswith(MARK)
    assert "less safe" not in comment

    assert "signal: WARNING" in text
    page.write_text(text.replace("signal: WARNING", "signal: NOTICE", 1), encoding="utf-8")
    second = project.commit(branch)
    end, log = job(project, forge, second, first, "kbgen review")
    assert end == 0, log
    (renewed,) = forge.ours
    assert LESS in renewed

    if job is on_gitlab:
        return  # the script is the same from here on

    end, log = job(project, forge, second, "0" * 40, "kbgen review")
    assert end != 0
    assert forge.ours == [renewed], "a review that could tell nothing writes no comment"

    forge.comments, forge.may_write = list(OTHERS), False
    end, log = job(project, forge, second, first, "kbgen review")
    assert end == 0, log
    assert "may not write comments" in log
    assert LESS in log
