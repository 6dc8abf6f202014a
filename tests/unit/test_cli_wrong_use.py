"""A command used wrongly: one sentence that says what to type instead, exit code 2, nothing written."""

from __future__ import annotations

import io
import json
from pathlib import Path

import pytest
from PIL import ExifTags, Image

from kbgen.cli import main
from tests.unit.shops import sign_all, write_shop

CONTROLLER = {
    "equipment/heater.yaml": """\
        title: Heater
        sizes: [{id: small, title: Small}]
        sources: [{id: mains, title: Mains, energy: electric, voltage: 230 V, isolate: Q1, prove: Meter}]
        places: [{id: front, title: Front, travel: 0 min}]
        """,
    "devices/stat.yaml": "title: Thermostat\nequipment: [heater]\n",
    "circuits/limits.yaml": """\
        title: Limits
        equipment: heater
        means: The string.
        supply: {source: mains, voltage: 24 V, current: AC, frequency: 50 Hz, earthing: grounded}
        path:
          - {point: X1, place: front}
          - {contact: stat}
          - {point: X2}
          - {load: Valve, impedance: 100 Ω}
          - {point: X3}
        """,
    "procedures/make-safe.yaml": """\
        title: Make safe
        equipment: [heater]
        steps:
          - do: Tell the shift lead.
            end: returned-to-service
        """,
}
APPROVED = "title: Word\nmeans: A word.\nstatus: approved\nreview: [{by: MK, on: 2026-05-04}]\n"


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A knowledge base in ``kb`` below the current folder, with things of other people around it."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "notes").mkdir()
    (tmp_path / "notes" / "list.txt").write_text("mine")
    (tmp_path / "notes" / "list.pdf").write_text("mine")
    (tmp_path / "empty").mkdir()
    return sign_all(write_shop(tmp_path / "kb", {**CONTROLLER, "terms/word.yaml": APPROVED}))


def files(root: Path) -> dict[str, bytes]:
    return {path.as_posix(): path.read_bytes() for path in root.rglob("*") if path.is_file()}


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ("", "name a command: check, build, "),
        ("chek", "there is no command `chek`; did you mean `check`?"),
        ("make-coffee", "there is no command `make-coffee`; there are check, build, "),
        ("--kb kb check", "the command comes first: kbgen check --kb"),
        ("check kb", "kbgen check --kb kb"),
        ("check --strickt", "there is no option `--strickt`; did you mean `--strict`?"),
        ("check --kb nowhere", "there is no folder nowhere"),
        ("check --kb kb/kb.yaml", "kb/kb.yaml is a file; give the folder that holds kb.yaml: --kb kb"),
        ("check --kb kb --today tomorrow", "`tomorrow` is no date"),
        ("check --kb kb --format xml", "there is no format `xml`; known: text, json, github, sarif"),
        ("check --kb kb --json --format sarif", "two ways of writing"),
        ("new", "required: WHAT; see kbgen new --help"),
        ("new devise x --kb kb", "did you mean `device`?"),
        ("new term !!! --kb kb", "no file name can be made of `!!!`"),
        ("new term Con --kb kb", "no file name can be made of `Con`"),
        ("new term Word --kb kb", "kb/terms/word.yaml is there already"),
        (
            "new symptom Stays dark --kb kb",
            "`dark` is a word too many; put words that belong together in quotes",
        ),
        ("new symptom Dark --kb empty", "empty has no kb.yaml; start a knowledge base in a new folder"),
        ("new shop notes", "notes is there already and is not empty"),
        ("new shop notes/list.txt/kb", "notes/list.txt/kb cannot be written: notes/list.txt is a file"),
        ("new photo nothing.jpg --kb kb", "there is no file nothing.jpg"),
        ("new photo notes/list.txt --kb kb", "notes/list.txt: it is no PNG"),
        ("build --kb kb --out kb", "kb holds files that no build put there"),
        ("build --kb kb --out kb/photos", "kb/photos is where the knowledge base itself stands"),
        ("build --kb kb --out notes/../kb/terms/x", "is where the knowledge base itself stands"),
        (
            "build --kb kb --out notes/list.txt/x",
            "notes/list.txt/x cannot be written: notes/list.txt is a file",
        ),
        ("guide --kb kb --out kb/kb.yaml", "kb/kb.yaml is where the knowledge base itself stands"),
        (
            "guide --kb kb --equipment heater --out notes/list.pdf",
            "notes/list.pdf is there already and is no PDF",
        ),
        (
            "guide --kb kb --binder --out notes/list.txt/x.pdf",
            "notes/list.txt/x.pdf cannot be written: notes/list.txt is a file",
        ),
        ("guide --kb kb --paper a3", "there is no paper `a3`; known: a6, "),
        ("guide --kb kb --paper a4", "a booklet is not printed on a4; give one of a6, quarter-letter"),
        ("guide --kb kb --binder --paper a6", "a binder is not printed on a6; give one of a4, letter"),
        ("guide --kb kb --impose a3", "there is no sheet `a3`; known: a4, letter"),
        ("guide --kb kb --impose a4 --binder", "a binder is printed as it is"),
        ("guide --kb kb --impose letter --paper a6", "letter sheets carry pages of quarter-letter"),
        ("guide --kb kb --impose a4 --signature 20", "`20` pages are not folded together; give one of 16, "),
        ("guide --kb kb --signature 16", "give it with --impose a4 or letter"),
        ("guide --kb kb --labels --binder", "a binder and labels are two things"),
        (
            "guide --kb kb --labels --impose a4",
            "labels are printed as they are; leave out --impose or --labels",
        ),
        ("guide --kb kb --labels --paper a6", "labels are not printed on a6; give one of a4, letter"),
        ("guide --kb kb --labels --at kb.example", "`kb.example` is no address that a code can open"),
        ("guide --kb kb --at https://kb.example", "--at says what the code on a label opens"),
        ("guide --kb kb --equipment heeter", "there is no equipment `heeter`; did you mean `heater`?"),
        ("export --kb kb", "required: --out"),
        ("export --kb kb --out kb/terms/word.yaml", "is where the knowledge base itself stands"),
        ("export --kb kb --out notes", "notes is a folder"),
        ("export --kb kb --out notes/list.txt", "notes/list.txt is there already and is no export"),
        ("search --kb kb", "required: WORDS"),
        ("search --kb kb --limit 0 word", "`0` results cannot be shown"),
        ("search --kb kb --limit many word", "`many` results cannot be shown"),
        ("serve --kb kb --port abc", "`abc` is no port"),
        ("serve --kb kb --port 70000", "`70000` is no port"),
        ("search --kb kb --kind symtom word", "there is no kind `symtom`; did you mean `symptom`?"),
        ("search --kb kb --equipment boiler word", "there is no equipment `boiler`; known: heater"),
        ("walk --kb kb make-saef", "there is no procedure `make-saef`; did you mean `make-safe`?"),
        (
            "explain alteration-lef",
            "there is no rule or action `alteration-lef`; did you mean `alteration-left`?",
        ),
        ("explain qqqq", "there is no rule or action `qqqq`; kbgen explain --all lists them"),
        ("explain", "name a rule"),
        ("explain --kb kb alteration-left", "there is no option `--kb`"),
        ("readings --kb kb limit", "Did you mean `limits`?"),
        ("readings --kb kb limits --size large", "`large` is not a size. Known: small."),
        ("order --kb kb limits --stage purge", "`purge` is not a stage. Known: none."),
        ("order --kb kb limits --with vent", "`vent` is not an option. Known: none."),
        ("locate --kb kb limits --at X9=24", "`X9` is not a point or device of this circuit."),
        ("locate --kb kb limits --at X1", "`X1` is no reading; write --at "),
        ("locate --kb kb limits --at X1=", "`X1=` is no reading; write --at "),
        (
            "locate --kb kb limits --at X1=24A",
            "`24A` is no reading in volts; write --at X1=118, or none, some, full or over",
        ),
        ("locate --kb kb limits --at X1=24,5", "`24,5` is no reading in volts"),
        ("locate --kb kb limits --at X1=nan", "`nan` is no reading in volts"),
        ("locate --kb kb limits --at X1=inf", "`inf` is no reading in volts"),
        ("locate --kb kb limits --at X1=1e3", "`1e3` is no reading in volts"),
        ("locate --kb kb limits --at X1=24000", "`24000` is no reading of a control circuit"),
    ],
)
def test_wrong_use_is_one_sentence_and_writes_nothing(
    words: str, says: str, shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before = files(shop.parent)
    assert main(words.split()) == 2
    shown = capsys.readouterr()
    assert says in shown.err
    assert shown.err.startswith("kbgen: ")
    assert shown.err.count("\n") == 1
    assert shown.out == ""
    assert files(shop.parent) == before


def test_an_empty_query_is_refused(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for query in ("", "  "):
        assert main(["search", "--kb", str(shop), query]) == 2
        assert "there is nothing to look for" in capsys.readouterr().err


def picture(**more: object) -> bytes:
    out = io.BytesIO()
    Image.new("RGB", (40, 30)).save(out, "JPEG", **more)
    return out.getvalue()


@pytest.mark.parametrize(
    ("name", "says"),
    [
        ("panel.jfif", "panel.jfif: pictures with the ending `.jfif` are not read; rename or save it anew"),
        ("panel", "panel: the picture has no ending; rename or save it anew"),
        ("\u677f.jpg", "a picture's name holds lower-case letters, digits and hyphens; rename"),
    ],
)
def test_a_picture_whose_name_cannot_be_kept_is_refused(
    name: str, says: str, shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (shop.parent / name).write_bytes(picture())
    before = files(shop.parent)
    assert main(["new", "photo", name, "--kb", "kb"]) == 2
    assert says in capsys.readouterr().err
    assert files(shop.parent) == before


def test_a_picture_of_the_shop_is_cleaned_where_it_lies(shop: Path) -> None:
    exif = Image.Exif()
    exif[ExifTags.Base.DateTime] = "2026:05:04 10:00:00"
    file = shop / "photos" / "front_panel.jpeg"
    file.parent.mkdir()
    file.write_bytes(picture(exif=exif))
    assert main(["check", "--kb", "kb"]) == 1
    assert main(["new", "photo", "kb/photos/front_panel.jpeg", "--kb", "kb"]) == 0
    assert [each.name for each in file.parent.iterdir()] == ["front_panel.jpeg"]
    assert main(["check", "--kb", "kb"]) == 0


def test_a_circuit_needs_a_plant_first(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["new", "circuit", "Limits", "--kb", str(write_shop(tmp_path, {}))]) == 2
    assert "first: kbgen new equipment" in capsys.readouterr().err


def test_without_a_knowledge_base_the_sentence_names_the_option(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    assert main(["check"]) == 2
    assert "--kb DIR" in capsys.readouterr().err


def test_what_the_system_refuses_is_one_sentence(
    shop: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """As in a folder that may only be read; a superuser may write everywhere, so the system is played here."""

    def refuse(*_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied")

    for name in ("mkdir", "write_bytes"):
        monkeypatch.setattr(Path, name, refuse)
    for words in (
        "build --kb kb --out site",
        "guide --kb kb --binder --out guide.pdf",
        "export --kb kb --out all.json",
        "new shop other",
    ):
        assert main(words.split()) == 2, words
        err = capsys.readouterr().err
        assert "cannot be written: permission denied; nothing was replaced" in err
        assert err.count("\n") == 1


def test_an_export_and_a_guide_replace_their_own_last_ones(shop: Path) -> None:
    for _ in range(2):
        assert main(["export", "--kb", "kb", "--out", "all.json"]) == 0
        assert main(["guide", "--kb", "kb", "--binder", "--out", "guide.pdf"]) == 0


@pytest.mark.parametrize("words", ["check --kb kb --format json", "check --kb kb --json"])
def test_json_of_the_check_is_asked_for_in_two_ways(
    words: str, shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    main(words.split())
    assert json.loads(capsys.readouterr().out)["summary"]["entries"] == 5


@pytest.mark.parametrize(
    "words", ["new shop shop", "new term Term --kb kb", "explain --all", "explain unknown-reference"]
)
def test_json_is_one_object_and_nothing_else(
    words: str, shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main([*words.split(), "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["version"] == 1


def test_one_field_note_is_not_called_several(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    note = "title: Open\nequipment: heater\ndate: 2026-01-12\nfault: contact-open\ndevice: stat\n"
    write_shop(shop, {"field_notes/open.yaml": note})
    assert main(["locate", "--kb", "kb", "limits"]) == 0
    assert "open:stat  (1 field note)\n" in capsys.readouterr().out


@pytest.mark.parametrize("value", ["24", "24V", "24 V", "23.9", "-24", "full", "none:lowz"])
def test_readings_are_taken_as_people_type_them(value: str, shop: Path) -> None:
    assert main(["locate", "--kb", "kb", "limits", "--at", f"X1={value}"]) == 0
