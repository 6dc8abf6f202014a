"""Changes of a small shop, told in sentences: those that make it less safe, and those that harm nobody."""

from __future__ import annotations

import re
import shutil
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from kbgen.ref import Kind, Ref
from kbgen.review import Report, Weight, review
from kbgen.review import change as c
from kbgen.review.about import About
from kbgen.review.change import Change
from kbgen.review.compare import judged_otherwise
from kbgen.review.shown import as_markdown, as_text
from kbgen.rewrite.rename import rename
from kbgen.store import open_store

SHOP = Path(__file__).resolve().parents[2] / "kb" / "good" / "routines"
Edit = Callable[[Path], None]


def put(path: str, old: str, new: str) -> Edit:
    """Return what writes one text in the place of another, once."""

    def edit(root: Path) -> None:
        text = (root / path).read_text(encoding="utf-8")
        assert old in text, (path, old)
        (root / path).write_text(text.replace(old, new, 1), encoding="utf-8")

    return edit


SIGNED = 'status: approved\nreview: [{by: MK, on: "2026-11-24"}]\n'


def reviewed(tmp_path: Path, *edits: Edit, before: tuple[Edit, ...] = ()) -> Report:
    """Hold a small shop after some edits against the same shop, all of it approved."""
    base, head = tmp_path / "base", tmp_path / "head"
    for root, ours in ((base, before), (head, edits)):
        shutil.copytree(SHOP, root)
        for path in root.glob("*/*.yaml"):
            path.write_text(SIGNED + path.read_text(encoding="utf-8"), encoding="utf-8")
        for edit in ours:
            edit(root)
    with open_store() as store:
        return review(head, base, "the shop", store)


def said(report: Report, *weights: Weight) -> str:
    """Return the sentences of some weights with their entries, a line each."""
    return "\n".join(
        f"{each.entry} {each.sentence}" for each in report.changes if not weights or each.weight in weights
    )


PLANT, SAFE = "equipment/kw.yaml", "procedures/safe.yaml"
LESS_SAFE: dict[str, tuple[Edit, str, str]] = {
    "a proof": (
        put(SAFE, "make_safe: [gas, control, heat]", "make_safe: [gas, control]"),
        "procedure:safe",
        "No longer proves Heat of header and flue gone.",
    ),
    "a conductor": (
        put(PLANT, "conductors: [X1, N]", "conductors: [X1, X2]"),
        "procedure:find-dead",
        "“proves Control supply 230 V dead” no longer measures N to X1; N to earth.",
    ),
    "the meter": (
        put("procedures/find.yaml", "meter: CAT III 300 V", "meter: any meter"),
        "procedure:find",
        "Meter: any meter, was CAT III 300 V.",
    ),
    "what reaches a zone": (
        put(PLANT, "reached_by: [control, heat]", "reached_by: [control]"),
        "equipment:kw",
        "Zones, Header inside the front, reached by: no longer heat.",
    ),
    "a signal word": (
        put("cautions/live-strip.yaml", "signal: WARNING", "signal: NOTICE"),
        "caution:live-strip",
        "Signal: NOTICE, was WARNING.",
    ),
    "where a caution comes": (
        put("cautions/live-strip.yaml", "applies_to: [live-measurement]\n", ""),
        "caution:live-strip",
        "Applies to: no longer live-measurement.",
    ),
    "who may": (
        put("procedures/tight.yaml", "who: licensed-gas\n", ""),
        "procedure:tight",
        "Who: A trained technician, was Only a person licensed for gas work.",
    ),
    "how often": (
        put("kb.yaml", "shop:", "most_starts: 9\nshop:"),
        "kb.yaml",
        "Most starts: 9, was 3.",
    ),
    "how often a trip is proved": (
        put("devices/high-limit.yaml", "every: 6 months", "every: 2 years"),
        "device:high-limit",
        "Proofs, trip, every: 2 years, was 6 months.",
    ),
    "who proves a trip": (
        put("devices/flow-switch.yaml", "1 year, by: trip", "1 year, by: trip, who: [operator]"),
        "device:flow-switch",
        "Proofs, trip, who: now operator.",
    ),
    "a proof of the scheme": (
        put("devices/flow-switch.yaml", "  - {id: look, prove: The paddle is clean, every: 1 year}\n", ""),
        "device:flow-switch",
        "Proofs: no longer look, The paddle is clean, 1 year.",
    ),
    "what may be jumped": (
        put("devices/flow-switch.yaml", "place: room", "place: room\nmay_jump: {reason: To save time}"),
        "device:flow-switch",
        "May jump: now To save time.",
    ),
}


@pytest.fixture(scope="module")
def less_safe(tmp_path_factory: pytest.TempPathFactory) -> Report:
    return reviewed(tmp_path_factory.mktemp("less"), *(edit for edit, _, _ in LESS_SAFE.values()))


@pytest.mark.parametrize("name", LESS_SAFE)
def test_what_is_less_safe_is_told(less_safe: Report, name: str) -> None:
    _, entry, sentence = LESS_SAFE[name]
    found = [each for each in less_safe.changes if each.entry == entry and each.sentence == sentence]
    assert [each.weight for each in found] == [Weight.LESS_SAFE]


def test_what_nobody_signed_since_is_named(less_safe: Report) -> None:
    assert {each.entry for each in less_safe.unsigned()} >= {entry for _, entry, _ in LESS_SAFE.values()}


def test_every_sentence_is_one_line_without_a_step_s_number(less_safe: Report) -> None:
    for each in less_safe.changes:
        assert "\n" not in each.sentence
        assert each.sentence[0] == each.sentence[0].upper()
        assert not any(f"step {number}" in each.sentence for number in range(200))


def test_what_is_safer_the_other_way_round(tmp_path: Path) -> None:
    edits = [edit for name, (edit, _, _) in LESS_SAFE.items() if name != "how often"]
    report = reviewed(tmp_path, before=tuple(edits))
    told = said(report, Weight.SAFER)
    for part in (
        "procedure:safe Now proves Heat of header and flue gone.",
        "“proves Control supply 230 V dead” now measures N to X1; N to earth.",
        "procedure:find Meter: CAT III 300 V, was any meter.",
        "reached by: now heat.",
        "caution:live-strip Signal: WARNING, was NOTICE.",
        "procedure:tight Who: Only a person licensed for gas work, was A trained technician.",
        "device:flow-switch May jump: no longer To save time.",
    ):
        assert part in told


def test_one_change_of_the_plant_is_told_once_for_all_its_pages(tmp_path: Path) -> None:
    report = reviewed(tmp_path, put(PLANT, "known_source: Proving unit", "known_source: A lamp"))
    (told,) = [each for each in report.told if "is checked on" in each.first.sentence]
    assert {each.entry for each in told.changes} == {
        "procedure:both",
        "procedure:find-dead",
        "procedure:safe",
    }
    assert all(each.derived for each in told.changes)
    assert all(each.after and each.after.line > 3 for each in told.changes)


def test_both_places_are_told_and_the_fingerprint_holds_neither(tmp_path: Path) -> None:
    edit = LESS_SAFE["the meter"][0]
    first = reviewed(tmp_path / "first", edit)
    again = reviewed(
        tmp_path / "again", edit, put("procedures/find.yaml", "title:", "# one more line\ntitle:")
    )
    one, other = (
        [each for each in report.changes if each.weight is Weight.LESS_SAFE] for report in (first, again)
    )
    assert [str(each.after) for each in (*one, *other)] == [
        "procedures/find.yaml:6:8",
        "procedures/find.yaml:7:8",
    ]
    assert str(other[0].before) == "procedures/find.yaml:6:8"
    assert one[0].fingerprint == other[0].fingerprint


def test_what_harms_nobody_alarms_nobody(tmp_path: Path) -> None:
    report = reviewed(
        tmp_path,
        put(SAFE, "do: Tighten the clamp at the header.", "do: Tighten the clamp that sits at the header."),
        put("procedures/job.yaml", "Write it down.", "Write that down."),
        put("devices/flow-switch.yaml", "title: Flow switch", "title: Flow switch\naliases: [paddle switch]"),
        put(PLANT, "title: Front panel", "title: Panel at the front"),
        put("cautions/hot-pipes.yaml", "Wear gloves at the header.", "At the header wear gloves."),
        put("procedures/find.yaml", "steps:", "# for the next reader\nsteps:"),
        put("procedures/tight.yaml", "do: It is tight. Write it down.", "do: Write down that it is tight."),
        put("procedures/back.yaml", "  - {do: Note", "  - {do: Take a photo of the plate.}\n  - {do: Note"),
    )
    assert said(report, *(weight for weight in Weight if weight is not Weight.WORDS)) == ""
    assert report.unsigned() == ()
    assert {str(ref) for ref in report.changed} >= {"procedure:safe", "caution:hot-pipes", "equipment:kw"}


def _spelt(old: str, new: str) -> Edit:
    def edit(root: Path) -> None:
        for path in [*root.rglob("*.yaml")]:
            text = path.read_text(encoding="utf-8")
            path.write_text(text.replace(old, new), encoding="utf-8")
            if path.stem == old:
                path.rename(path.with_name(f"{new}.yaml"))

    return edit


FORMER = put("devices/paddle.yaml", "status:", "former_ids: [flow-switch]\nstatus:")


def test_another_name_is_no_change_of_anything_else(tmp_path: Path) -> None:
    report = reviewed(
        tmp_path,
        _spelt("flow-switch", "paddle"),
        FORMER,
        _spelt("header,", "header-zone,"),
        put(SAFE, "work_in: header}", "work_in: header-zone}"),
    )
    assert [(str(old), str(new)) for old, new in report.renamed] == [("device:flow-switch", "device:paddle")]
    assert {each.weight for each in report.changes} == {Weight.WORDS}, said(report)
    assert "`header` is called `header-zone` now" in said(report)
    assert (report.added, report.removed) == ((), ())


@pytest.mark.parametrize(
    ("kind", "old"),
    [(Kind.CIRCUIT, "string"), (Kind.PROCEDURE, "safe"), (Kind.EQUIPMENT, "kw"), (Kind.DEVICE, "high-limit")],
)
def test_what_the_program_renamed_is_told_as_another_name_only(tmp_path: Path, kind: Kind, old: str) -> None:
    """The input of the circuit `string` is called `string` too, and stays so."""

    def renamed(root: Path) -> None:
        rename(root, kind, old, "called-so")

    report = reviewed(tmp_path, renamed)
    assert [(str(one), str(two)) for one, two in report.renamed] == [(f"{kind}:{old}", f"{kind}:called-so")]
    assert {each.sentence for each in report.changes} == {
        f"Former ids: now {old}.",
        f"Called called-so now, was {old}.",
    }


def test_a_name_whose_old_address_leads_nowhere_is_told(tmp_path: Path) -> None:
    report = reviewed(tmp_path, _spelt("flow-switch", "paddle"))
    assert said(report, Weight.UNDECIDED).startswith("device:paddle Called paddle now, was flow-switch")
    assert len([each for each in report.changes if each.weight is not Weight.WORDS]) == 1


@pytest.mark.parametrize("now", [True, False], ids=["now", "before"])
def test_what_cannot_be_read_is_told_as_undecided_and_nothing_is_made_up(tmp_path: Path, now: bool) -> None:
    breaks = put("devices/flow-switch.yaml", "guards: ", "guards ")
    report = reviewed(tmp_path, *([breaks] if now else []), before=() if now else (breaks,))
    told = said(report, Weight.UNDECIDED)
    which = "now" if now else "before"
    assert f"device:flow-switch What changed cannot be told: the version {which} cannot be read." in told
    assert "procedure:safe What it does cannot be compared while" in told
    assert "circuit:string Whether its readings are others cannot be told while device:flow-switch" in told
    assert said(report, Weight.SAFER, Weight.FIGURE, Weight.LESS_SAFE) == ""
    assert ("device:flow-switch" in {each.entry for each in report.unsigned()}) == now


def test_what_a_circuit_reads_now_is_told_with_what_hangs_on_it(tmp_path: Path) -> None:
    report = reviewed(tmp_path, put("circuits/string.yaml", "voltage: 230 V ± 10 %", "voltage: 220 V ± 10 %"))
    told = said(report, Weight.FIGURE)
    assert "circuit:string The supply reads 195 V to 246 V, was 204 V to 257 V." in told
    assert "X1; X2; X3 are full from" in told
    assert "procedure:find “measures volts at X1 to N”: is expected to read" in told
    broken = {str(each.ref): each.by for each in report.signatures}
    assert broken.keys() >= {"procedure:find", "circuit:string"}


def test_a_signature_given_after_the_change_answers_for_it(tmp_path: Path) -> None:
    edits = LESS_SAFE["the meter"][0], put("procedures/find.yaml", "2026-11-24", "2026-11-29")
    report = reviewed(tmp_path, *edits)
    assert "Meter: any meter" in said(report, Weight.LESS_SAFE)
    assert report.unsigned() == ()
    assert report.signatures == ()


def test_pages_that_vanish_and_pages_that_come(tmp_path: Path) -> None:
    def change(root: Path) -> None:
        (root / "cautions/hot-pipes.yaml").unlink()
        (root / "terms").mkdir()
        (root / "terms/brand-new.yaml").write_text("title: Brand new\nmeans: A word.\n", encoding="utf-8")

    report = reviewed(tmp_path, change)
    assert report.removed == (Ref(Kind.CAUTION, "hot-pipes"),)
    assert report.added == (Ref(Kind.TERM, "brand-new"),)
    assert "caution:hot-pipes “Hot pipes” is gone, and nothing answers at its address." in said(
        report, Weight.LESS_SAFE
    )
    assert "caution:hot-pipes" in {each.entry for each in report.unsigned()}
    assert "New: there is no caution called `hot-pipes`." in said(report)


def test_what_is_private_is_told_and_not_repeated(tmp_path: Path) -> None:
    private = put(
        "devices/flow-switch.yaml", "place: room", "place: room\nproves: Ask Mr. Smithers at 555-123-4567."
    )
    report = reviewed(tmp_path, private)
    assert [each.rule for each in report.changes if each.weight is Weight.PRIVATE][:1] == ["private-person"]
    assert "Smithers" not in said(report)
    assert "555-123" not in said(report)


HAND = "procedures/hand.yaml"
BY_HAND = """\
title: By hand
equipment: [kw]
steps:
  - {do: Note what the display says., record: [display, first-out, history, resets, gauges]}
  - {id: same, do: Compare the numbers., identify: Same number, same: stop, different: away}
  - {id: stop, do: Turn the knob to off., stop_demand: Knob S1 to 0}
  - {do: Shut the hasp., isolate: gas}
  - {do: Hang the lock., lock: gas}
  - {do: Switch the isolator off., isolate: control}
  - {do: Hang the lock., lock: control}
  - {do: Wait for the lamps., wait: 5 min, for: The lamps go dark}
  - {id: prove, do: Prove it dead., prove_dead: control, known_source: Proving unit, dead: measure, live: away}
  - {id: measure, do: Measure the switch., measure: ohms, across: flow-switch, within: leave, outside: leave}
  - {id: leave, do: Hang the tag., end: left-safe}
  - {id: away, do: Call the electrician., hand_over: Electrician}
"""


def by_hand(text: str = BY_HAND) -> Edit:
    return lambda root: (root / HAND).write_text(SIGNED + text, encoding="utf-8") and None


HANDMADE = {
    "a lock": ("  - {do: Hang the lock., lock: control}\n", "", "No longer locks Control supply 230 V."),
    "sure": (
        "  - {do: Hang the lock., lock: control}\n",
        "",
        "No longer sure on every way that Control supply 230 V is locked off, before it proves Control supply 230 V dead.",
    ),
    "a wait": ("wait: 5 min", "wait: 5 s", "“waits until: The lamps go dark”: waits 5 s, was 5 min."),
    "an answer": (
        "live: away",
        "live: measure",
        "After “Not dead, or the meter did not read, or not sure” to “proves Control supply 230 V dead” it now goes on",
    ),
    "the source of the meter": (
        ", known_source: Proving unit",
        "",
        "the meter is checked on nothing, was Proving unit",
    ),
    "an end": (
        "different: away",
        "different: stop",
        "After “Not all the same, or not sure” to “makes sure that",
    ),
    "evidence": (", resets, gauges]", ", gauges]", "No longer notes the evidence (resets)."),
    "the order": (
        "  - {do: Shut the hasp., isolate: gas}\n  - {do: Hang the lock., lock: gas}\n  - {do: Switch the isolator off., isolate: control}\n",
        "  - {do: Switch the isolator off., isolate: control}\n  - {do: Shut the hasp., isolate: gas}\n  - {do: Hang the lock., lock: gas}\n",
        "Now isolates Fuel gas last; it takes energy away in another order: stops the plant; isolates Control supply 230 V",
    ),
}


@pytest.mark.parametrize("name", HANDMADE)
def test_what_a_page_does_less_safely_is_told(tmp_path: Path, name: str) -> None:
    old, new, sentence = HANDMADE[name]
    report = reviewed(tmp_path, by_hand(), put(HAND, old, new), before=(by_hand(),))
    assert sentence in said(report, Weight.LESS_SAFE)
    assert "procedure:hand" in {each.entry for each in report.unsigned()}


def test_a_condition_that_a_step_no_longer_says_cannot_be_decided(tmp_path: Path) -> None:
    asked = by_hand(
        BY_HAND.replace("do: Turn the knob to off.", "do: Ask who is in the room before you turn it.")
    )
    report = reviewed(tmp_path, by_hand(), before=(asked,))
    assert "Ask who is in the room" in said(report, Weight.UNDECIDED)
    assert "procedure:hand" in {each.entry for each in report.unsigned()}


def test_steps_called_and_put_otherwise_are_no_alarm(tmp_path: Path) -> None:
    edits = (
        put(HAND, "id: prove", "id: prove-it"),
        put(HAND, "  - {do: Wait for", "  - {do: Take a breath.}\n  - {do: Wait for"),
    )
    report = reviewed(tmp_path, by_hand(), *edits, before=(by_hand(),))
    assert {each.weight for each in report.changes} == {Weight.WORDS}


def test_nothing_changed_is_said_so(tmp_path: Path) -> None:
    report = reviewed(tmp_path)
    assert report.counts() == "nothing changed"
    assert report.changes == ()


def test_where_a_search_leads_is_told_and_not_its_order(tmp_path: Path) -> None:
    hunts = put("procedures/find.yaml", "    found: found\n", "    found: no-supply\n")
    assert said(reviewed(tmp_path / "led", hunts), Weight.UNDECIDED, Weight.LESS_SAFE)
    weight = put("devices/high-limit.yaml", "role: limit", "role: limit\nweight: 9")
    report = reviewed(tmp_path / "weighed", weight)
    assert not [each for each in report.changes if each.touches_safety]


def test_a_contact_that_is_no_longer_in_the_string_is_less_safe(tmp_path: Path) -> None:
    report = reviewed(tmp_path, put("circuits/string.yaml", "  - {contact: flow-switch}\n", ""))
    assert "circuit:string Path: no longer contact of Flow switch." in said(report, Weight.LESS_SAFE)


def test_a_title_that_is_another_hides_no_answer_that_leads_elsewhere(tmp_path: Path) -> None:
    titled = put(PLANT, "title: Control supply 230 V", "title: Supply of the controls")
    report = reviewed(
        tmp_path, by_hand(), titled, put(HAND, "live: away", "live: measure"), before=(by_hand(),)
    )
    assert "“proves Supply of the controls dead” it now goes on as if it had passed" in said(
        report, Weight.LESS_SAFE
    )


def test_a_version_with_the_review_of_before_is_read_and_what_it_published_is_missed(tmp_path: Path) -> None:
    def earlier(root: Path) -> None:
        page = root / "procedures/find.yaml"
        text = re.sub(
            r"review: .*", "review: {by: MK, on: 2026-11-24}", page.read_text(encoding="utf-8"), count=1
        )
        assert "review: {by" in text
        page.write_text(text, encoding="utf-8")

    def gone(root: Path) -> None:
        (root / "procedures/find.yaml").unlink()

    report = reviewed(tmp_path, gone, before=(earlier,))
    assert "procedure:find" in said(report, Weight.LESS_SAFE)
    assert "cannot be read" not in said(report, Weight.UNDECIDED)


def test_many_changes_are_told_by_what_they_are_about_the_most_dangerous_first() -> None:
    def one(number: int, about: About, page: str = "", says: str = "") -> Change:
        ref = Ref(Kind.PROCEDURE, page or f"page-{number}")
        return Change(Weight.LESS_SAFE, c.Kind.CHANGED, ref, says or f"It does {number}.", about=about)

    changes = [one(number, About.READINGS) for number in range(20)]
    changes += [one(number, About.ENERGY, says="No longer locks it.") for number in range(30, 36)]
    changes.append(one(40, About.ENERGY, page="other"))
    report = Report("main", (), (), (), (), c.in_order(changes))
    assert [each.about for each in report.changes[:7]] == [About.ENERGY] * 7
    text = as_markdown(report)
    assert "22 less safe" in text
    assert text.index(f"**{About.ENERGY.value}** (2 in 7 entries)") < text.index(
        f"**{About.READINGS.value}** (20 in 20 entries)"
    )
    assert text.count("No longer locks it.") == 1
    assert "On 6 pages: procedure:page-30; " in text
    assert "- and 17 more in the report: `kbgen review` lists them" in text
    assert text.count("It does ") == 4
    assert as_text(report).count("It does ") == 21, "the report itself lists all"
    few = Report("main", (), (), (), (), c.in_order(changes[:15]))
    assert as_markdown(few).count("It does ") == 15
    assert About.READINGS.value not in as_markdown(few)
    long = [one(n, About.WAYS, says=f"{'word ' * 200}{n}.") for n in range(40)]
    long += [replace(each, weight=Weight.SAFER) for each in long] + [
        replace(each, weight=Weight.FIGURE) for each in long
    ]
    cut = as_markdown(Report("main", (), (), (), (), tuple(long), lasting=7))
    assert "Problems of the check: 0 new, 0 mended, 7 as before." in cut


def test_stricter_settings_make_no_page_less_safe(tmp_path: Path) -> None:
    report = reviewed(tmp_path, put("kb.yaml", "shop:", "most_starts: 1\nshop:"))
    assert "Most starts: 1, was 3." in said(report, Weight.SAFER)
    assert said(report, Weight.LESS_SAFE) == ""
    for ref, weight in ((Ref(Kind.PROCEDURE, "safe"), Weight.UNDECIDED), (None, Weight.LESS_SAFE)):
        new = Change(Weight.LESS_SAFE, c.Kind.ADDED, ref, "New: a loop.", rule="loop-starts-again")
        assert judged_otherwise(new).weight is weight
