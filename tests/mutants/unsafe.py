"""Changes that make a procedure unsafe, each with the reason why.

A kind looks for the places where its change is unsafe whatever else the procedure says, and makes one
mutant for each. None of them looks at the rules: what is unsafe is said here in its own words.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from tests.mutants.draft import Draft, Step
from tests.mutants.ground import Ground

Make = Callable[[Ground, Draft], Iterator[Draft]]
_CONTROL, _GAS, _BURNER, _PLANT = "control", "gas", "burner-cock", "plant-cock"


@dataclass(frozen=True)
class Kind:
    """One kind of unsafe change."""

    name: str
    why: str
    make: Make


KINDS: list[Kind] = []


def unsafe(why: str) -> Callable[[Make], Make]:
    """Add a kind, named like its function."""

    def add(make: Make) -> Make:
        KINDS.append(Kind(make.__name__.replace("_", " "), why, make))
        return make

    return add


def _volts(draft: Draft) -> list[int]:
    return [i for i in draft.having("measure", "volts") if "at" in draft.steps[i]]


def _ohms(draft: Draft) -> list[int]:
    return draft.having("measure", "ohms")


def _dead_work(draft: Draft) -> bool:
    return bool(_ohms(draft))


def _undead(draft: Draft) -> Draft:
    return draft.start_from(*(each for each in draft.starts() if each == "evidence-recorded"))


def _fit(kind: str, name: str, **more: str) -> Step:
    return {"do": f"Fit `{name}`.", "fit": kind, "name": name, **more}


def _undo(name: str) -> Step:
    return {"do": f"Take `{name}` out.", "undo": name}


def _ends(draft: Draft, how: str) -> list[int]:
    return draft.having("end", how)


# Making safe


@unsafe("Ohms rely on a proof that is no longer made.")
def proof_forgotten(ground: Ground, draft: Draft) -> Iterator[Draft]:
    proofs = draft.having("prove_dead", _CONTROL)
    if proofs and _dead_work(draft):
        yield _undead(draft.copy()).forget(*proofs)


@unsafe("Somebody can switch on while the proof is made and after it.")
def lock_forgotten(ground: Ground, draft: Draft) -> Iterator[Draft]:
    for index in draft.having("prove_dead"):
        source = draft.steps[index]["prove_dead"]
        locks = draft.having("lock", source)
        if locks and "made-safe" not in draft.starts():
            yield draft.copy().forget(*locks)


@unsafe("What was never switched off is locked and called dead.")
def isolation_forgotten(ground: Ground, draft: Draft) -> Iterator[Draft]:
    for index in draft.having("prove_dead"):
        source = draft.steps[index]["prove_dead"]
        offs = draft.having("isolate", source)
        if offs and "made-safe" not in draft.starts():
            yield draft.copy().forget(*offs)


@unsafe("The isolator of the other boiler may be off.")
def identity_forgotten(ground: Ground, draft: Draft) -> Iterator[Draft]:
    if draft.having("identify") and (draft.having("prove_dead") or draft.having("open_gas_train")):
        changed = draft.copy().forget(*draft.having("identify")).start_from()
        yield changed.before(0, {"do": "Note it all.", "record": ["display", "resets"]})


@unsafe("One pair of conductors proves nothing about the others.")
def one_pair_proved(ground: Ground, draft: Draft) -> Iterator[Draft]:
    for index in draft.having("prove_dead"):
        changed = draft.copy()
        changed.steps[index]["between"] = changed.steps[index]["between"][:1]
        yield changed


@unsafe("The meter says that it is live, and the work goes on.")
def live_answer_ignored(ground: Ground, draft: Draft) -> Iterator[Draft]:
    for index in draft.having("prove_dead", _CONTROL):
        changed = _undead(draft.copy())
        yes, no = changed.outcome(index, "yes"), changed.outcome(index, "no")
        if yes and no and _dead_work(draft):
            no["go"] = yes["go"]
            yield changed


@unsafe("What the display held is gone when the supply is.")
def isolated_before_evidence(ground: Ground, draft: Draft) -> Iterator[Draft]:
    at_fault = draft.data.get("occasion", "fault") == "fault"
    if at_fault and draft.having("isolate", _CONTROL) and "made-safe" not in draft.starts():
        changed = draft.copy().forget(*draft.having("record"))
        yield changed.start_from(*(each for each in draft.starts() if each != "evidence-recorded"))


@unsafe("A closed isolator is locked, and called safe by its lock.")
def locked_before_off(ground: Ground, draft: Draft) -> Iterator[Draft]:
    for index in draft.having("lock"):
        source = draft.steps[index]["lock"]
        here = draft.steps[index - 1]
        if index and here.get("isolate") == source and "made-safe" not in draft.starts():
            changed = draft.copy()
            off, lock = changed.steps[index - 1], changed.steps[index]
            earlier = [i for i in changed.having("isolate", source) if i < index - 1]
            if "outcomes" in off or "outcomes" in lock or "id" in lock or earlier:
                continue
            if "id" in off:
                lock["id"] = off.pop("id")
            changed.steps[index - 1], changed.steps[index] = lock, off
            yield changed


@unsafe("Off and not locked is on again when somebody looks for his fault.")
def left_off_without_lock(ground: Ground, draft: Draft) -> Iterator[Draft]:
    for end in _ends(draft, "left-safe"):
        for source in ("fan", "steam", "feed-water"):
            locked = source == "fan" and "made-safe" in draft.starts()
            if not locked and not draft.having("isolate", source):
                yield draft.copy().before(end, {"do": "Off.", "isolate": source})


@unsafe("An open panel with live terminals waits for the next person.")
def live_panel_left_open(ground: Ground, draft: Draft) -> Iterator[Draft]:
    for end in _ends(draft, "left-safe"):
        if not draft.having("isolate", _CONTROL) and "made-safe" not in draft.starts():
            yield draft.copy().before(end, {"do": "Open it.", "open_cover": "panel-door"})


@unsafe("The joint is opened and nobody looked whether the pressure is gone.")
def pressure_not_seen_gone(ground: Ground, draft: Draft) -> Iterator[Draft]:
    for index in draft.having("open_gas_train"):
        yield draft.copy().forget(*[i for i in draft.having("watch", "pressure") if i < index])


@unsafe("It may have tripped again since the evidence was noted.")
def evidence_of_the_last_trip(ground: Ground, draft: Draft) -> Iterator[Draft]:
    for index in draft.having("reset"):
        starts = [i for i in draft.having("start_demand") if i < index]
        notes = [i for i in draft.having("record") if starts and starts[-1] < i < index]
        fired = [i for i in draft.having("observe", "firing") if starts and starts[-1] < i < index]
        if notes and fired:
            yield draft.copy().forget(*notes)


# Live readings


@unsafe("With the supply off every reading is zero, and a sound contact is called open.")
def isolated_before_reading(ground: Ground, draft: Draft) -> Iterator[Draft]:
    for index in _volts(draft):
        yield draft.copy().before(index, {"do": "Switch Q2 off.", "isolate": _CONTROL})


@unsafe("Ohms are measured on a live string.")
def ohms_on_live(ground: Ground, draft: Draft) -> Iterator[Draft]:
    for index in _volts(draft):
        changed = draft.copy()
        changed.steps[index]["measure"] = "ohms"
        changed.steps[index].pop("meter", None)
        yield changed


@unsafe("The burner can light and the fan start while hands hold the probes.")
def fuel_left_open(ground: Ground, draft: Draft) -> Iterator[Draft]:
    held = [i for i in _volts(draft) if draft.steps[i].get("leads", "held") == "held"]
    if held and not {"made-safe", "fuel-shut"} & set(draft.starts()):
        cocks = [i for i in draft.having("shut_valve") if draft.steps[i]["shut_valve"] != "pilot-cock"]
        yield draft.copy().forget(*cocks, *draft.having("isolate", _GAS))


@unsafe("The plant cock opens the low gas contact, and it is found open.")
def wrong_cock_shut(ground: Ground, draft: Draft) -> Iterator[Draft]:
    if draft.data.get("circuit") == "sb-limits" and _volts(draft):
        first = _volts(draft)[0]
        shut = [i for i in draft.having("shut_valve", _BURNER) if i < first]
        for index in shut[:1]:
            changed = draft.copy()
            changed.steps[index]["shut_valve"] = _PLANT
            yield changed.forget(*[i for i in changed.having("open_valve", _PLANT) if i < first])


@unsafe("A low-impedance meter across an open safety contact makes the string: it is a jumper.")
def low_impedance_across(ground: Ground, draft: Draft) -> Iterator[Draft]:
    for index in _volts(draft):
        for gap in ground.gaps:
            if gap.other == draft.steps[index]["at"]:
                changed = draft.copy()
                changed.steps[index] |= {
                    "at": gap.one,
                    "to": gap.other,
                    "meter": "low-impedance",
                    "circuit": gap.circuit,
                }
                yield changed


@unsafe("A ghost voltage on an open wire reads in between, and a part is blamed for it.")
def middle_trusted(ground: Ground, draft: Draft) -> Iterator[Draft]:
    for index in _volts(draft):
        some, none = draft.outcome(index, "some"), draft.outcome(index, "none")
        if draft.steps[index].get("meter") != "low-impedance" and some and none and some["go"] != none["go"]:
            if not _decides(draft, none["go"]):
                continue
            changed = draft.copy()
            changed.outcome(index, "some")["go"] = none["go"]
            yield changed


@unsafe("A middle reading that is repeated in high impedance is the same ghost again.")
def repeated_in_high_impedance(ground: Ground, draft: Draft) -> Iterator[Draft]:
    for index in _volts(draft):
        some = draft.outcome(index, "some")
        if draft.steps[index].get("meter") == "low-impedance" and some and _decides(draft, some["go"]):
            changed = draft.copy()
            del changed.steps[index]["meter"]
            yield changed


def _decides(draft: Draft, target: str) -> bool:
    """Whether a step leads straight to an end that names what was found, or to another reading."""
    last = list(draft.chain(draft.find(target)))[-1]
    step = draft.steps[last]
    return step.get("end") == "found" or "measure" in step


@unsafe("With the supply or the return missing every point reads zero.")
def supply_not_read(ground: Ground, draft: Draft) -> Iterator[Draft]:
    supply = [i for i in _volts(draft) if draft.steps[i]["at"] in ("T19", "T20")]
    if not supply or len(_volts(draft)) <= len(supply):
        return
    # Every contact behind the supply in turn is found open although nothing was read full.
    first = min(i for i in _volts(draft) if i not in supply)
    changed = draft.copy().forget(*supply)
    for index in supply:
        for outcome in changed.steps[index]["outcomes"]:
            if changed.find(outcome["go"]) in supply:
                outcome["go"] = changed.name_of(first)
    yield changed


@unsafe("A hand holds the probe while the burner fires.")
def leads_held_in_fire(ground: Ground, draft: Draft) -> Iterator[Draft]:
    for index in draft.having("leads", "clipped-dead"):
        changed = draft.copy()
        changed.steps[index]["leads"] = "held"
        fuel = [i for i in changed.having("shut_valve") if changed.steps[i]["shut_valve"] != "pilot-cock"]
        yield changed.forget(*[i for i in fuel if i < index])


@unsafe("Clips are put on terminals that nothing made dead.")
def clipped_on_live(ground: Ground, draft: Draft) -> Iterator[Draft]:
    if draft.having("leads", "clipped-dead") or draft.having("watch", "volts"):
        yield _undead(draft.copy()).forget(*draft.having("prove_dead", _CONTROL))


@unsafe("The contact is open on dead plant however sound it is.")
def ohms_on_contact_open_when_dead(ground: Ground, draft: Draft) -> Iterator[Draft]:
    for index in _ohms(draft):
        for gap in ground.gaps:
            device = ground.base.device(gap.device)
            if device and (device.dead_state != "closed" or device.needs_power):
                changed = draft.copy()
                step = changed.steps[index]
                step.pop("at", None)
                step.pop("to", None)
                step["across"] = gap.device
                if "outcomes" in step:
                    yield changed


# Temporary alterations


def _in_dead(draft: Draft) -> list[int]:
    return _ohms(draft)


def _jumped(draft: Draft, index: int, **ends: str) -> Draft:
    return draft.copy().before(index, _fit("jumper", "mutant", **ends), _undo("mutant"))


@unsafe("A jumper lies over a device that may never be jumped.")
def forbidden_device_jumped(ground: Ground, draft: Draft) -> Iterator[Draft]:
    for index in _in_dead(draft):
        for gap in ground.gaps:
            device = ground.base.device(gap.device)
            if device and not device.may_jump:
                ends = {"over": gap.device, "from": gap.one, "to": gap.other, "circuit": gap.circuit}
                yield _jumped(draft, index, **ends)


@unsafe("A jumper bridges everything between its ends, here two devices.")
def two_devices_spanned(ground: Ground, draft: Draft) -> Iterator[Draft]:
    for index in _in_dead(draft):
        for one, other in zip(ground.gaps, ground.gaps[1:], strict=False):
            if one.other == other.one and one.circuit == other.circuit:
                yield _jumped(draft, index, **{"from": one.one, "to": other.other, "circuit": one.circuit})


@unsafe("The text names one device and the terminals are those of another.")
def another_device_named(ground: Ground, draft: Draft) -> Iterator[Draft]:
    for index in _in_dead(draft):
        for one, other in zip(ground.gaps, ground.gaps[1:], strict=False):
            if one.circuit == other.circuit and one.device != other.device:
                ends = {"over": one.device, "from": other.one, "to": other.other, "circuit": other.circuit}
                yield _jumped(draft, index, **ends)


@unsafe("Nobody knows what a jumper without terminals bridges.")
def jumper_without_ends(ground: Ground, draft: Draft) -> Iterator[Draft]:
    for index in _in_dead(draft):
        yield _jumped(draft, index)


@unsafe("A jumper or a wire is touched on a live string.")
def alteration_on_live(ground: Ground, draft: Draft) -> Iterator[Draft]:
    for index in _volts(draft):
        step = draft.steps[index]
        wire = {"at": step["at"], "circuit": step.get("circuit", draft.data.get("circuit", ""))}
        yield draft.copy().before(index, _fit("lifted-wire", "mutant", **wire), _undo("mutant"))


@unsafe("A wire is lifted and stays lifted.")
def wire_left_lifted(ground: Ground, draft: Draft) -> Iterator[Draft]:
    for index in _in_dead(draft):
        yield draft.copy().before(index, _fit("lifted-wire", "mutant", at="T25"))


@unsafe("The alteration comes out on one outcome only.")
def removal_behind_a_branch(ground: Ground, draft: Draft) -> Iterator[Draft]:
    for index in [*_in_dead(draft), *_volts(draft)]:
        outcomes = draft.steps[index].get("outcomes", ())
        targets = {outcome["go"] for outcome in outcomes}
        if len(targets) < 2:
            continue
        changed = draft.copy().before(index, _fit("muted-alarm", "mutant"))
        first = changed.steps[index + 1]["outcomes"][0]
        changed.steps.append({"id": "mutant-out", "do": "Alarm on.", "undo": "mutant", "go": first["go"]})
        first["go"] = "mutant-out"
        yield changed


@unsafe("Two alterations go in, and the removal names one of them twice.")
def another_removed(ground: Ground, draft: Draft) -> Iterator[Draft]:
    for index in draft.having("undo"):
        name = draft.steps[index]["undo"]
        changed = draft.copy()
        for where in changed.having("undo", name):
            changed.steps[where]["undo"] = "mutant"
        yield changed.before(0, _fit("muted-alarm", "mutant"))


@unsafe("The removal is forgotten.")
def removal_forgotten(ground: Ground, draft: Draft) -> Iterator[Draft]:
    for index in draft.having("undo"):
        yield draft.copy().forget(index)


@unsafe("The job is broken off between fitting and removing.")
def ended_early(ground: Ground, draft: Draft) -> Iterator[Draft]:
    stops = [*_ends(draft, "left-safe"), *_ends(draft, "found")]
    for index in draft.having("fit"):
        for stop in stops[:2]:
            changed = draft.copy()
            yield changed.ask_before(index + 1, "Is it time to go?", changed.name_of(stop))


@unsafe("The colleague is not told what is altered.")
def handed_over_without_list(ground: Ground, draft: Draft) -> Iterator[Draft]:
    for index in draft.having("fit"):
        changed = draft.copy().ask_before(index + 1, "Is the shift over?", "mutant-over")
        changed.steps.append(
            {"id": "mutant-over", "do": "Go.", "hand_over": "Colleague", "next": "sb-record-evidence"}
        )
        yield changed


@unsafe("The burner starts with a tube off.")
def started_with_alteration(ground: Ground, draft: Draft) -> Iterator[Draft]:
    for index in draft.having("observe", "full-cycle"):
        changed = draft.copy().before(index, _fit("unplugged-tube", "mutant", at="Air switch"))
        where = index + 2
        target = changed.steps[where].get("outcomes", [{}])[0].get("go")
        if target:
            changed.before(changed.find(target), _undo("mutant"))
            yield changed


@unsafe("With the supply off nothing can be seen to trip.")
def trip_proved_on_dead_plant(ground: Ground, draft: Draft) -> Iterator[Draft]:
    for index in _in_dead(draft):
        yield draft.copy().before(index, {"do": "See it trip.", "prove_trip": "sb-high-gas-pressure"})


# Gas


@unsafe("The joint was opened and is never proved tight.")
def leak_check_forgotten(ground: Ground, draft: Draft) -> Iterator[Draft]:
    if draft.having("open_gas_train") or any("open-test-point" in s.get("fit", "") for s in draft.steps):
        yield draft.copy().forget(*draft.having("leak_check"))


@unsafe("The opening stays open.")
def cap_forgotten(ground: Ground, draft: Draft) -> Iterator[Draft]:
    for index in draft.having("cap"):
        yield draft.copy().forget(index)


@unsafe("Something else is capped than was opened.")
def another_capped(ground: Ground, draft: Draft) -> Iterator[Draft]:
    for index in draft.having("cap"):
        changed = draft.copy()
        changed.steps[index]["cap"] = "Another plug"
        yield changed


@unsafe("The train is opened while it carries gas.")
def gas_opened_under_pressure(ground: Ground, draft: Draft) -> Iterator[Draft]:
    if draft.having("open_gas_train") or draft.having("fit", "open-test-point"):
        first = min([*draft.having("open_gas_train"), *draft.having("fit", "open-test-point")])
        shut = [i for i in [*draft.having("shut_valve"), *draft.having("isolate", _GAS)] if i < first]
        yield _undead(draft.copy()).forget(*shut)


@unsafe("Gas work by somebody without a licence.")
def anybody_opens_gas(ground: Ground, draft: Draft) -> Iterator[Draft]:
    if draft.data.get("who") == "licensed-gas" and (
        draft.having("open_gas_train") or draft.having("fit", "open-test-point")
    ):
        for who in ("technician", "operator", "licensed-electric"):
            changed = draft.copy()
            changed.data["who"] = who
            yield changed


@unsafe("The burner is started on a train that is not proved tight.")
def started_before_leak_check(ground: Ground, draft: Draft) -> Iterator[Draft]:
    if draft.having("open_gas_train"):
        for index in draft.having("open_valve", _PLANT):
            changed = draft.copy()
            yield changed.before(index + 1, {"do": "Start it.", "start_demand": "Burner switch on"})


@unsafe("A joint is opened at the end and left so.")
def left_open_for_tomorrow(ground: Ground, draft: Draft) -> Iterator[Draft]:
    if draft.data.get("who") == "licensed-gas":
        for index in _ends(draft, "left-safe"):
            yield draft.copy().before(index, {"do": "Open it.", "open_gas_train": "Mutant plug"})


# Resets, causes, starts


@unsafe("The reset wipes out which device it was.")
def reset_before_evidence(ground: Ground, draft: Draft) -> Iterator[Draft]:
    if draft.having("reset"):
        yield (
            draft.copy()
            .forget(*draft.having("record"))
            .start_from(*(each for each in draft.starts() if each != "evidence-recorded"))
        )


@unsafe("A limit that tripped is reset and nobody looked why.")
def cause_not_looked_for(ground: Ground, draft: Draft) -> Iterator[Draft]:
    for index in draft.having("find_cause"):
        cause = draft.steps[index]["find_cause"]
        if cause in {draft.steps[i]["reset"] for i in draft.having("reset")} and ground.base.device(cause):
            yield draft.copy().forget(index)


@unsafe("The cause was not found, and it is reset all the same.")
def reset_all_the_same(ground: Ground, draft: Draft) -> Iterator[Draft]:
    resets = {draft.steps[i]["reset"] for i in draft.having("reset")}
    for index in draft.having("find_cause"):
        for meaning in ("no", "not-sure"):
            changed = draft.copy()
            yes, other = changed.outcome(index, "yes"), changed.outcome(index, meaning)
            if (
                yes
                and other
                and draft.steps[index]["find_cause"] in resets
                and ground.base.device(draft.steps[index]["find_cause"])
            ):
                other["go"] = yes["go"]
                yield changed


@unsafe("Every further try leaves gas in the furnace.")
def reset_again(ground: Ground, draft: Draft) -> Iterator[Draft]:
    for index in draft.having("reset"):
        again = {"do": "Press it.", "reset": draft.steps[index]["reset"]}
        yield draft.copy().before(index, again, dict(again))


@unsafe("Not sure whether it is real, and treated as false.")
def doubt_taken_as_false(ground: Ground, draft: Draft) -> Iterator[Draft]:
    for index in draft.having("check_real"):
        changed = draft.copy()
        yes, no, doubt = (changed.outcome(index, each) for each in ("yes", "no", "not-sure"))
        if yes and no and doubt and yes["go"] != no["go"]:
            doubt["go"] = no["go"]
            yield changed


@unsafe("Nobody saw the purge through before the flame.")
def purge_skipped(ground: Ground, draft: Draft) -> Iterator[Draft]:
    for index in draft.having("observe", "firing"):
        purges = [i for i in draft.having("observe", "purge") if i < index]
        starts = [i for i in draft.having("start_demand") if i < index]
        if purges and starts and starts[-1] < purges[-1]:
            yield draft.copy().forget(purges[-1])


@unsafe("A limit is turned up and stays there.")
def limit_left_up(ground: Ground, draft: Draft) -> Iterator[Draft]:
    for index in _ends(draft, "returned-to-service"):
        for setting, to in (
            ("high-steam-opens", "140 psi"),
            ("low-gas-opens", "2 in wc"),
            ("first-low-opens", "0.5 in"),
        ):
            yield draft.copy().before(
                index, {"do": "Turn it.", "adjust": setting, "from": "as found", "to": to}
            )


@unsafe("Air or gas is changed and nobody measures what comes out of the flue.")
def flue_gas_not_measured(ground: Ground, draft: Draft) -> Iterator[Draft]:
    for index in _ends(draft, "returned-to-service"):
        for setting in ("burner-gas-small", "burner-gas-large", "gas-supply"):
            yield draft.copy().before(
                index, {"do": "Turn it.", "adjust": setting, "from": "as found", "to": "5 in wc"}
            )


# Leaving


@unsafe("A lock is on and the isolator is worked all the same.")
def switched_on_under_lock(ground: Ground, draft: Draft) -> Iterator[Draft]:
    for index in draft.having("unlock"):
        source = draft.steps[index]["unlock"]
        made_safe = "made-safe" in draft.starts() and source in (_CONTROL, _GAS, "fan", "alarm")
        locked = made_safe or any(i < index for i in draft.having("lock", source))
        if locked and draft.having("restore", source):
            yield draft.copy().forget(index)


@unsafe("The lock comes off and nobody in the room was told.")
def nobody_told(ground: Ground, draft: Draft) -> Iterator[Draft]:
    locked = "made-safe" in draft.starts()
    if locked and draft.having("unlock") and draft.having("inform"):
        yield draft.copy().forget(*draft.having("inform"))


@unsafe("A cover is left open on plant that runs.")
def cover_left_open(ground: Ground, draft: Draft) -> Iterator[Draft]:
    for end in _ends(draft, "returned-to-service"):
        for cover in ("panel-door", "float-cap", "probe-cap", "burner-cover"):
            yield draft.copy().before(end, {"do": "Open it.", "open_cover": cover})


@unsafe("The plant is called ready and its fuel is shut.")
def fuel_left_shut(ground: Ground, draft: Draft) -> Iterator[Draft]:
    for end in _ends(draft, "returned-to-service"):
        for valve in (_PLANT, _BURNER, "pilot-cock"):
            yield draft.copy().before(end, {"do": "Shut it.", "shut_valve": valve})


@unsafe("The plant is called ready and locked off.")
def lock_left_on(ground: Ground, draft: Draft) -> Iterator[Draft]:
    for end in _ends(draft, "returned-to-service"):
        for source in (_CONTROL, "fan", _GAS):
            yield draft.copy().before(
                end, {"do": "Off.", "isolate": source}, {"do": "Lock it.", "lock": source}
            )


@unsafe("Nobody saw it run after it was touched.")
def cycle_not_seen(ground: Ground, draft: Draft) -> Iterator[Draft]:
    if _ends(draft, "returned-to-service") and draft.having("observe", "full-cycle"):
        yield draft.copy().forget(*draft.having("observe", "full-cycle"))


@unsafe("It did not run as it should, and is called returned to service.")
def bad_cycle_accepted(ground: Ground, draft: Draft) -> Iterator[Draft]:
    cycles = draft.having("observe", "full-cycle")
    for index in cycles[-1:]:
        for meaning in ("no", "not-sure"):
            changed = draft.copy()
            yes, other = changed.outcome(index, "yes"), changed.outcome(index, meaning)
            if yes and other and len(cycles) == 1:
                other["go"] = yes["go"]
                yield changed


@unsafe("Left off without a lock, the next person switches it on.")
def left_unlocked(ground: Ground, draft: Draft) -> Iterator[Draft]:
    if _ends(draft, "left-safe") and not {"made-safe", "proved-dead"} & set(draft.starts()):
        locks = [*draft.having("lock", _GAS), *draft.having("lock", _CONTROL)]
        if locks:
            yield draft.copy().forget(*locks)


@unsafe("The work is half done and the burner can light by itself.")
def left_able_to_fire(ground: Ground, draft: Draft) -> Iterator[Draft]:
    for end in _ends(draft, "found"):
        if not {"made-safe", "fuel-shut"} & set(draft.starts()) and draft.having("shut_valve"):
            changed = draft.copy()
            opened = [{"do": "Open it.", "open_valve": valve} for valve in (_PLANT, _BURNER, "pilot-cock")]
            if not draft.having("isolate", _CONTROL):
                yield changed.before(end, *opened)


# Questions


@unsafe("Who is not sure is not told what to do, and guesses.")
def doubt_not_listed(ground: Ground, draft: Draft) -> Iterator[Draft]:
    for index, step in enumerate(draft.steps):
        doubt = draft.outcome(index, "not-sure")
        catch_all = any("else" in outcome["when"] for outcome in step.get("outcomes", ()))
        if doubt and not catch_all and index % 6 == 0 and len(step["outcomes"]) > 2:
            changed = draft.copy()
            changed.steps[index]["outcomes"] = [o for o in step["outcomes"] if o["when"] != doubt["when"]]
            yield changed


@unsafe("Nobody says in what state the plant is left.")
def end_missing(ground: Ground, draft: Draft) -> Iterator[Draft]:
    for index in _ends(draft, "evacuated"):
        if index == len(draft.steps) - 1:
            yield draft.copy().forget(index)


@unsafe("It goes round and round; in the end somebody jumps something.")
def endless_round(ground: Ground, draft: Draft) -> Iterator[Draft]:
    for index in [*_ends(draft, "found"), *_ends(draft, "left-safe")]:
        changed = draft.copy().forget(index)
        changed.steps[index]["go"] = changed.name_of(index)
        yield changed
