"""Which files are read, and what is said about the others."""

from __future__ import annotations

from pathlib import Path

import pytest

from kbgen.load import load
from kbgen.position import Exact
from kbgen.ref import Kind, Ref


def make(root: Path, *paths: str, text: str = "title: x\n") -> Path:
    for path in ("kb.yaml", *paths):
        file = root / path
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(text, encoding="utf-8")
    return root


def said(root: Path) -> list[tuple[str, str, str]]:
    return [(problem.place.path, problem.rule, problem.hint) for problem in load(root).problems]


def test_files_are_sorted_by_path_and_named_by_kind_and_id(tmp_path: Path) -> None:
    loaded = load(make(tmp_path, "terms/b.yaml", "devices/z.yaml", "devices/a.yaml", "photos/p.png"))
    assert [document.path for document in loaded.documents] == [
        "devices/a.yaml",
        "devices/z.yaml",
        "kb.yaml",
        "terms/b.yaml",
    ]
    assert loaded.known == {Ref(Kind.DEVICE, "a"), Ref(Kind.DEVICE, "z"), Ref(Kind.TERM, "b")}
    assert loaded.photos == ("photos/p.png",)
    assert loaded.problems == ()


def test_debris_of_editors_and_unrelated_folders_are_passed_over(tmp_path: Path) -> None:
    make(
        tmp_path,
        "devices/.DS_Store",
        "devices/a.yaml~",
        "devices/.#a.yaml",
        "devices/.a.yaml.swp",
        "README.md",
    )
    make(tmp_path, ".git/x.yaml", "site/index.html", "devices/#a.yaml#", "devices/Thumbs.db")
    assert said(tmp_path) == []


def test_a_misspelt_folder(tmp_path: Path) -> None:
    assert said(make(tmp_path, "devises/a.yaml")) == [("devises", "unknown-folder", "Did you mean devices/?")]


def test_what_lies_in_a_misspelt_folder_is_read_as_what_it_was_meant_to_be(tmp_path: Path) -> None:
    loaded = load(make(tmp_path, "devises/a.yaml", "photo/a.png"))
    assert loaded.known == {Ref(Kind.DEVICE, "a")}
    assert loaded.photos == ("photo/a.png",)


@pytest.mark.parametrize("others", [("devices/b.yaml",), ("device/b.yaml",)])
def test_a_folder_beside_the_one_it_may_be_meant_as_is_not_read(
    tmp_path: Path, others: tuple[str, ...]
) -> None:
    loaded = load(make(tmp_path, "devises/a.yaml", *others))
    assert Ref(Kind.DEVICE, "a") not in loaded.known
    assert "devises" in {problem.place.path for problem in loaded.problems}


def test_an_unknown_folder_that_holds_yaml(tmp_path: Path) -> None:
    [(path, rule, hint)] = said(make(tmp_path, "xyz/a.yaml"))
    assert (path, rule) == ("xyz", "unknown-folder")
    assert "devices/" in hint


@pytest.mark.parametrize("name", ["a.yml", "a.YAML", "a.txt", "a"])
def test_wrong_endings(tmp_path: Path, name: str) -> None:
    [(path, rule, hint)] = said(make(tmp_path, f"devices/{name}"))
    assert (path, rule) == (f"devices/{name}", "file-name")
    assert ("a.yaml" in hint) == (name[2:].lower() in ("yml", "yaml"))


@pytest.mark.parametrize(
    "name", ["LWC", "a b", "a_b", "a--b", "-a", "prüfen", "a.b", "x" * 61, "con", "aux", "com1"]
)
def test_names_that_cannot_be_ids(tmp_path: Path, name: str) -> None:
    loaded = load(make(tmp_path, f"devices/{name}.yaml", "devices/good.yaml"))
    assert [(problem.place.path, problem.rule) for problem in loaded.problems] == [
        (f"devices/{name}.yaml", "file-name")
    ]
    assert {document.id: document.sound for document in loaded.documents} == {
        name: False,
        "good": True,
        "kb": True,
    }


@pytest.mark.parametrize(
    ("one", "other"),
    [("LWC.yaml", "lwc.yaml"), ("pr\u00fcfen.yaml", "pru\u0308fen.yaml"), ("a.yaml", "a.yml")],
)
def test_two_names_that_are_one_file_elsewhere_are_one_problem_with_both_paths(
    tmp_path: Path, one: str, other: str
) -> None:
    loaded = load(make(tmp_path, f"symptoms/{one}", f"symptoms/{other}"))
    [problem] = loaded.problems
    assert problem.rule == "file-name-clash"
    assert {problem.place.path, *(near.place.path for near in problem.related)} == {
        f"symptoms/{one}",
        f"symptoms/{other}",
    }


def test_folders_inside_a_folder_of_entries(tmp_path: Path) -> None:
    [(path, rule, hint)] = said(make(tmp_path, "devices/boiler/a.yaml"))
    assert (path, rule, hint) == ("devices/boiler", "misplaced-folder", "Move its files up into devices/.")


def test_symbolic_links(tmp_path: Path) -> None:
    make(tmp_path, "devices/a.yaml")
    (tmp_path / "devices/b.yaml").symlink_to(tmp_path / "devices/a.yaml")
    (tmp_path / "terms").symlink_to(tmp_path / "devices")
    assert [said[:2] for said in said(tmp_path)] == [
        ("devices/b.yaml", "symbolic-link"),
        ("terms", "symbolic-link"),
    ]


def test_no_settings_file_and_no_folder(tmp_path: Path) -> None:
    assert [entry[1] for entry in said(tmp_path)] == ["no-knowledge-base"]
    assert [entry[1] for entry in said(tmp_path / "nowhere")] == ["no-knowledge-base"]


def test_a_settings_file_with_the_wrong_name_is_one_problem(tmp_path: Path) -> None:
    (tmp_path / "KB.yml").write_text("shop: x\n")
    assert said(tmp_path) == [("KB.yml", "settings-name", "Rename it to kb.yaml.")]


def test_an_entry_beside_the_folders(tmp_path: Path) -> None:
    [(path, rule, _)] = said(make(tmp_path, "a.yaml"))
    assert (path, rule) == ("a.yaml", "misplaced-file")


@pytest.mark.parametrize("name", ["a.heic", "a.PNG", "A.png", "a"])
def test_pictures_that_cannot_be_shown(tmp_path: Path, name: str) -> None:
    loaded = load(make(tmp_path, f"photos/{name}"))
    assert [problem.rule for problem in loaded.problems] == ["file-name"]
    assert loaded.photos == ()


def test_a_file_too_large_hides_no_other(tmp_path: Path) -> None:
    make(tmp_path, "devices/b.yaml", text="title: x #2\n")
    (tmp_path / "devices/a.yaml").write_text("# " + "x" * 262_144)
    assert [entry[:2] for entry in said(tmp_path)] == [
        ("devices/a.yaml", "file-too-large"),
        ("devices/b.yaml", "hash-in-text"),
        ("kb.yaml", "hash-in-text"),
    ]


def test_an_unreadable_file_hides_no_other(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    make(tmp_path, "devices/a.yaml", "devices/b.yaml")
    read = Path.read_bytes

    def refuse(path: Path) -> bytes:
        if path.name == "a.yaml":
            raise PermissionError(13, "Permission denied")
        return read(path)

    monkeypatch.setattr(Path, "read_bytes", refuse)
    [problem] = load(tmp_path).problems
    assert (problem.place.path, problem.rule) == ("devices/a.yaml", "unreadable-file")
    assert problem.message == "the file cannot be read: Permission denied"


def test_a_fault_of_the_program_names_the_file_it_was_reading(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(*_: object) -> None:
        raise RecursionError

    make(tmp_path, "devices/a.yaml")
    monkeypatch.setattr("kbgen.load.tree.Tree", fail)
    loaded = load(tmp_path)
    assert [(problem.place.path, problem.rule) for problem in loaded.problems] == [
        ("devices/a.yaml", "internal-error"),
        ("kb.yaml", "internal-error"),
    ]
    assert isinstance(loaded.problems[0].place, Exact)


def test_a_file_where_a_folder_of_entries_belongs(tmp_path: Path) -> None:
    assert said(make(tmp_path, "terms", "photos")) == [
        ("photos", "misplaced-file", "Move it away, or delete it."),
        ("terms", "misplaced-file", "Move it away, or delete it."),
    ]


@pytest.mark.parametrize("name", ["index", "con", "aux", "com1", "nul"])
def test_a_name_that_no_page_can_have_is_refused_with_its_file(tmp_path: Path, name: str) -> None:
    [(path, rule, hint)] = said(make(tmp_path, f"terms/{name}.yaml"))
    assert (path, rule, hint) == (f"terms/{name}.yaml", "file-name", "Choose another name.")


@pytest.mark.parametrize("ending", ["heic", "HEIF", "avif"])
def test_a_picture_of_a_phone_gets_advice_that_helps(tmp_path: Path, ending: str) -> None:
    [problem] = load(make(tmp_path, f"photos/a.{ending}")).problems
    assert "camera" in problem.hint
    assert "JPEG" in problem.hint
