"""Readings that hurt somebody, or that say what is not so."""

from __future__ import annotations

from collections.abc import Iterator

from tests.mutants.draft import Draft
from tests.mutants.kinds import Kinds
from tests.mutants.moves import decides, live_volts, ohms, undead, volts
from tests.mutants.site import Site

KINDS = Kinds()


@KINDS.add("With the supply off every reading is zero, and a sound contact is called open.")
def isolated_before_reading(site: Site, draft: Draft) -> Iterator[Draft]:
    for index in live_volts(draft):
        yield draft.copy().before(index, {"do": "Switch it off.", "isolate": site.control})


@KINDS.add("Ohms are measured on a live string.")
def ohms_on_live(site: Site, draft: Draft) -> Iterator[Draft]:
    for index in volts(draft):
        changed = draft.copy()
        changed.steps[index]["measure"] = "ohms"
        changed.steps[index].pop("meter", None)
        yield changed


@KINDS.add("The burner can light and the fan start while hands hold the probes.")
def fuel_left_open(site: Site, draft: Draft) -> Iterator[Draft]:
    held = [i for i in live_volts(draft) if draft.steps[i].get("leads", "held") == "held"]
    if held and not {"made-safe", "fuel-shut"} & set(draft.starts()):
        cocks = [i for i in draft.having("shut_valve") if draft.steps[i]["shut_valve"] not in site.pilots]
        yield draft.copy().forget(*cocks, *draft.having("isolate", site.fuel))


@KINDS.add("The cock that is shut opens a contact of the string, and that contact is found open.")
def wrong_cock_shut(site: Site, draft: Draft) -> Iterator[Draft]:
    for valve in site.train_valves if live_volts(draft) else ():
        first = live_volts(draft)[0]
        circuit = site.circuit_of(draft, draft.steps[first])
        read = {draft.steps[i]["at"] for i in live_volts(draft)}
        if not any(set(valve.opens) & site.upstream(circuit, mark) for mark in read):
            continue
        shut = [i for i in draft.having("shut_valve") if i < first]
        shut = [i for i in shut if draft.steps[i]["shut_valve"] not in (valve.id, *site.pilots)]
        for index in shut[:1]:
            changed = draft.copy()
            changed.steps[index]["shut_valve"] = valve.id
            yield changed.forget(*[i for i in changed.having("open_valve", valve.id) if i < first])


@KINDS.add("The door is open for the reading, and its own contact is found open.")
def read_behind_the_door(site: Site, draft: Draft) -> Iterator[Draft]:
    for index in live_volts(draft):
        step = draft.steps[index]
        before = site.upstream(site.circuit_of(draft, step), step["at"])
        for cover, opens in site.watched_covers.items():
            if before & set(opens):
                yield draft.copy().before(index, {"do": "Open it.", "open_cover": cover})


@KINDS.add("A low-impedance meter across an open safety contact makes the string: it is a jumper.")
def low_impedance_across(site: Site, draft: Draft) -> Iterator[Draft]:
    for index in volts(draft):
        for gap in site.gaps:
            if gap.other == draft.steps[index]["at"]:
                changed = draft.copy()
                changed.steps[index] |= {
                    "at": gap.one,
                    "to": gap.other,
                    "meter": "low-impedance",
                    "circuit": gap.circuit,
                }
                yield changed


@KINDS.add("The reading names the circuit of another plant: what lies upstream, nobody can know.")
def reading_in_another_plant(site: Site, draft: Draft) -> Iterator[Draft]:
    for index in live_volts(draft):
        for gap in site.gaps_elsewhere[::40]:
            changed = draft.copy()
            changed.steps[index] |= {"at": gap.one, "to": gap.other, "circuit": gap.circuit}
            yield changed


@KINDS.add("A ghost voltage on an open wire reads in between, and a part is blamed for it.")
def middle_trusted(site: Site, draft: Draft) -> Iterator[Draft]:
    for index in volts(draft):
        some, none = draft.outcome(index, "some"), draft.outcome(index, "none")
        if draft.steps[index].get("meter") != "low-impedance" and some and none and some["go"] != none["go"]:
            if not decides(draft, none["go"]):
                continue
            changed = draft.copy()
            changed.outcome(index, "some")["go"] = none["go"]
            yield changed


@KINDS.add("A middle reading that is repeated in high impedance is the same ghost again.")
def repeated_in_high_impedance(site: Site, draft: Draft) -> Iterator[Draft]:
    for index in volts(draft):
        some = draft.outcome(index, "some")
        if draft.steps[index].get("meter") == "low-impedance" and some and decides(draft, some["go"]):
            changed = draft.copy()
            del changed.steps[index]["meter"]
            yield changed


@KINDS.add("With the supply or the return missing every point reads zero.")
def supply_not_read(site: Site, draft: Draft) -> Iterator[Draft]:
    own = draft.data.get("circuit")
    supply = [i for i in volts(draft) if draft.steps[i]["at"] in (site.supply(own) if own else ())]
    if not supply or len(volts(draft)) <= len(supply):
        return
    # Every contact behind the supply in turn is found open although nothing was read full.
    first = min(i for i in volts(draft) if i not in supply)
    zero = draft.outcome(first, "none")
    if zero is None or not decides(draft, zero["go"]):
        # It leads to a call for help, and nothing is made of the zero.
        return
    changed = draft.copy().forget(*supply)
    for index in supply:
        for outcome in changed.steps[index]["outcomes"]:
            if changed.find(outcome["go"]) in supply:
                outcome["go"] = changed.name_of(first)
    yield changed


@KINDS.add("An ammeter is a piece of wire: across an open contact it is a jumper.")
def ammeter_across(site: Site, draft: Draft) -> Iterator[Draft]:
    for index in live_volts(draft):
        for gap in site.gaps:
            if gap.other == draft.steps[index]["at"]:
                changed = draft.copy()
                step = changed.steps[index]
                step |= {"measure": "amps", "at": gap.one, "to": gap.other, "circuit": gap.circuit}
                step.pop("meter", None)
                step.pop("reads", None)
                yield changed


@KINDS.add("From a terminal to the return an ammeter is a short circuit.")
def ammeter_to_the_return(site: Site, draft: Draft) -> Iterator[Draft]:
    for index in live_volts(draft):
        changed = draft.copy()
        changed.steps[index]["measure"] = "amps"
        changed.steps[index].pop("meter", None)
        changed.steps[index].pop("reads", None)
        yield changed


@KINDS.add("The insulation tester puts hundreds of volts into the input of the controller.")
def insulation_through_the_input(site: Site, draft: Draft) -> Iterator[Draft]:
    for index in ohms(draft):
        circuit = site.with_input()
        changed = draft.copy()
        step = changed.steps[index]
        step.pop("across", None)
        step |= {"measure": "insulation", "circuit": circuit}
        step |= {"at": site.supply(circuit)[-1], "to": site.returns(circuit)}
        yield changed


@KINDS.add("A hand holds the probe while the burner fires.")
def leads_held_in_fire(site: Site, draft: Draft) -> Iterator[Draft]:
    for index in draft.having("leads", "clipped-dead"):
        changed = draft.copy()
        changed.steps[index]["leads"] = "held"
        fuel = [i for i in changed.having("shut_valve") if changed.steps[i]["shut_valve"] not in site.pilots]
        yield changed.forget(*[i for i in fuel if i < index])


@KINDS.add("Clips are put on terminals that nothing made dead.")
def clipped_on_live(site: Site, draft: Draft) -> Iterator[Draft]:
    if draft.having("leads", "clipped-dead") or draft.having("watch", "volts"):
        yield undead(draft.copy()).forget(*draft.having("prove_dead", site.control))


@KINDS.add("The contact is open on dead plant however sound it is.")
def ohms_on_contact_open_when_dead(site: Site, draft: Draft) -> Iterator[Draft]:
    for index in ohms(draft):
        for gap in site.gaps:
            device = site.device(gap.device)
            if device and (device.dead_state != "closed" or device.needs_power):
                changed = draft.copy()
                step = changed.steps[index]
                step.pop("at", None)
                step.pop("to", None)
                step |= {"across": gap.device, "circuit": gap.circuit}
                if "outcomes" in step:
                    yield changed
