"""What a reviewer is told of a machine that was visited, and of remarks that nobody has answered."""

from __future__ import annotations

from pathlib import Path

from kbgen.review import Report, Weight, review
from kbgen.review.shown import as_data, as_markdown, as_text
from kbgen.store import Store
from tests.unit.shops import write_shop

DRYER = "title: Dryer\nsizes: [{id: small, title: Small}, {id: large, title: Large}]\nsettings: [{id: hot, title: Hot, value: 70 °C}]\n"
VANE = "title: Vane\nequipment: [dryer]\nrole: proving\ndead_state: open\nnever_because: It proves the air.\n"
PAGE = "title: Leave it\nequipment: [dryer]\nsteps: [{id: look, do: Look., end: left-safe}]\n"
HEAD = "title: Dryer in the corner\nnumber: T-1\nequipment: dryer\nsize: {size}\nas_of: {day}\n"
LEFT = "settings: [{{setting: hot, value: {hot}, on: 2026-01-12}}]\noutstanding: [{{what: Belt to be changed, since: 2026-01-12}}]\n"
NOTE = "title: Job\ndate: 2026-02-03\nequipment: dryer\nplant: t-1\nremarks: [{page: leave, step: look, said: No lamp is there%s}]\n"
FILES = {"equipment/dryer.yaml": DRYER, "devices/vane.yaml": VANE, "procedures/leave.yaml": PAGE}


def reviewed(tmp_path: Path, before: str, after: str, answer: str = "") -> Report:
    base, head = tmp_path / "base", tmp_path / "head"
    write_shop(base, FILES | {"plants/t-1.yaml": before, "field_notes/n.yaml": NOTE % ""})
    write_shop(head, FILES | {"plants/t-1.yaml": after, "field_notes/n.yaml": NOTE % answer})
    return review(head, base, "main", Store())


def machine(size: str = "small", day: str = "2026-01-12", hot: str = "70 °C", more: str = LEFT) -> str:
    return HEAD.format(size=size, day=day) + more.format(hot=hot)


def told(report: Report) -> dict[str, Weight]:
    return {
        each.sentence: each.weight for each in report.changes if each.entry == "plant:t-1" and not each.rule
    }


def test_a_visit_is_told_line_by_line(tmp_path: Path) -> None:
    proofs = "proofs: [{{device: vane, on: 2026-02-03}}]\n"
    found = told(reviewed(tmp_path, machine(), machine(day="2026-02-03", hot="74 °C", more=LEFT + proofs)))
    assert found["As of: 2026-02-03, was 2026-01-12."] is Weight.WORDS
    assert found["Settings, hot, value: 74 °C, was 70 °C."] is Weight.FIGURE
    assert found["Proofs: now vane, 2026-02-03."] is Weight.SAFER


def test_what_was_outstanding_is_not_taken_off_in_silence(tmp_path: Path) -> None:
    settings = LEFT.splitlines()[0] + "\n"
    found = told(reviewed(tmp_path, machine(), machine(more=settings)))
    ((said, weight),) = found.items()
    assert "Belt to be changed" in said
    assert weight is Weight.UNDECIDED


def test_another_size_cannot_be_judged_by_a_file(tmp_path: Path) -> None:
    assert set(told(reviewed(tmp_path, machine(), machine(size="large"))).values()) == {Weight.UNDECIDED}


def test_a_remark_is_shown_at_every_review_until_it_is_answered(tmp_path: Path) -> None:
    report = reviewed(tmp_path, machine(), machine(day="2026-02-03"))
    words = "procedure:leave, step `look`: “No lamp is there” (field-note:n, 2026-02-03)"
    assert f"Said to be wrong at the plant, not answered yet: {words}." in as_text(report)
    assert "No lamp is there" in as_markdown(report)
    assert as_data(report)["remarks"] == [{"id": "procedure:leave", "sentence": words.partition(", ")[2]}]


def test_an_answer_is_told_once_and_ends_it(tmp_path: Path) -> None:
    report = reviewed(tmp_path, machine(), machine(), ", answer: The lamp is named now")
    assert report.remarks == ()
    assert any("The lamp is named now" in each.sentence for each in report.changes)


def test_a_machine_that_is_gone_is_no_loss_that_a_file_can_judge(tmp_path: Path) -> None:
    base, head = tmp_path / "base", tmp_path / "head"
    write_shop(base, FILES | {"plants/t-1.yaml": "status: approved\n" + machine()})
    write_shop(head, FILES)
    (weight,) = told(review(head, base, "main", Store())).values()
    assert weight is Weight.UNDECIDED
