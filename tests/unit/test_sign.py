"""A signature is for the words, actions and figures that were read; whatever differs from them says so."""

from __future__ import annotations

import re
import shutil
from datetime import date
from pathlib import Path

import pytest

from kbgen.cli import main
from kbgen.compute.signing import Need, needs
from kbgen.model.head import State
from kbgen.pipeline import Compiled, compile_folder
from kbgen.problems import Severity
from kbgen.ref import Kind, Ref
from kbgen.resources import folder
from kbgen.rules.signed import gone_missing
from kbgen.views.book import make_book
from kbgen.views.page import Page
from tests.unit.shops import PEOPLE, sign_all, write_shop

SAFE = Ref(Kind.PROCEDURE, "safe")
WORD = Ref(Kind.TERM, "word")
PLANT = """\
title: Heater
sources:
  - {id: control, title: Control supply, energy: electric, voltage: 230 V, isolate: Isolator Q2, prove: 'X1 to N', conductors: [X1, N]}
  - {id: gas, title: Fuel gas, energy: fuel, isolate: Plant cock}
fuel_valves:
  - {id: plant-cock, title: Plant cock}
status: approved
"""
PAGE = """\
# Why this page: the heater is old.
title: Make safe
equipment: [heater]
# Read yearly.
status: approved
steps:
  - do: Compare the numbers.
    identify: Same number on panel and heater
    same: note
    different: away
  - id: note
    do: Note what the panel shows.
    record: [display, first-out, resets]
  - do: Tell everybody.
    inform: Shift lead
  - do: Shut the plant cock.
    shut_valve: plant-cock
  - {do: Switch Q2 off., isolate: control}
  - {do: Lock Q2., lock: control}
  - {do: Prove it dead., prove_dead: control, known_source: Proving unit, between: [X1 to N, X1 to earth, N to earth], dead: tag, live: away}
  - {id: tag, do: Hang the tag., end: left-safe}
  - {id: away, do: Leave at once., end: evacuated}
"""
FILES = {
    "equipment/heater.yaml": PLANT,
    "procedures/safe.yaml": PAGE,
    "terms/word.yaml": "title: Word\nmeans: A word.\nstatus: approved\n",
}


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    """A small shop, signed by MK on 4 May."""
    return sign_all(write_shop(tmp_path / "kb", FILES))


def change(root: Path, path: str, old: str, new: str) -> Compiled:
    file = root / path
    text = file.read_text(encoding="utf-8")
    assert old in text
    file.write_text(text.replace(old, new), encoding="utf-8")
    return compile_folder(root)


def state(compiled: Compiled, ref: Ref) -> State:
    return compiled.base.entries[ref].head.standing.state


def page(compiled: Compiled, ref: Ref) -> Page:
    book = make_book(compiled.base, compiled.edition, compiled.walks)
    return next(each for each in book.pages if each.ref == ref)


def rules(compiled: Compiled) -> set[str]:
    return {
        problem.rule for problem in compiled.problems if "sign" in problem.rule or "licence" in problem.rule
    }


def test_what_was_signed_is_approved(shop: Path) -> None:
    compiled = compile_folder(shop)
    assert state(compiled, SAFE) is State.SIGNED
    assert rules(compiled) == set()
    assert page(compiled, SAFE).review.by == "MK"


def test_without_a_mark_it_counts_as_a_draft(tmp_path: Path) -> None:
    text = FILES["terms/word.yaml"] + "review: [{by: MK, on: 2026-05-04}]\n"
    compiled = compile_folder(write_shop(tmp_path, {"terms/word.yaml": text}))
    assert state(compiled, WORD) is State.DRAFT
    assert page(compiled, WORD).draft
    assert rules(compiled) == {"not-signed"}


def test_initials_that_nobody_has_count_for_nothing(shop: Path) -> None:
    compiled = change(shop, "kb.yaml", "initials: MK", "initials: ZZ")
    assert state(compiled, WORD) is State.DRAFT
    assert any("names nobody with the initials MK" in problem.message for problem in compiled.problems)


def test_after_the_last_day_nobody_signs(shop: Path) -> None:
    compiled = change(shop, "kb.yaml", "initials: MK,", "initials: MK, until: 2026-05-03,")
    assert state(compiled, WORD) is State.DRAFT


@pytest.mark.parametrize("path", ["terms/word.yaml", "procedures/safe.yaml"])
def test_comments_line_ends_and_the_review_are_not_what_is_read(shop: Path, path: str) -> None:
    file = shop / path
    text = "# a comment\n" + file.read_text(encoding="utf-8")
    file.write_bytes(text.replace("\n", "\r\n").encode())
    assert rules(compile_folder(shop)) == set()


def test_another_word_makes_a_draft(shop: Path) -> None:
    compiled = change(shop, "terms/word.yaml", "A word.", "Another word.")
    assert state(compiled, WORD) is State.CHANGED
    assert page(compiled, WORD).draft
    assert rules(compiled) == {"changed-since-signed"}


def test_a_page_that_makes_safe_keeps_its_signed_text_while_it_is_changed(shop: Path) -> None:
    compiled = change(shop, "procedures/safe.yaml", "Lock Q2.", "Leave Q2 open.")
    found = page(compiled, SAFE)
    assert not found.draft
    said = repr(found.sections)
    assert "This page is being changed" in said
    assert "Lock Q2." in said
    assert "Leave Q2 open." not in said
    assert "Steps(" not in said


@pytest.mark.parametrize("harm", ["gone", "touched"])
def test_a_signed_text_that_is_gone_or_was_touched_is_not_shown(shop: Path, harm: str) -> None:
    file = shop / "signed" / "procedures" / "safe.txt"
    if harm == "gone":
        file.unlink()
    else:
        file.write_text(
            file.read_text(encoding="utf-8").replace("Lock Q2.", "Skip the lock."), encoding="utf-8"
        )
    compiled = change(shop, "procedures/safe.yaml", "Lock Q2.", "Leave Q2 open.")
    assert page(compiled, SAFE).draft


def test_a_guide_stops_where_a_page_that_makes_safe_would_go_missing(
    shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (shop / "signed" / "procedures" / "safe.txt").unlink()
    change(shop, "procedures/safe.yaml", "Lock Q2.", "Lock Q2 well.")
    assert main(["guide", "--kb", str(shop), "--binder", "--out", str(shop.parent / "guide.pdf")]) == 1
    assert "signed-text-missing" in capsys.readouterr().err
    assert not (shop.parent / "guide.pdf").exists()


def test_what_is_withdrawn_says_do_not_use_and_whom_to_call(shop: Path) -> None:
    with (shop / "kb.yaml").open("a", encoding="utf-8") as file:
        file.write("call: [{who: Lead technician, reach: extension 12}]\n")
    compiled = change(shop, "procedures/safe.yaml", "equipment:", "withdrawn: The lock is wrong.\nequipment:")
    said = repr(page(compiled, SAFE).sections)
    assert "Do not use this page" in said
    assert "The lock is wrong." in said
    assert "extension 12" in said
    assert "Lock Q2." not in said


def test_a_page_needs_the_licences_of_its_steps(shop: Path) -> None:
    compiled = compile_folder(shop)
    assert needs(compiled.base, compiled.base.entries[SAFE].record) == (Need("electric", 230.0),)
    assert rules(change(shop, "kb.yaml", "up_to: 690 V", "up_to: 120 V")) == {"licence-missing"}


def test_a_page_signed_in_part_is_built_with_the_text_that_all_signed(shop: Path) -> None:
    change(shop, "procedures/safe.yaml", "Lock Q2.", "Lock Q2 well.")
    assert main(["sign", "procedure:safe", "--by", "AB", "--on", "2026-06-01", "--kb", str(shop)]) == 0
    compiled = compile_folder(shop)
    assert compiled.sound
    assert state(compiled, SAFE) is State.PARTLY
    assert not page(compiled, SAFE).draft
    assert page(compiled, SAFE).review.by == "MK"
    said = repr(page(compiled, SAFE).sections)
    assert "Not everybody has signed this page" in said
    assert "Lock Q2." in said
    assert "Lock Q2 well." not in said
    told = [each.message for each in compiled.problems if each.rule == "licence-missing"]
    assert told == [
        "its steps need a licence for electrical work up to 230 V, and nobody who holds it has signed: "
        "the text that MK signed on 2026-05-04 is shown"
    ]
    (shop / "signed" / "procedures" / "safe.txt").unlink()
    without = compile_folder(shop)
    assert without.sound
    assert page(without, SAFE).draft
    assert page(without, SAFE).review.by == "AB (not yet by all it needs)"
    assert [each.rule for each in gone_missing(without.base)] == ["signed-text-missing"]
    assert main(["sign", "procedure:safe", "--by", "MK", "--on", "2026-06-02", "--kb", str(shop)]) == 0
    assert state(compile_folder(shop), SAFE) is State.SIGNED


def test_signing_tells_what_differs_and_keeps_comments_and_order(
    shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before = (shop / "procedures" / "safe.yaml").read_text(encoding="utf-8")
    change(shop, "procedures/safe.yaml", "Lock Q2.", "Lock Q2 well.")
    assert main(["sign", "procedure:safe", "--by", "MK", "--on", "2026-06-01", "--kb", str(shop)]) == 0
    said = capsys.readouterr().out
    assert "-- 6. Lock Q2." in said
    assert "+- 6. Lock Q2 well." in said
    assert "not an identity" in said
    after = (shop / "procedures" / "safe.yaml").read_text(encoding="utf-8")

    def others(text: str) -> list[str]:
        return [line for line in text.splitlines() if "review" not in line and "Lock Q2" not in line]

    assert others(after) == others(before)
    assert after.count("review:") == 1
    assert rules(compile_folder(shop)) == set()


def test_a_second_signature_stands_beside_the_first(shop: Path) -> None:
    assert main(["sign", "word", "--by", "AB", "--on", "2026-06-01", "--kb", str(shop)]) == 0
    compiled = compile_folder(shop)
    assert page(compiled, WORD).review.by == "MK, AB"


def test_a_draft_is_approved_once_every_licence_has_signed(
    shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    change(shop, "procedures/safe.yaml", "status: approved", "status: draft")
    words = ["sign", "procedure:safe", "--on", "2026-06-01", "--kb", str(shop), "--by"]
    change(shop, "procedures/safe.yaml", "Lock Q2.", "Lock Q2 well.")
    assert main([*words, "AB"]) == 0
    assert "still needs a licence for electrical work up to 230 V" in capsys.readouterr().out
    assert state(compile_folder(shop), SAFE) is State.DRAFT
    assert main([*words, "MK"]) == 0
    assert state(compile_folder(shop), SAFE) is State.SIGNED


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ("sign", "name the entries to sign"),
        ("sign wort --by MK", "did you mean `word`?"),
        ("sign word --by ZZ", "kb.yaml names nobody with the initials ZZ"),
        ("sign word --by MK --on yesterday", "is no date"),
    ],
)
def test_wrong_use_is_one_sentence(
    shop: Path, words: str, says: str, capsys: pytest.CaptureFixture[str]
) -> None:
    more = [] if "--by" in words else ["--by", "MK"]
    assert main([*words.split(), *more, "--kb", str(shop)]) == 2
    assert says in capsys.readouterr().err


def test_what_a_review_listed_is_signed(shop: Path) -> None:
    change(shop, "terms/word.yaml", "A word.", "Another word.")
    listed = shop.parent / "review.json"
    listed.write_text('{"unsigned": ["kb.yaml", "term:word"]}', encoding="utf-8")
    assert main(["sign", "--of", str(listed), "--by", "MK", "--kb", str(shop)]) == 0
    assert state(compile_folder(shop), WORD) is State.SIGNED


def test_an_entry_with_an_error_is_not_signed(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    change(shop, "terms/word.yaml", "A word.", "See [that](term:that).")
    assert main(["sign", "word", "--by", "MK", "--kb", str(shop)]) == 2
    assert "has an error" in capsys.readouterr().err


def test_a_page_that_follows_from_the_plant_is_signed_once_walked_by_both(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    root = tmp_path / "kb"
    shutil.copytree(folder("starter_shop"), root, ignore=shutil.ignore_patterns("procedures", "symptoms"))
    people = "people:\n  - {initials: JT, may: [gas, electric], up_to: 690 V}\n  - {initials: MK}"
    change(root, "kb.yaml", "people:\n  - {initials: AB}", people)
    page = Ref(Kind.PROCEDURE, "example-heater-make-safe")
    assert page in compile_folder(root).derived
    words = ["sign", str(page), "--on", "2026-06-01", "--kb", str(root), "--by"]
    assert main([*words, "JT"]) == 2
    assert "--did XY --watched XY --plant NUMBER" in capsys.readouterr().err
    assert main(["sign", "equipment:example-heater", "--by", "MK", "--kb", str(root)]) == 0
    assert main([*words, "JT", "--did", "JT", "--watched", "MK", "--plant", "1044"]) == 0
    assert "still needs who signed the plant's entry (MK)" in capsys.readouterr().out
    compiled = compile_folder(root)
    assert page not in compiled.derived
    assert state(compiled, page) is State.DRAFT
    assert main([*words, "MK"]) == 0
    assert "never by you" in capsys.readouterr().out
    assert state(compile_folder(root), page) is State.SIGNED


def errors(root: Path) -> set[str]:
    return {each.rule for each in compile_folder(root).problems if each.severity is Severity.ERROR}


TOUR_PAGES = ("copper-make-safe", "copper-record", "string-find-dead", "string-find-live")


@pytest.fixture(scope="module")
def tour(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The plant that the README describes, its four pages taken over."""
    root = tmp_path_factory.mktemp("tour") / "kb"
    readme = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")
    for path, text in re.findall(r"```yaml\n# my-plant/(\S+)\n(.*?)```", readme, re.DOTALL):
        write_shop(root, {path: text})
    people = "people: [{initials: RT, may: [electric], up_to: 400 V}, {initials: LW, may: [gas, electric], up_to: 400 V}]\n"
    write_shop(root, {"kb.yaml": "shop: My shop\nkey: my-shop\n" + people})
    assert {each.id for each in compile_folder(root).derived} == set(TOUR_PAGES)
    assert main(["sign", "equipment:copper", "--by", "RT", "--kb", str(root)]) == 0
    for name in TOUR_PAGES:
        assert main(["new", "procedure", name, "--derived", "--kb", str(root)]) == 0
    return root


def test_what_is_taken_over_is_approved_walked_and_by_both(
    tour: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    root = shutil.copytree(tour, tmp_path / "kb")
    walk = ["--did", "LW", "--watched", "RT", "--plant", "17"]
    for name in TOUR_PAGES:
        ref = Ref(Kind.PROCEDURE, name)
        words = ["sign", str(ref), "--kb", str(root), "--by"]
        assert main([*words, "RT"]) == 2
        assert "--did XY --watched XY --plant NUMBER" in capsys.readouterr().err
        assert main([*words, "RT", *walk]) == 0
        found = compile_folder(root)
        assert found.base.entries[ref].head.walked is not None
        assert state(found, ref) is State.DRAFT
        assert main([*words, "LW"]) == 0
    assert errors(root) == set()
    found = compile_folder(root)
    assert {state(found, Ref(Kind.PROCEDURE, name)) for name in TOUR_PAGES} == {State.SIGNED}

    # After a change each signs again, in either order, and reads what differs from what they signed.
    change(root, "procedures/copper-make-safe.yaml", "Keep the locks on.", "Keep each lock on.")
    for who, waits in (("RT", True), ("LW", False)):
        capsys.readouterr()
        assert main(["sign", "--all", "--by", who, "--kb", str(root)]) == 0
        said = capsys.readouterr().out
        assert re.search(r"^-.*Keep the locks on.*\n\+.*Keep each lock on", said, re.MULTILINE)
        assert ("still needs" in said) is waits
        found = compile_folder(root)
        safe = Ref(Kind.PROCEDURE, "copper-make-safe")
        assert state(found, safe) is (State.PARTLY if waits else State.SIGNED)
        assert ("not-walked" in {each.rule for each in found.problems}) is waits
        assert found.sound


def test_a_page_taken_over_says_that_nobody_walked_it_however_it_was_approved(
    tour: Path, tmp_path: Path
) -> None:
    root = shutil.copytree(tour, tmp_path / "kb")
    found = change(root, "procedures/string-find-live.yaml", "status: draft", "status: approved")
    assert page(found, Ref(Kind.PROCEDURE, "string-find-live")).lead.startswith("Nobody has walked this")
    assert "not-walked" in {each.rule for each in found.problems}


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ("procedure:copper-record --did ZZ --watched RT --plant 1", "nobody with the initials ZZ"),
        ("procedure:copper-record --did LW", "give all of --did XY"),
        ("circuit:string --did LW --watched RT --plant 1", "has no steps to walk"),
    ],
)
def test_a_walk_is_kept_or_refused(
    tour: Path, words: str, says: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["sign", *words.split(), "--by", "RT", "--kb", str(tour)]) == 2
    assert says in capsys.readouterr().err


def test_who_signed_the_plant_before_it_was_changed_is_named(tour: Path, tmp_path: Path) -> None:
    root = shutil.copytree(tour, tmp_path / "kb")
    change(root, "equipment/copper.yaml", "Knob to 0", "Knob to off")
    words = [
        "sign",
        "procedure:copper-record",
        "--by",
        "LW",
        "--did",
        "LW",
        "--watched",
        "RT",
        "--plant",
        "17",
    ]
    assert main([*words, "--kb", str(root)]) == 0
    found = change(root, "procedures/copper-record.yaml", "status: draft", "status: approved")
    said = " ".join(each.message for each in found.problems if each.rule == "not-walked")
    assert "RT before it was changed; sign it anew first, kbgen sign equipment:copper" in said


def test_all_says_which_drafts_it_leaves_out(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    change(shop, "terms/word.yaml", "status: approved", "status: draft")
    for more in ([], ["--dry-run"]):
        assert main(["sign", "--all", "--by", "MK", "--kb", str(shop), *more]) == 0
        said = capsys.readouterr().out
        assert "1 draft" in said
        assert "kbgen sign term:word --by MK" in said


def test_derived_pages_are_listed(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    oven = Path(__file__).parents[1] / "kb" / "good" / "deck-oven"
    assert main(["new", "procedure", "--derived", "--kb", str(oven)]) == 0
    assert "interlock-string-find-live: " in capsys.readouterr().out
    assert main(["new", "procedure", "--derived", "--kb", str(shop)]) == 0
    assert "no page follows" in capsys.readouterr().out


def test_a_page_that_makes_safe_is_walked_again_where_the_shop_says_so(shop: Path) -> None:
    with (shop / "kb.yaml").open("a", encoding="utf-8") as file:
        file.write("walk_months: 12\n")

    def overdue(today: str) -> list[str]:
        found = compile_folder(shop, today=date.fromisoformat(today)).problems
        return [each.message for each in found if each.rule == "walk-overdue"]

    assert overdue("2026-06-01") == ["nobody has walked it, and `walk_months` is 12"]
    walked = 'walked: {did: JT, watched: MK, plant: "1044", on: 2026-05-04}\n'
    change(shop, "procedures/safe.yaml", "equipment:", f"{walked}equipment:")
    assert overdue("2026-06-01") == []
    assert overdue("2027-05-05") == [
        "it was last walked on 2026-05-04, which held until 2027-05-04, and `walk_months` is 12"
    ]


@pytest.fixture(scope="module")
def routines(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The shop whose pages are routines, its circuit and live hunt approved and signed by MK."""
    root = Path(
        shutil.copytree(
            Path(__file__).parents[1] / "kb" / "good" / "routines",
            tmp_path_factory.mktemp("routines") / "kb",
        )
    )
    with (root / "kb.yaml").open("a", encoding="utf-8") as file:
        file.write(PEOPLE)
    for path in ("circuits/string.yaml", "procedures/find.yaml"):
        file = root / path
        file.write_text("status: approved\n" + file.read_text(encoding="utf-8"), encoding="utf-8")
    return sign_all(root)


@pytest.mark.parametrize(
    ("path", "old", "new", "others"),
    [
        ("equipment/kw.yaml", "Isolator Q1 beside the heater", "Isolator Q1 at the heater", set()),
        ("circuits/string.yaml", "± 10 %", "± 5 %", {"find"}),
        ("devices/flow-switch.yaml", "role: operating", "role: operating\nweight: 40", {"string", "find"}),
    ],
    ids=["no figure", "readings", "order"],
)
def test_other_readings_or_another_order_are_told_and_the_entry_stays_approved(
    routines: Path, tmp_path: Path, path: str, old: str, new: str, others: set[str]
) -> None:
    root = shutil.copytree(routines, tmp_path / "kb")
    compiled = change(root, path, old, new)
    found = {
        ref: ref.id
        for ref in compiled.base.entries
        if ref.id in ("string", "find") and ref.kind is not Kind.DEVICE
    }
    told = {Path(each.place.path).stem for each in compiled.problems if each.rule == "figures-changed"}
    assert told == others
    for ref, name in found.items():
        if path != f"{ref.kind.folder}/{name}.yaml":
            assert state(compiled, ref) is State.SIGNED
            assert page(compiled, ref).review.changed is (name in others)


NEEDS = {
    "gas": ("  - {do: Open it., open_gas_train: plant-cock}\n", "", Need("gas")),
    "who": ("", "who: licensed-gas\n", Need("gas")),
    "who-electric": ("", "who: licensed-electric\n", Need("electric", 230.0)),
    "pressure": (
        "  - {do: Shut it., isolate: steam}\n",
        "",
        Need("boiler"),
    ),
    "emergency": ("", "occasion: emergency\n", Need("first-aid")),
}
QUIET = """\
title: Look
equipment: [heater]
status: draft
steps:
  - {do: Look at it., inspect: Panel}
  - {id: tag, do: Hang the tag., end: left-safe}
  - {id: away, do: Leave at once., end: evacuated}
"""


@pytest.mark.parametrize("of", NEEDS)
def test_each_licence_is_needed_for_its_steps_and_for_no_others(tmp_path: Path, of: str) -> None:
    step, head, need = NEEDS[of]
    steam = "  - {id: steam, title: Steam, energy: pressure, isolate: Stop valve, prove: Gauge at nought}\n"
    plant = PLANT.replace("fuel_valves:", f"{steam}fuel_valves:")
    text = QUIET.replace("status:", f"{head}status:").replace("  - {id: tag", f"{step}  - {{id: tag")
    files = {"equipment/heater.yaml": plant, "procedures/with.yaml": text, "procedures/without.yaml": QUIET}
    base = compile_folder(write_shop(tmp_path, files)).base
    found = [needs(base, base.entries[Ref(Kind.PROCEDURE, name)].record) for name in ("with", "without")]
    assert found == [(need,), ()]
