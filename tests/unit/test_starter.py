"""``kbgen new shop``: a start that is checked, built, printed and exported as it stands."""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
import sysconfig
from pathlib import Path

import jsonschema
import pytest

from kbgen.cli import main, new
from kbgen.compute.walk import walk_all
from kbgen.load import load
from kbgen.pipeline import compile_folder
from kbgen.problems import Severity
from kbgen.ref import FOLDERS, Kind
from kbgen.report import locate
from kbgen.schemas.placeholder import PLACEHOLDER

ROOT = Path(__file__).resolve().parents[2]
STARTER = ROOT / "kbgen" / "starter_shop"
FILES = sorted(STARTER.rglob("*.yaml"))
DERIVED = ["example-heater-record"]
"""What follows from the heater's entry beside its pages."""


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    assert main(["new", "shop", str(tmp_path / "shop")]) == 0
    return tmp_path / "shop"


def test_a_new_shop_has_nothing_that_a_program_left(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    installed = shutil.copytree(STARTER, tmp_path / "installed")
    (installed / ".ci" / "__pycache__").mkdir(exist_ok=True)
    (installed / ".ci" / "__pycache__" / "comment.cpython-311.pyc").write_bytes(b"compiled")
    monkeypatch.setattr(new, "folder", lambda _: installed)
    assert main(["new", "shop", str(tmp_path / "shop")]) == 0
    assert not list((tmp_path / "shop").rglob("*.pyc"))


def test_a_new_shop_is_checked_without_error(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", "--kb", str(shop), "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    # Both warnings are meant: nobody proves a limit of a plant that does not exist, and how often is the shop's to say.
    assert [(each["rule"], each["path"]) for each in found["problems"]] == [
        ("device-nobody-tests", "devices/example-high-limit.yaml"),
        ("guard-without-proof", "devices/example-high-limit.yaml"),
    ]


def test_a_new_shop_is_built_exported_and_found(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    site, data = shop.parent / "site", shop.parent / "all.json"
    assert main(["build", "--kb", str(shop), "--out", str(site)]) == 0
    entries = [
        site / file.relative_to(STARTER).with_suffix(".html") for file in FILES if file.parent != STARTER
    ]
    assert all("draft" in page.read_text(encoding="utf-8").casefold() for page in entries)
    assert main(["export", "--kb", str(shop), "--out", str(data)]) == 0
    assert len(json.loads(data.read_text(encoding="utf-8"))["entries"]) == len(FILES) - 1 + len(DERIVED)
    capsys.readouterr()
    main(["search", "--kb", str(shop), "string open"])
    assert "STRING OPEN" in capsys.readouterr().out


def test_the_guide_of_a_new_shop_is_not_written_and_says_why(
    shop: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["guide", "--kb", str(shop), "--out", str(tmp_path / "guide.pdf")]) == 1
    assert "no entry is approved" in capsys.readouterr().err
    assert not (tmp_path / "guide.pdf").exists()


def test_a_new_shop_is_never_written_over_another(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (shop / "kb.yaml").write_text("shop: Mine\nkey: mine\n", encoding="utf-8")
    assert main(["new", "shop", str(shop)]) == 2
    assert "not empty" in capsys.readouterr().err
    assert (shop / "kb.yaml").read_text(encoding="utf-8").startswith("shop: Mine")


def test_there_is_one_example_of_every_kind_a_second_device_and_a_short_page() -> None:
    found = {kind: len(list((STARTER / FOLDERS[kind]).glob("*.yaml"))) for kind in Kind}
    assert found == dict.fromkeys(Kind, 1) | {Kind.DEVICE: 2, Kind.PROCEDURE: 5}


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.name)
def test_every_file_says_what_it_is_and_is_a_draft(file: Path) -> None:
    text = file.read_text(encoding="utf-8")
    assert re.match(r"# [A-Z].*\n(# .*\n)+\n", text), "it opens with a remark and an empty line"
    assert "yaml-language-server: $schema=" in text.partition("\n\n")[0]
    if file.name != "kb.yaml":
        assert "\nstatus: draft\n" in text


def test_every_way_through_the_example_procedures_leaves_people_safe() -> None:
    walks = {ref.id: walked for ref, walked in walk_all(compile_folder(STARTER).base).items()}
    for walked in walks.values():
        assert walked.complete
        assert walked.violations == ()
    assert walks["example-find-open-contact"].paths > 40
    assert all(walked.paths > 3 for walked in walks.values())
    assert walks["example-replace-thermostat"].paths > 8


def test_pages_of_routines_are_short_and_stand_for_many_steps() -> None:
    base = compile_folder(STARTER).base
    for name in ("example-make-safe", "example-find-live", "example-back"):
        page = base.procedure(name)
        assert page is not None
        assert len((STARTER / "procedures" / f"{name}.yaml").read_text(encoding="utf-8").splitlines()) < 30
        assert len(page.steps) > 2 * len(page.written)


SHORT = STARTER / "procedures" / "example-replace-thermostat.yaml"


def test_every_writer_is_shown_the_short_page(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["explain", "--all"]) == 0
    said = capsys.readouterr().out
    shown = re.search(
        r"# A whole page that passes\n\n```yaml\n(.*?)```\n\n# What a step can do\n", said, re.DOTALL
    )
    assert shown is not None
    assert shown.group(1) in SHORT.read_text("utf-8")
    assert shown.group(1).startswith("title: ")


@pytest.mark.parametrize(
    "lost",
    [
        *(
            "identify: ",
            "record: [",
            "isolate: gas",
            "lock: gas",
            "isolate: mains",
            "lock: mains",
            "prove_dead: ",
        ),
        *(
            "close_cover: ",
            "inform: Shift lead and everybody",
            "unlock: mains",
            "restore: mains",
            "unlock: gas",
        ),
        *("restore: gas", "observe: purge", "prove_trip: ", "observe: full-cycle"),
    ],
)
def test_the_short_page_has_no_action_too_many(shop: Path, lost: str) -> None:
    file = shop / "procedures" / SHORT.name
    lines = file.read_text("utf-8").splitlines()
    (at, line), *_ = [(at, line) for at, line in enumerate(lines) if lost in line]
    head = lost.split(":", maxsplit=1)[0]
    # Without its action a step is answered by no verdict: it goes on where the pass led.
    passes = re.search(r", (?:same|dead|tripped|seen): ([a-z-]+)", line)
    line = re.sub(
        rf", {head}: (?:\[[^\]]*\]|\"[^\"]*\"|[^,}}]+)", f", go: {passes[1]}" if passes else "", line
    )
    lines[at] = re.sub(
        r", (?:same|different|dead|live|known_source|tripped|not-tripped|seen|not-seen): [^,}]+", "", line
    )
    file.write_text("\n".join(lines) + "\n", "utf-8")
    errors = {each.rule for each in compile_folder(shop).problems if each.severity is Severity.ERROR}
    assert errors, lines[at]


def test_the_start_of_a_procedure_is_a_page_that_passes(
    shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Nobody is taught a wrong page: with the names of its plant the start has no error."""
    assert main(["new", "procedure", "Leave it locked", "--kb", str(shop)]) == 0
    file = shop / "procedures" / "leave-it-locked.yaml"
    text = (
        file.read_text("utf-8")
        .replace(PLACEHOLDER, "Look at it")
        .replace("\n# equipment:\n#   - ondrel-sb\n", "\nequipment: [example-heater]\n")
    )
    file.write_text(
        text.replace("isolate: control", "isolate: mains").replace("lock: control", "lock: mains"), "utf-8"
    )
    capsys.readouterr()
    problems = [each for each in compile_folder(shop).problems if each.severity is Severity.ERROR]
    assert problems == []


@pytest.mark.parametrize(
    ("dangerous", "rule"),
    [
        ("    undo: wire-1\n", "alteration-left"),
        ("    lock: mains\n", "proof-without-lock"),
        ("    record: [display, gauges, state]\n", "evidence-lost"),
        ("    find_cause: example-high-limit\n", "reset-without-cause"),
        ("    observe: full-cycle\n", "cycle-not-seen"),
        ("    close_cover: front-cover\n", "cover-on-live"),
    ],
)
def test_the_check_refuses_the_example_procedure_once_a_step_loses_its_action(
    shop: Path, dangerous: str, rule: str
) -> None:
    file = shop / "procedures" / "example-find-open-contact.yaml"
    text = file.read_text(encoding="utf-8")
    assert dangerous in text
    # What is no action any more is answered by no verdict either.
    for line in dangerous.splitlines(keepends=True):
        text = re.sub(
            rf"({re.escape(line)}(?:(?!  - ).*\n)*?)    (?:cause-mended|seen): (\S+)\n.*\n",
            r"\1    go: \2\n",
            text,
        )
    file.write_text(text.replace(dangerous, ""), encoding="utf-8")
    errors = {each.rule for each in compile_folder(shop).problems if each.severity is Severity.ERROR}
    assert rule in errors


def test_the_editor_schemas_accept_the_examples_and_refuse_a_slip(shop: Path) -> None:
    documents = load(shop).documents
    assert len(documents) == len(FILES)
    for document in documents:
        schema = json.loads(schema_of(shop, document.source.text).read_text(encoding="utf-8"))
        jsonschema.Draft202012Validator.check_schema(schema)
        validator = jsonschema.Draft202012Validator(schema)
        data = like_an_editor(document.data)
        assert [fault.message for fault in validator.iter_errors(data)] == [], document.path
        assert list(validator.iter_errors({**data, "sattus": "draft"})), document.path


def test_sample_text_on_a_line_is_told_at_that_line_and_not_at_what_a_routine_above_it_writes(
    tmp_path: Path,
) -> None:
    root = shutil.copytree(ROOT / "tests" / "kb" / "good" / "routines", tmp_path / "kb")
    page = root / "procedures" / "safe.yaml"
    page.write_text("status: approved\n" + page.read_text(encoding="utf-8"), encoding="utf-8")
    found = compile_folder(root)
    (told,) = [each for each in locate(found.problems, found.documents) if each.rule == "sample-text"]
    assert (
        page.read_text(encoding="utf-8")
        .splitlines()[told.line - 1]
        .startswith("    back: Push the tube home.")
    )
    assert "writes" not in told.message


def schema_of(shop: Path, text: str) -> Path:
    """Return the schema that the file names, from where the file lies."""
    (name,) = re.findall(r"\$schema=(?:\.\./)?(\.editor/[a-z-]+\.schema\.json)", text)
    return shop / name


def like_an_editor(value: object) -> object:
    """Read plain scalars as YAML 1.2 does: true and false, numbers, and the rest as text."""
    if isinstance(value, dict):
        return {key: like_an_editor(inner) for key, inner in value.items()}
    if isinstance(value, list):
        return [like_an_editor(inner) for inner in value]
    if value in ("true", "false"):
        return value == "true"
    if isinstance(value, str) and re.fullmatch(r"-?[0-9]+", value):
        return int(value)
    return value


@pytest.mark.parametrize(
    ("tells", "commented"),
    [("echo It is less safe.; exit 1", True), ("exit 0", True), ("exit 2", False), ("exit 1", False)],
    ids=["unsigned", "well", "wrong use", "broken"],
)
@pytest.mark.parametrize("forge", [".github/workflows/kbgen.yml", ".gitlab-ci.yml"])
def test_a_review_that_says_nothing_makes_no_empty_comment(
    tmp_path: Path, forge: str, tells: str, commented: bool
) -> None:
    (line,) = re.findall(
        r"^ *(kbgen review .*)$", (STARTER / forge).read_text(encoding="utf-8"), re.MULTILINE
    )
    script = f"kbgen() {{ ( {tells} ); }}\n{line}\necho commented\n"
    done = subprocess.run(
        ["bash", "-euo", "pipefail", "-c", script],
        cwd=tmp_path,
        env={**os.environ, "BASE": "main", "CI_MERGE_REQUEST_DIFF_BASE_SHA": "main"},
        capture_output=True,
        text=True,
        check=False,
    )
    assert (done.returncode == 0) == ("commented" in done.stdout) == commented


@pytest.mark.parametrize(
    ("base", "typed"), [("", ""), ("0abc", " --base 0abc")], ids=["first push", "change"]
)
def test_the_first_commit_of_a_shop_is_checked_without_one_before_it(base: str, typed: str) -> None:
    forge = (STARTER / ".github/workflows/kbgen.yml").read_text(encoding="utf-8")
    (line,) = re.findall(r"^ *run: (kbgen check .*)$", forge, re.MULTILINE)
    done = subprocess.run(
        ["bash", "-euc", f'kbgen() {{ echo "$*"; }}\n{line}'],
        env={**os.environ, "BASE": base},
        capture_output=True,
        text=True,
        check=True,
    )
    assert done.stdout == f"check --format github{typed}\n"


def run(*words: str | Path, cwd: Path) -> str:
    done = subprocess.run(words, cwd=cwd, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


def test_the_readme_of_a_new_shop_is_followed_with_the_wheel_alone(tmp_path: Path) -> None:
    pip = [sys.executable, "-m", "pip", "--disable-pip-version-check", "-q"]
    run(*pip, "wheel", ROOT, "--no-deps", "--no-build-isolation", "--wheel-dir", tmp_path, cwd=tmp_path)
    (wheel,) = tmp_path.glob("kbgen-*.whl")
    alone = tmp_path / "alone"
    run(*pip, "install", "--no-deps", "--no-index", "--target", alone, wheel, cwd=tmp_path)

    # The libraries come from this environment; the program comes from the wheel and from nowhere else.
    start = (
        f"import sys; sys.path[:0] = [{str(alone)!r}, {sysconfig.get_path('purelib')!r}];"
        " import kbgen; assert kbgen.__file__.startswith(sys.path[0]), kbgen.__file__;"
        " from kbgen.cli import main; sys.exit(main(sys.argv[1:]))"
    )
    program = tmp_path / "bin" / "kbgen"
    program.parent.mkdir()
    program.write_text(f"#!{sys.executable} -IS\n{start}\n", encoding="utf-8")
    program.chmod(0o755)
    run(program, "new", "shop", "my-shop", cwd=tmp_path)
    shop = tmp_path / "my-shop"
    typed = (shop / "README.md").read_text(encoding="utf-8").partition("## Put it on the tablets")[0]
    blocks = re.findall(r"^```sh\n(.*?)^```$", typed, re.DOTALL | re.MULTILINE)
    assert len(blocks) == 4
    path = f"{program.parent}{os.pathsep}{os.environ['PATH']}"
    for block in ("git init -q", *blocks):
        done = subprocess.run(
            ["sh", "-euc", block],
            cwd=shop,
            env={**os.environ, "PATH": path},
            capture_output=True,
            text=True,
            check=False,
        )
        assert done.returncode == 0, block + done.stdout + done.stderr
    assert "\nstatus: approved\n" in (shop / "terms" / "lint.yaml").read_text(encoding="utf-8")
    assert (tmp_path / "site" / "index.html").is_file()
    assert (tmp_path / "binder.pdf").read_bytes().startswith(b"%PDF")
    run(program, "export", "--kb", "my-shop", "--out", "all.json", cwd=tmp_path)

    def commit() -> subprocess.CompletedProcess[str]:
        words = [
            "git",
            "-c",
            "user.name=Office",
            "-c",
            "user.email=office@example.org",
            "commit",
            "-qam",
            "A change",
        ]
        subprocess.run(["git", "add", "--all"], cwd=shop, check=True)
        return subprocess.run(
            words, cwd=shop, env={**os.environ, "PATH": path}, capture_output=True, text=True, check=False
        )

    assert commit().returncode == 0
    lint = shop / "terms" / "lint.yaml"
    lint.write_text(lint.read_text(encoding="utf-8").replace("\nmeans:", "\nmeens:"), encoding="utf-8")
    refused = commit()
    assert refused.returncode == 1
    assert "unknown-field" in refused.stdout + refused.stderr
