"""How much the demonstration holds, and whether what it promises is there; ``-s`` shows the counts."""

from __future__ import annotations

import re
import statistics
from collections import Counter
from collections.abc import Iterator

import pytest
import yaml

from kbgen.compute.cautions import place_cautions
from kbgen.compute.circuit.order import order, tree_json
from kbgen.compute.due import due_list, pages_done
from kbgen.link.base import KnowledgeBase
from kbgen.model.action import End, FindCause, HandOver, Lock, Reset
from kbgen.model.caution import Caution
from kbgen.model.circuit import Circuit
from kbgen.model.device import Device
from kbgen.model.equipment import Equipment
from kbgen.model.field_note import FieldNote
from kbgen.model.procedure import Procedure
from kbgen.model.symptom import Symptom
from kbgen.pipeline import Compiled
from kbgen.ref import Kind, Ref
from kbgen.render.export import export_data
from kbgen.rules.sample import as_typed
from kbgen.text import words
from kbgen.views.blocks import Table
from kbgen.views.due import DEFERS, due_page, season_section
from tests import shared

LEAST = {
    Kind.EQUIPMENT: 4,
    Kind.CIRCUIT: 6,
    Kind.DEVICE: 32,
    Kind.SYMPTOM: 48,
    Kind.PROCEDURE: 30,
    Kind.CAUTION: 24,
    Kind.TERM: 90,
    Kind.PLANT: 7,
    Kind.FIELD_NOTE: 120,
}
LEAST_PICTURES = 8
RESULTS = {"found", "not-reproduced", "returned-to-service"}
"""Ends that say what came out of it."""


@pytest.fixture
def compiled(demonstration: Compiled) -> Compiled:
    return demonstration


def test_the_demonstration_is_in_order_and_complete(compiled: Compiled) -> None:
    counts = Counter(ref.kind for ref in compiled.base.entries)
    for kind, least in LEAST.items():
        print(f"{kind.plural}: {counts[kind]} (at least {least})")
    print(f"Pictures: {len(compiled.base.photos)} (at least {LEAST_PICTURES})")
    assert compiled.problems == ()
    assert compiled.suppressed == 6
    assert all(counts[kind] >= least for kind, least in LEAST.items())
    assert len(compiled.base.photos) >= LEAST_PICTURES


def test_nobody_in_the_middle_of_a_page_is_sent_away_by_the_end_of_one_that_is_done_on_the_way(
    compiled: Compiled,
) -> None:
    """Read literally, "Go on with the page that the symptom names" leaves the plant half made safe."""
    inner = [
        words(step.do)
        for _, procedure in compiled.base.of(Procedure)
        for step in procedure.steps
        if step.origin and step.origin.page
    ]
    sending = [text for text in inner if "the page that the symptom names" in text]
    assert sending
    first = (
        "When more steps follow here, do them. When none follow, go back to the page that sent you, otherwise"
    )
    assert [text for text in sending if first not in text] == []


def test_what_could_not_be_proved_dead_keeps_its_leads_and_the_next_one_is_told(compiled: Compiled) -> None:
    """An ending that says to touch nothing inside takes no lead off: a lead may hang on a live terminal."""
    held = []
    for entry, procedure in compiled.base.of(Procedure):
        lines = zip(procedure.steps, entry.data["steps"], strict=True)
        told = [line for step, line in lines if step.origin and step.origin.ending == "not-dead"]
        if told:
            assert "Touch nothing inside" in told[0]["do"]
            assert not any("unclip" in line or "Take the leads off" in line["do"] for line in told)
            held.append((entry.ref.id, tuple(told[-1].get("still_on", ()))))
    meters = ("meter-1", "meter-2", "meter-3")
    clips = ("black-lead", "ohmmeter")
    dryer = (
        "td-find-open-contact",
        "td-find-open-contact-dead",
        "td-leak-check",
        "td-leave-safe",
        "td-lock-off",
        "td-make-safe",
        "td-prove-limits",
        "td-prove-trips",
        "td-season-start",
    )
    boiler = ("find-open-contact-dead", "intermittent", "make-safe", "prove-valve-switches", "season-start")
    # Nothing is clipped on where the pool heater is proved dead: both probes are in hand.
    pool = (
        "find-open-contact-dead",
        "make-safe",
        "read-burner-door",
        "replace-thermal-fuse",
        "season-start",
        "test-outlet-sensor",
    )
    heater = ("find-open-contact-dead", "make-safe")
    assert sorted(held) == [
        *((f"mah-{page}", ()) for page in heater),
        *((f"ph-{page}", ()) for page in pool),
        *((f"sb-{page}", meters) for page in boiler),
        *((page, clips) for page in dryer),
    ]


@pytest.mark.parametrize(
    ("step", "answer"),
    [("supply.supply", "none"), ("supply.supply", "some")],
)
def test_a_dryer_whose_earth_is_not_read_yet_loses_its_supply_before_anybody_touches_it(
    compiled: Compiled, step: str, answer: str
) -> None:
    steps = compiled.base.entries[Ref(Kind.PROCEDURE, "td-find-open-contact")].data["steps"]
    at = {each["id"]: index for index, each in enumerate(steps) if "id" in each}
    found = at[steps[at[step]][answer]]
    while not steps[found].keys() & {"isolate", "shut_valve", "lock", "stop_demand"}:
        found = at[steps[found]["go"]] if "go" in steps[found] else found + 1
    assert steps[found].get("isolate") == "mains"


NUMBERS = ("no", "one", "two", "three", "four", "five")


@pytest.mark.parametrize("plant", ["harnok-td", "vashby-mah", "zellick-ph"])
def test_whoever_works_there_brings_a_padlock_for_everything_a_page_locks(
    compiled: Compiled, plant: str
) -> None:
    asked = {}
    for entry, procedure in compiled.base.of(Procedure, plant=plant):
        locks = {step.action.lock for step in procedure.steps if isinstance(step.action, Lock)}
        words = " ".join(procedure.tools).lower()
        brought = max((n for n, word in enumerate(NUMBERS) if f"{word} padlock" in words), default=0)
        asked[entry.ref.id] = (len(locks), brought)
    assert asked
    assert {page: counts for page, counts in asked.items() if counts[0] > counts[1]} == {}


def test_every_display_is_normal_has_a_symptom_or_is_told_as_passing(compiled: Compiled) -> None:
    base = compiled.base
    for entry, plant in base.of(Equipment):
        plant_id = entry.ref.id
        explained = {shows for _, s in base.of(Symptom) if plant_id in s.equipment for shows in s.displays}
        passing = {passes.shows for stage in plant.sequence for passes in stage.passes}
        normal = {display.shows for display in plant.displays if display.normal}
        shown = {display.shows for display in plant.displays}
        in_a_run = {shows for stage in plant.sequence for shows in stage.displays} | passing
        assert in_a_run <= shown, plant_id
        assert shown <= normal | explained | passing, plant_id


def test_every_device_has_a_test_and_causes_to_look_for(compiled: Compiled) -> None:
    for entry, device in compiled.base.of(Device):
        assert device.tested_by, entry.ref.id
        assert len(device.opening_causes) >= 3, entry.ref.id
        for cause in (*device.opening_causes, *device.sticking_causes):
            assert all((cause.look_for, cause.remedy, cause.appears)), (entry.ref.id, cause.cause)


def test_every_device_that_trips_is_told_from_a_false_trip(compiled: Compiled) -> None:
    """A sensor that the controller reads stands in no string and cannot trip."""
    for entry, device in compiled.base.of(Device):
        check = device.independent_check
        assert check is not None, entry.ref.id
        assert all((check.with_, check.do, check.real, check.false)), entry.ref.id
        if device.type != "sensor":
            assert any(cause.own_job for cause in device.opening_causes), entry.ref.id


def test_what_stays_tripped_is_reset_by_a_page_that_looks_for_the_cause_first(compiled: Compiled) -> None:
    stays = {
        entry.ref.id: device
        for entry, device in compiled.base.of(Device)
        if device.reset in ("manual", "one-shot")
    }
    assert stays
    for device_id, device in stays.items():
        page = compiled.base.procedure(device.reset_by)
        assert page is not None, device_id
        does = [step.action for step in page.steps]
        causes = [
            n for n, act in enumerate(does) if isinstance(act, FindCause) and act.find_cause == device_id
        ]
        resets = [n for n, act in enumerate(does) if isinstance(act, Reset) and act.reset == device_id]
        assert causes, device_id
        assert device.reset == "one-shot" or resets, device_id
        assert all(min(causes) < n for n in resets), device_id


def test_what_is_said_to_show_after_a_trip_is_something_to_see(compiled: Compiled) -> None:
    for entry, device in compiled.base.of(Device):
        assert not device.remembers.startswith("Nothing"), entry.ref.id


def test_every_procedure_ends_in_each_way_it_can(compiled: Compiled) -> None:
    """Out of the room at once, left safe or handed to somebody, or with a result where it looks for one."""
    for entry, procedure in compiled.base.of(Procedure):
        ends = {step.action.end for step in procedure.steps if isinstance(step.action, End)}
        handed = any(isinstance(step.action, HandOver) for step in procedure.steps)
        assert "evacuated" in ends, entry.ref.id
        assert "left-safe" in ends or handed, entry.ref.id
        assert ends & RESULTS or "leave-safe" in entry.ref.id or "hand-over" in entry.ref.id, entry.ref.id


def test_field_notes_change_the_order_of_tests_and_beat_walking_along_the_strip(compiled: Compiled) -> None:
    base = compiled.base
    without = {ref: entry for ref, entry in base.entries.items() if not isinstance(entry.record, FieldNote)}
    bare = KnowledgeBase(base.shop, without, base.backlinks, base.photos)
    plants = set()
    for entry, circuit in base.of(Circuit):
        noted, blank = order(base, entry.ref.id), order(bare, entry.ref.id)
        changed = tree_json(noted.probing, noted.tree) != tree_json(blank.probing, blank.tree)
        if changed and noted.expected_minutes < noted.walk_minutes:
            plants.add(circuit.equipment)
    assert plants


def test_no_caution_asks_for_less_of_the_meter_than_the_page_it_stands_on(compiled: Compiled) -> None:
    """Whoever believes the caution brings a meter that the panel can kill him through."""

    def volts(text: str) -> set[int]:
        return {int(each) for each in re.findall(r"CAT III (\d+) V", text)}

    base, held = compiled.base, 0
    for entry, procedure in base.of(Procedure):
        needed = volts(procedure.meter)
        for placed in {each.ref for step in place_cautions(base, procedure) for each in step}:
            caution = base.entries[placed].record
            assert isinstance(caution, Caution)
            said = volts(words(caution.avoid))
            held += bool(said and needed)
            assert not said or not needed or min(said) >= min(needed), (entry.ref.id, placed.id)
    assert held >= 5


@pytest.mark.parametrize("plant", ["sb", "td", "ph", "mah"])
def test_pages_are_short_and_typed_so_that_they_can_be_read(plant: str) -> None:
    """No page over 250 lines, half of them under 120; no line over 110 signs, no map in braces with more than three keys."""
    pages = sorted((shared.DEMONSTRATION / "procedures").glob(f"{plant}-*.yaml"))
    lines = {page.name: page.read_text(encoding="utf-8").splitlines() for page in pages}
    sizes = sorted(map(len, lines.values()))
    print(
        f"{plant}: {sum(sizes)} lines in {len(sizes)} pages, longest {sizes[-1]}, median {statistics.median(sizes)}"
    )
    assert sizes[-1] <= 250
    assert statistics.median(sizes) < 120
    for name, page in lines.items():
        assert [line for line in page if len(line) > 110 and not line.startswith("asked:")] == [], name
        # Who read it is written by `kbgen sign`, in its own way.
        typed = [line for line in page if not line.startswith(("review:", "asked:"))]
        assert max(braces(yaml.compose("\n".join(typed)))) <= 3, name


def test_all_procedures_together_are_no_longer_than_they_may_be() -> None:
    """What a page repeats is said by plant data, endings and calls: less to read over, less that can differ."""
    sizes = [
        len(page.read_text(encoding="utf-8").splitlines())
        for page in (shared.DEMONSTRATION / "procedures").glob("*.yaml")
    ]
    print(
        f"{sum(sizes)} lines in {len(sizes)} pages, longest {max(sizes)}, median {statistics.median(sizes)}"
    )
    assert len(sizes) >= 52
    assert sum(sizes) <= 7000


def braces(node: yaml.Node) -> Iterator[int]:
    """Yield how many keys each map in braces has."""
    if isinstance(node, yaml.MappingNode):
        yield len(node.value) if node.flow_style else 0
        for pair in node.value:
            yield from (count for each in pair for count in braces(each))
    elif isinstance(node, yaml.SequenceNode):
        yield from (count for each in node.value for count in braces(each))


def test_a_field_note_was_read_by_somebody_after_its_job(compiled: Compiled) -> None:
    for entry, note in compiled.base.of(FieldNote):
        assert all(review.on >= note.date for review in entry.record.head.review), entry.ref.id


def test_what_is_due_on_each_plant_stands_on_its_page_in_the_export_and_in_the_season_start(
    compiled: Compiled,
) -> None:
    base = compiled.base
    exported = export_data(base, compiled.edition)["due"]
    for entry, plant in base.of(Equipment):
        dues = due_list(base, entry.ref.id)
        guards = {
            device.ref
            for device, record in base.of(Device, plant=entry.ref.id)
            if record.guards and record.role in ("limit", "proving", "permissive")
        }
        assert guards <= {due.of for due in dues}
        assert [(each["of"], each["proof"]) for each in exported[entry.ref.id]] == [
            (str(due.of), due.proof.id) for due in dues
        ]
        page = due_page(base, entry, plant)
        assert page is not None
        assert base.shop.shop in page.lead
        assert DEFERS in page.lead
        rows = [
            row
            for part in page.sections
            for block in part.blocks
            if isinstance(block, Table)
            for row in block.rows
        ]
        print(
            f"{entry.ref.id}: {len(dues)} proofs, {len([p for p in page.sections if p.anchor != 'plant'])} intervals"
        )
        assert len(rows) == len(dues)
        starts = [
            (page.ref, each)
            for page, each in base.of(Procedure, plant=entry.ref.id)
            if each.occasion == "season-start"
        ]
        sections = [part for ref, each in starts if (part := season_section(base, ref, each)) is not None]
        listed = {
            row
            for part in sections
            for block in part.blocks
            if isinstance(block, Table)
            for row in block.rows
        }
        print(f"{entry.ref.id}: {len(listed)} at the start of the season")
        done = frozenset().union(*(pages_done(ref, each) for ref, each in starts))
        assert len(listed) == sum(due.proof.every.at_season_start or due.proof.by in done for due in dues)
        if entry.ref.id in ("harnok-td", "zellick-ph"):
            assert guards == {due.of for due in dues if due.proof.by in done} - {entry.ref}


SAME_HAZARD = {
    "gas escape": ("gas-escape", "dryer-gas-escape", "pool-gas-escape", "roof-gas-escape"),
    "starts by itself": (
        "starts-by-itself",
        "dryer-starts-by-itself",
        "heater-starts-by-itself",
        "pool-starts-by-itself",
    ),
    "flue gas in the room": ("exhaust-in-the-room", "pool-vent-co"),
    "live terminals": ("live-control-circuit", "both-sides-live", "pool-live-panel", "booth-release-live"),
    "fan supply": ("high-voltage-fan", "heater-fan-400"),
    "jumper": (
        "no-jumper-on-safeguards",
        "no-jumper-in-the-dryer",
        "no-jumper-on-safeguards-heater",
        "pool-no-jumper",
    ),
    "one reset": ("one-reset-only", "one-press-only", "pool-one-reset", "limit-reset-after-cause"),
    "foreign 24 V": ("foreign-fed-voltage", "booster-feed"),
}
DANGERS_BEFORE, WORDS_BEFORE = 22, 43.5
"""Of 46 cautions at the reading by the trade: how many said DANGER; and words to avoid it by, on average, on 29 November."""


def test_danger_is_kept_for_the_few_that_kill_and_one_hazard_has_one_word(compiled: Compiled) -> None:
    cautions = {entry.ref.id: caution for entry, caution in compiled.base.of(Caution)}
    counts = Counter(caution.signal for caution in cautions.values())
    avoid = statistics.mean(len(words(caution.avoid).split()) for caution in cautions.values())
    print(
        f"{dict(counts)} of {len(cautions)}, DANGER before: {DANGERS_BEFORE}; {avoid:.1f} words, before: {WORDS_BEFORE}"
    )
    assert counts["DANGER"] <= 12
    for hazard, names in SAME_HAZARD.items():
        assert len({cautions[name].signal for name in names}) == 1, hazard


LONG_BEFORE = 106
"""Sentences of more than 20 words on 29 November, counted as below."""


def test_instructions_have_at_most_twenty_words_a_sentence_and_few_others_have_more(
    compiled: Compiled,
) -> None:
    sentences = [
        each
        for entry in compiled.base.entries.values()
        if entry.ref.kind not in (Kind.TERM, Kind.FIELD_NOTE)
        for _, kind, text in compiled.schemas.texts(entry.ref.kind, as_typed(entry))
        if kind != "code"
        for each in re.split(r"(?<=[.!?:;])\s+|\n\s*[-0-9]", text)
    ]
    long = [each for each in sentences if len(each.split()) > 20]
    print(f"{len(long)} of {len(sentences)} sentences have more than 20 words; before: {LONG_BEFORE}")
    assert len(long) < LONG_BEFORE


def test_the_title_of_a_procedure_names_its_plant(compiled: Compiled) -> None:
    """In a list of all of them somebody takes the wrong one."""
    called = {
        "ondrel-sb": "boiler",
        "harnok-td": "dryer",
        "vashby-mah": "roof heater|roof fan",
        "zellick-ph": "pool heater",
    }
    pages = [(entry, page) for entry, page in compiled.base.of(Procedure) if page.equipment]
    assert len(pages) > 50
    for entry, page in pages:
        assert re.search(called[page.equipment[0]], entry.title, re.IGNORECASE), entry.ref.id
