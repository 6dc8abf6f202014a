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
from kbgen.problems import Problem
from kbgen.rule import Family
from kbgen.rules.material import Check, Material
from kbgen.rules.ways import SAFE_STARTS

COVERAGE = Family(
    "Coverage", "Completeness of fault-finding instructions: look first, tell apart, prove, explain."
)

_TRIPS = ("limit", "proving")
_TRIPPING_TYPES = ("contact", "relay")


SYMPTOM_WITHOUT_FIRST_CHECK = COVERAGE.warning(
    "symptom-without-first-check",
    "Half of all faults are found by looking, and the meter comes out too early.",
    "title: Limits not made\nmeans: The limit input is open.",
    "title: Limits not made\nmeans: The limit input is open.\nlook_first:\n"
    "  - {look: Red buttons that stand out}",
    rests_on="`look_first` of the symptom.",
)
SYMPTOM_WITHOUT_LOOK_ALIKE = COVERAGE.warning(
    "symptom-without-look-alike",
    "Two faults that look the same send people to the wrong page.",
    "title: Limits not made",
    "title: Limits not made\nno_look_alike: No other fault shows these words.",
    rests_on="`look_alikes` of the symptom.",
)


def _symptoms(material: Material) -> Iterator[Problem]:
    for entry, symptom in material.base.of(Symptom):
        title = Spot(entry.path, ("title",))
        if not symptom.look_first:
            yield SYMPTOM_WITHOUT_FIRST_CHECK.at(
                title,
                "the symptom has no first check that needs no meter",
                "Say under `look_first` what to look at: gauges, glass, buttons, filters.",
            )
        if not symptom.look_alikes and not symptom.no_look_alike:
            yield SYMPTOM_WITHOUT_LOOK_ALIKE.at(
                title,
                "the symptom names no look-alike",
                "List what looks the same under `look_alikes`, or say under `no_look_alike` why nothing does.",
            )


def _trips(device: Device) -> bool:
    return device.type in _TRIPPING_TYPES and device.role in _TRIPS


DEVICE_NOBODY_TESTS = COVERAGE.warning(
    "device-nobody-tests",
    "A safety device that nobody proves may have been stuck for years.",
    "title: First low-water cutoff\nrole: limit",
    "title: First low-water cutoff\nrole: limit\ntested_by: [prove-low-water]",
    rests_on="`tested_by` of the devices and `tests` of the procedures.",
    of_all=True,
)
DEVICE_WITHOUT_INDEPENDENT_CHECK = COVERAGE.warning(
    "device-without-independent-check",
    "Open is not faulty: without a second look the device is replaced and the plant stays low.",
    "title: First low-water cutoff\nrole: limit",
    "independent_check:\n  with: Gauge glass\n  do: Blow it through.\n  real: Level below the mark\n"
    "  false: Level above it",
    rests_on="`independent_check` of the device.",
)
DEVICE_WITHOUT_CAUSES = COVERAGE.warning(
    "device-without-causes",
    "The page of a device without causes ends where the work begins.",
    "title: First low-water cutoff\nrole: limit",
    "opening_causes:\n  - {cause: The water is really low, own_job: true, look_for: Level below the mark}",
    rests_on="`opening_causes` and `sticking_causes` of the device.",
)


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
            yield DEVICE_NOBODY_TESTS.at(
                title,
                "no procedure proves that this device trips",
                "Name the procedure under `tested_by`, or list the device under `tests` of a procedure.",
            )
        if _trips(device) and device.independent_check is None:
            yield DEVICE_WITHOUT_INDEPENDENT_CHECK.at(
                title,
                "nothing tells a real trip of this device from a false one",
                "Say under `independent_check` how to tell without the device itself.",
            )
        if _trips(device) and not device.opening_causes:
            yield DEVICE_WITHOUT_CAUSES.at(
                title,
                "the device names no cause that opens it",
                "List them under `opening_causes`, its own job first.",
            )
        yield from _reset_by(material, entry, device)


MANUAL_RESET_WITHOUT_PROCEDURE = COVERAGE.warning(
    "manual-reset-without-procedure",
    "Whoever finds the button pushes it.",
    "reset: manual",
    "reset: manual\nreset_by: reset-manual-limit",
    rests_on="`reset` of the device and the procedures that reset it.",
)
RESET_WITHOUT_LOOKING = COVERAGE.warning(
    "reset-without-looking",
    "A reset without a cause is a second try at the same accident.",
    "reset_by: push-the-button",
    "reset_by: reset-manual-limit  # has find_cause",
    rests_on="`find_cause` before the reset in the procedures that `reset_by` names.",
)


def _reset_by(material: Material, entry: Entry, device: Device) -> Iterator[Problem]:
    if device.reset != "manual" or device.role != "limit":
        return
    if not device.reset_by:
        yield MANUAL_RESET_WITHOUT_PROCEDURE.at(
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
        yield RESET_WITHOUT_LOOKING.at(
            Spot(entry.path, ("reset_by",)),
            f"{procedure.head.title} does not look for the cause of this device",
            f"Give it a step with `find_cause: {entry.ref.id}`, or name another procedure.",
        )


CAUTION_USED_NOWHERE = COVERAGE.warning(
    "caution-used-nowhere",
    "A safety message that nobody sees protects nobody.",
    "title: Hot water\nsignal: WARNING",
    "title: Hot water\nsignal: WARNING\napplies_to: [opening-covers]",
    rests_on="Every field that names a caution.",
    of_all=True,
)


def _cautions(material: Material) -> Iterator[Problem]:
    for entry, caution in material.base.of(Caution):
        if not caution.applies_to and entry.ref not in material.base.backlinks:
            yield CAUTION_USED_NOWHERE.at(
                Spot(entry.path, ("title",)),
                "nothing shows this caution",
                "Say under `applies_to` before which steps it stands, or name it where it belongs.",
            )


DISPLAY_NOBODY_EXPLAINS = COVERAGE.warning(
    "display-nobody-explains",
    "The technician types what the panel shows and finds nothing.",
    "displays: [START NOT CLEAR]  # in no symptom",
    "displays: [START NOT CLEAR]  # also under displays of a symptom",
    rests_on="`displays` of the plant and of the symptoms.",
    of_all=True,
)


def _displays(material: Material) -> Iterator[Problem]:
    explained = {shown.casefold() for _, symptom in material.base.of(Symptom) for shown in symptom.displays}
    for entry, plant in material.base.of(Equipment):
        for display in plant.displays:
            if not display.normal and display.shows.casefold() not in explained:
                yield DISPLAY_NOBODY_EXPLAINS.at(
                    Spot(entry.path, (*display.route, "shows")),
                    f"no symptom explains what to do when the panel shows `{display.shows}`",
                    "Write a symptom that lists it under `displays`, or mark it `normal: true`.",
                )


SOURCE_WITHOUT_PROOF = COVERAGE.warning(
    "source-without-proof",
    "Everybody proves dead in his own way, or not at all.",
    "- {id: control, title: Control supply, energy: electric, isolate: Q2}",
    "- {id: control, title: Control supply, energy: electric, isolate: Q2, prove: 'X1:1 to N, to earth'}",
    rests_on="`prove` of the source and the procedures with its proof.",
)


def _sources(material: Material) -> Iterator[Problem]:
    for entry, plant in material.base.of(Equipment):
        for source in plant.sources:
            if source.electric and not source.prove:
                yield SOURCE_WITHOUT_PROOF.at(
                    Spot(entry.path, (*source.route, "title")),
                    f"nothing says how {source.title} is proved dead",
                    "Say under `prove` which conductors are measured to which.",
                )


START_NOBODY_BRINGS_ABOUT = COVERAGE.warning(
    "start-nobody-brings-about",
    "The procedure takes for granted what nobody has done.",
    "starts: [made-safe]",
    "starts: [made-safe]\nafter: make-safe",
    rests_on="`starts` of the procedures and what the ends of the others leave.",
)


def _starts(material: Material) -> Iterator[Problem]:
    for entry, procedure in material.pages():
        # What keeps hands whole is no mere gap: `start-only-claimed` says it.
        needed = set(procedure.starts) - {"plant-running", *SAFE_STARTS}
        if needed and not procedure.after:
            yield START_NOBODY_BRINGS_ABOUT.at(
                Spot(entry.path, ("starts",)),
                "the procedure begins in a state that no other procedure is named for",
                "Name the procedure that brings it about under `after`.",
            )


TEST_WITHOUT_TRIP = COVERAGE.error(
    "test-without-trip",
    "The device counts as tested, and nobody has seen it stop the burner.",
    "tests: [first-low-water]  # no step makes it trip",
    "tests: [first-low-water]\nsteps:\n  - do: Lower the water and see the burner stop.\n"
    "    prove_trip: first-low-water",
    rests_on="`tests` of the procedure and its `prove_trip` steps.",
)


def _tests(material: Material) -> Iterator[Problem]:
    for entry, procedure in material.pages():
        proved = {step.action.prove_trip for step in procedure.steps if isinstance(step.action, ProveTrip)}
        if not any(step.action for step in procedure.steps):
            continue
        for index, name in enumerate(procedure.tests):
            if name not in proved:
                yield TEST_WITHOUT_TRIP.at(
                    Spot(entry.path, ("tests", index)),
                    "the procedure says that it proves this device, and no step makes it trip",
                    f"Give it a step with `prove_trip: {name}`, or take it out of `tests`.",
                )


CHECKS: tuple[Check, ...] = (_symptoms, _devices, _cautions, _displays, _sources)
PAGE_CHECKS: tuple[Check, ...] = (_starts, _tests)
