"""Rules about what is missing: warnings, because a shop may begin small."""

from __future__ import annotations

from collections.abc import Iterator

from kbgen.model.action import FindCause, ProveTrip
from kbgen.model.caution import Caution
from kbgen.model.device import Device
from kbgen.model.entry import Entry
from kbgen.model.equipment import Equipment
from kbgen.model.procedure import Procedure
from kbgen.model.symptom import Symptom
from kbgen.position import Spot
from kbgen.problems import Problem, Severity, error, warning
from kbgen.rules.record import Check, Material, Rule
from kbgen.rules.ways import SAFE_STARTS

_TRIPS = ("limit", "proving")
_TRIPPING_TYPES = ("contact", "relay")


def _symptoms(material: Material) -> Iterator[Problem]:
    for entry, symptom in material.base.of(Symptom):
        title = Spot(entry.path, ("title",))
        if not symptom.look_first:
            yield warning(
                "symptom-without-first-check",
                title,
                "the symptom has no first check that needs no meter",
                "Say under `look_first` what to look at: gauges, glass, buttons, filters.",
            )
        if not symptom.look_alikes and not symptom.no_look_alike:
            yield warning(
                "symptom-without-look-alike",
                title,
                "the symptom names no look-alike",
                "List what looks the same under `look_alikes`, or say under `no_look_alike` why nothing does.",
            )


def _trips(device: Device) -> bool:
    return device.type in _TRIPPING_TYPES and device.role in _TRIPS


def _devices(material: Material) -> Iterator[Problem]:
    proved = {
        name
        for _, procedure in material.base.of(Procedure)
        for name in (
            *procedure.tests,
            *(step.action.prove_trip for step in procedure.steps if isinstance(step.action, ProveTrip)),
        )
    }
    for entry, device in material.base.of(Device):
        title = Spot(entry.path, ("title",))
        if _trips(device) and not device.tested_by and entry.ref.id not in proved:
            yield warning(
                "device-nobody-tests",
                title,
                "no procedure proves that this device trips",
                "Name the procedure under `tested_by`, or list the device under `tests` of a procedure.",
            )
        if _trips(device) and device.independent_check is None:
            yield warning(
                "device-without-independent-check",
                title,
                "nothing tells a real trip of this device from a false one",
                "Say under `independent_check` how to tell without the device itself.",
            )
        if _trips(device) and not device.opening_causes:
            yield warning(
                "device-without-causes",
                title,
                "the device names no cause that opens it",
                "List them under `opening_causes`, its own job first.",
            )
        yield from _reset_by(material, entry, device)


def _reset_by(material: Material, entry: Entry, device: Device) -> Iterator[Problem]:
    if device.reset != "manual" or device.role != "limit":
        return
    if not device.reset_by:
        yield warning(
            "manual-reset-without-procedure",
            Spot(entry.path, ("reset",)),
            "the device is reset by hand and no procedure says how",
            "Name the procedure that looks for the cause and resets it under `reset_by`.",
        )
        return
    procedure = material.base.procedure(device.reset_by)
    if procedure is None:
        return
    looked = {step.action.find_cause for step in procedure.steps if isinstance(step.action, FindCause)}
    if entry.ref.id not in looked:
        yield warning(
            "reset-without-looking",
            Spot(entry.path, ("reset_by",)),
            f"{procedure.head.title} does not look for the cause of this device",
            f"Give it a step with `find_cause: {entry.ref.id}`, or name another procedure.",
        )


def _cautions(material: Material) -> Iterator[Problem]:
    for entry, caution in material.base.of(Caution):
        if not caution.applies_to and entry.ref not in material.base.backlinks:
            yield warning(
                "caution-used-nowhere",
                Spot(entry.path, ("title",)),
                "nothing shows this caution",
                "Say under `applies_to` before which steps it stands, or name it where it belongs.",
            )


def _displays(material: Material) -> Iterator[Problem]:
    explained = {shown.casefold() for _, symptom in material.base.of(Symptom) for shown in symptom.displays}
    for entry, plant in material.base.of(Equipment):
        for display in plant.displays:
            if not display.normal and display.shows.casefold() not in explained:
                yield warning(
                    "display-nobody-explains",
                    Spot(entry.path, (*display.route, "shows")),
                    f"no symptom explains what to do when the panel shows `{display.shows}`",
                    "Write a symptom that lists it under `displays`, or mark it `normal: true`.",
                )


def _sources(material: Material) -> Iterator[Problem]:
    for entry, plant in material.base.of(Equipment):
        for source in plant.sources:
            if source.electric and not source.prove:
                yield warning(
                    "source-without-proof",
                    Spot(entry.path, (*source.route, "title")),
                    f"nothing says how {source.title} is proved dead",
                    "Say under `prove` which conductors are measured to which.",
                )


def _starts(material: Material) -> Iterator[Problem]:
    for entry, procedure in material.base.of(Procedure):
        # What keeps hands whole is no mere gap: `start-only-claimed` says it.
        needed = set(procedure.starts) - {"plant-running", *SAFE_STARTS}
        if needed and not procedure.after:
            yield warning(
                "start-nobody-brings-about",
                Spot(entry.path, ("starts",)),
                "the procedure begins in a state that no other procedure is named for",
                "Name the procedure that brings it about under `after`.",
            )


def _tests(material: Material) -> Iterator[Problem]:
    for entry, procedure in material.base.of(Procedure):
        proved = {step.action.prove_trip for step in procedure.steps if isinstance(step.action, ProveTrip)}
        if not any(step.action for step in procedure.steps):
            continue
        for index, name in enumerate(procedure.tests):
            if name not in proved:
                yield warning(
                    "test-without-trip",
                    Spot(entry.path, ("tests", index)),
                    "the procedure says that it proves this device, and no step makes it trip",
                    f"Give it a step with `prove_trip: {name}`, or take it out of `tests`.",
                )


def _reviews(material: Material) -> Iterator[Problem]:
    for entry in material.base.entries.values():
        if not entry.record.head.draft and entry.record.head.review is None:
            yield error(
                "approved-without-review",
                Spot(entry.path, ("status",)),
                "the entry is approved and names no reviewer",
                "Give `review` with initials and day, or leave it a draft.",
            )


def _rule(name: str, why: str, before: str, after: str, check: Check | None) -> Rule:
    return Rule(
        name,
        "Coverage",
        Severity.WARNING,
        why,
        before,
        after,
        "Completeness of fault-finding instructions: look first, tell apart, prove, explain.",
        check,
    )


RULES: tuple[Rule, ...] = (
    _rule(
        "symptom-without-first-check",
        "Half of all faults are found by looking, and the meter comes out too early.",
        "title: Limits not made\nmeans: The limit input is open.",
        "title: Limits not made\nmeans: The limit input is open.\nlook_first:\n  - {look: Red buttons that stand out}",
        _symptoms,
    ),
    _rule(
        "symptom-without-look-alike",
        "Two faults that look the same send people to the wrong page.",
        "title: Limits not made",
        "title: Limits not made\nno_look_alike: No other fault shows these words.",
        None,
    ),
    _rule(
        "device-nobody-tests",
        "A safety device that nobody proves may have been stuck for years.",
        "title: First low-water cutoff\nrole: limit",
        "title: First low-water cutoff\nrole: limit\ntested_by: [prove-low-water]",
        _devices,
    ),
    _rule(
        "device-without-independent-check",
        "Open is not faulty: without a second look the device is replaced and the plant stays low.",
        "title: First low-water cutoff\nrole: limit",
        "independent_check:\n  with: Gauge glass\n  do: Blow it through.\n  real: Level below the mark\n  false: Level above it",
        None,
    ),
    _rule(
        "device-without-causes",
        "The page of a device without causes ends where the work begins.",
        "title: First low-water cutoff\nrole: limit",
        "opening_causes:\n  - {cause: The water is really low, own_job: true, look_for: Level below the mark}",
        None,
    ),
    _rule(
        "manual-reset-without-procedure",
        "Whoever finds the button pushes it.",
        "reset: manual",
        "reset: manual\nreset_by: reset-manual-limit",
        None,
    ),
    _rule(
        "reset-without-looking",
        "A reset without a cause is a second try at the same accident.",
        "reset_by: push-the-button",
        "reset_by: reset-manual-limit  # has find_cause",
        None,
    ),
    _rule(
        "caution-used-nowhere",
        "A safety message that nobody sees protects nobody.",
        "title: Hot water\nsignal: WARNING",
        "title: Hot water\nsignal: WARNING\napplies_to: [opening-covers]",
        _cautions,
    ),
    _rule(
        "display-nobody-explains",
        "The technician types what the panel shows and finds nothing.",
        "displays: [START NOT CLEAR]  # in no symptom",
        "displays: [START NOT CLEAR]  # also under displays of a symptom",
        _displays,
    ),
    _rule(
        "source-without-proof",
        "Everybody proves dead in his own way, or not at all.",
        "- {id: control, title: Control supply, energy: electric, isolate: Q2}",
        "- {id: control, title: Control supply, energy: electric, isolate: Q2, prove: 'X1:1 to N, to earth'}",
        _sources,
    ),
    _rule(
        "start-nobody-brings-about",
        "The procedure takes for granted what nobody has done.",
        "starts: [made-safe]",
        "starts: [made-safe]\nafter: make-safe",
        _starts,
    ),
    _rule(
        "test-without-trip",
        "The device counts as tested, and nobody has seen it stop the burner.",
        "tests: [first-low-water]  # no step makes it trip",
        "tests: [first-low-water]\nsteps:\n  - do: Lower the water and see the burner stop.\n    prove_trip: first-low-water",
        _tests,
    ),
    Rule(
        name="approved-without-review",
        family="Reviews",
        severity=Severity.ERROR,
        why="Approved means that somebody answers for it.",
        before="status: approved",
        after='status: approved\nreview: {by: MK, on: "2026-05-04"}',
        rests_on="Review of safety instructions by a named person.",
        check=_reviews,
    ),
)
