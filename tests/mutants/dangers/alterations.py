"""Jumpers, lifted wires and other alterations that go in where they must not, or do not come out."""

from __future__ import annotations

from collections.abc import Iterator

from tests.mutants.draft import Draft
from tests.mutants.kinds import Kinds
from tests.mutants.moves import ends, fit, jumped, live_volts, ohms, undo, volts
from tests.mutants.site import Site

KINDS = Kinds()


@KINDS.add("A jumper lies over a device that may never be jumped.")
def forbidden_device_jumped(site: Site, draft: Draft) -> Iterator[Draft]:
    for index in ohms(draft):
        for gap in site.gaps:
            device = site.device(gap.device)
            if device and not device.may_jump:
                ends = {"over": gap.device, "from": gap.one, "to": gap.other, "circuit": gap.circuit}
                yield jumped(draft, index, **ends)


@KINDS.add("A jumper bridges everything between its ends, here two devices.")
def two_devices_spanned(site: Site, draft: Draft) -> Iterator[Draft]:
    for index in ohms(draft):
        for one, other in zip(site.gaps, site.gaps[1:], strict=False):
            if one.other == other.one and one.circuit == other.circuit:
                yield jumped(draft, index, **{"from": one.one, "to": other.other, "circuit": one.circuit})


@KINDS.add("The text names one device and the terminals are those of another.")
def another_device_named(site: Site, draft: Draft) -> Iterator[Draft]:
    for index in ohms(draft):
        for one, other in zip(site.gaps, site.gaps[1:], strict=False):
            if one.circuit == other.circuit and one.device != other.device:
                ends = {"over": one.device, "from": other.one, "to": other.other, "circuit": other.circuit}
                yield jumped(draft, index, **ends)


@KINDS.add(
    "The terminals are those of another plant's circuit; what lies between two marks here, nobody knows."
)
def terminals_of_another_plant(site: Site, draft: Draft) -> Iterator[Draft]:
    for index in ohms(draft):
        for gap in site.gaps_elsewhere[::8]:
            device = site.device(gap.device)
            if device and not device.may_jump:
                yield jumped(
                    draft,
                    index,
                    **{"over": gap.device, "from": gap.one, "to": gap.other, "circuit": gap.circuit},
                )


@KINDS.add("A resistor in the place of a sensor says that all is well, and nothing is.")
def simulated_over_a_limit(site: Site, draft: Draft) -> Iterator[Draft]:
    for index in ohms(draft):
        for gap in site.gaps[:: max(1, len(site.gaps) // 4)]:
            ends_ = {"over": gap.device, "from": gap.one, "to": gap.other, "circuit": gap.circuit}
            yield draft.copy().before(index, fit("simulating-resistor", "mutant", **ends_), undo("mutant"))


@KINDS.add("A taped door switch is a jumper.")
def door_switch_taped(site: Site, draft: Draft) -> Iterator[Draft]:
    for index in [*live_volts(draft), *draft.having("observe", "full-cycle")]:
        for opens in site.watched_covers.values():
            tape = fit("taped-switch", "mutant", over=opens[0], at="Door")
            yield draft.copy().before(index, tape, undo("mutant"))


@KINDS.add("The built-in button springs back; a jumper in its place does not.")
def jumper_instead_of_the_button(site: Site, draft: Draft) -> Iterator[Draft]:
    for index in draft.having("hold"):
        device = draft.steps[index]["hold"]
        for gap in site.gaps:
            if gap.device == device:
                ends_ = {"over": gap.device, "from": gap.one, "to": gap.other, "circuit": gap.circuit}
                yield jumped(draft.copy().forget(index), index, **ends_)


@KINDS.add("Nobody knows what a jumper without terminals bridges.")
def jumper_without_ends(site: Site, draft: Draft) -> Iterator[Draft]:
    for index in ohms(draft):
        yield jumped(draft, index)


@KINDS.add("A jumper or a wire is touched on a live string.")
def alteration_on_live(site: Site, draft: Draft) -> Iterator[Draft]:
    for index in live_volts(draft):
        step = draft.steps[index]
        wire = {"at": step["at"], "circuit": site.circuit_of(draft, step)}
        yield draft.copy().before(index, fit("lifted-wire", "mutant", **wire), undo("mutant"))


@KINDS.add("A wire is lifted and stays lifted.")
def wire_left_lifted(site: Site, draft: Draft) -> Iterator[Draft]:
    for index in ohms(draft):
        circuit = site.circuit_of(draft, draft.steps[index])
        wire = {"at": site.supply(circuit)[0], "circuit": circuit}
        yield draft.copy().before(index, fit("lifted-wire", "mutant", **wire))


@KINDS.add("The alteration comes out on one outcome only.")
def removal_behind_a_branch(site: Site, draft: Draft) -> Iterator[Draft]:
    for index in [*ohms(draft), *volts(draft)]:
        outcomes = draft.steps[index].get("outcomes", ())
        targets = {outcome["go"] for outcome in outcomes}
        if len(targets) < 2:
            continue
        changed = draft.copy().before(index, fit("muted-alarm", "mutant"))
        first = changed.steps[index + 1]["outcomes"][0]
        changed.steps.append({"id": "mutant-out", "do": "Alarm on.", "undo": "mutant", "go": first["go"]})
        first["go"] = "mutant-out"
        yield changed


@KINDS.add("Two alterations go in, and the removal names one of them twice.")
def another_removed(site: Site, draft: Draft) -> Iterator[Draft]:
    for index in draft.having("undo"):
        name = draft.steps[index]["undo"]
        changed = draft.copy()
        for where in changed.having("undo", name):
            changed.steps[where]["undo"] = "mutant"
        yield changed.before(0, fit("muted-alarm", "mutant"))


@KINDS.add("The removal is forgotten.")
def removal_forgotten(site: Site, draft: Draft) -> Iterator[Draft]:
    for index in draft.having("undo"):
        yield draft.copy().forget(index)


@KINDS.add("The alteration stays in, and the end is called an evacuation so that nobody asks.")
def evacuation_as_a_way_out(site: Site, draft: Draft) -> Iterator[Draft]:
    for index in draft.having("undo"):
        changed = draft.copy().forget(index)
        for end in sorted(changed.following(index)):
            if changed.steps[end].get("end", "evacuated") != "evacuated":
                changed.steps[end]["end"] = "evacuated"
                changed.steps[end].pop("next", None)
        yield changed


@KINDS.add("The job is broken off between fitting and removing.")
def ended_early(site: Site, draft: Draft) -> Iterator[Draft]:
    stops = [*ends(draft, "left-safe"), *ends(draft, "found")]
    for index in draft.having("fit"):
        for stop in stops[:2]:
            changed = draft.copy()
            yield changed.ask_before(index + 1, "Is it time to go?", changed.name_of(stop))


@KINDS.add("The colleague is not told what is altered.")
def handed_over_without_list(site: Site, draft: Draft) -> Iterator[Draft]:
    for index in draft.having("fit"):
        name = draft.steps[index]["name"]
        # A page that takes nothing for granted, and whose steps do not take this alteration out.
        other = next(
            each
            for each, page in site.procedures.items()
            if not page.starts and name not in {getattr(step.action, "undo", "") for step in page.steps}
        )
        changed = draft.copy().ask_before(index + 1, "Is the shift over?", "mutant-over")
        changed.steps.append({"id": "mutant-over", "do": "Go.", "hand_over": "Colleague", "next": other})
        yield changed


@KINDS.add("The burner starts with a tube off.")
def started_with_alteration(site: Site, draft: Draft) -> Iterator[Draft]:
    for index in draft.having("observe", "full-cycle"):
        changed = draft.copy().before(index, fit("unplugged-tube", "mutant", at="Air switch"))
        where = index + 2
        target = changed.steps[where].get("outcomes", [{}])[0].get("go")
        if target:
            changed.before(changed.find(target), undo("mutant"))
            yield changed


@KINDS.add("Fan or damper is held by hand while the burner shows that it runs as it should.")
def seen_running_in_hand(site: Site, draft: Draft) -> Iterator[Draft]:
    for index in draft.having("observe", "full-cycle"):
        for kind in ("hand-drive", "damper-in-hand"):
            changed = draft.copy().before(index, fit(kind, "mutant", at="Fan"))
            for number, outcome in enumerate(changed.steps[index + 1].get("outcomes", ())):
                changed.steps.append({"id": f"mutant-{number}", **undo("mutant"), "go": outcome["go"]})
                outcome["go"] = f"mutant-{number}"
            yield changed


@KINDS.add("With the supply off nothing can be seen to trip.")
def trip_proved_on_dead_plant(site: Site, draft: Draft) -> Iterator[Draft]:
    for index in ohms(draft):
        yield draft.copy().before(index, {"do": "See it trip.", "prove_trip": site.trip})
