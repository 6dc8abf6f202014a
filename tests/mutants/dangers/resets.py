"""Resets without evidence, cause or end; settings that stay wrong."""

from __future__ import annotations

from collections.abc import Iterator

from kbgen.model.equipment import Setting
from tests.mutants.draft import Draft, Step
from tests.mutants.kinds import Kinds
from tests.mutants.moves import ends
from tests.mutants.site import Site

KINDS = Kinds()


def _resets(draft: Draft) -> list[int]:
    """Return the resets of what tripped by itself; what a test tripped has the test for its cause."""
    tests = draft.having("prove_trip")
    return [
        index
        for index in draft.having("reset")
        if not any(
            draft.steps[test]["prove_trip"] == draft.steps[index]["reset"] and draft.before_it(index, test)
            for test in tests
        )
    ]


@KINDS.add("The reset wipes out which device it was.")
def reset_before_evidence(site: Site, draft: Draft) -> Iterator[Draft]:
    if _resets(draft):
        yield (
            draft.copy()
            .forget(*draft.having("record"))
            .start_from(*(each for each in draft.starts() if each != "evidence-recorded"))
        )


@KINDS.add("A limit that tripped is reset and nobody looked why.")
def cause_not_looked_for(site: Site, draft: Draft) -> Iterator[Draft]:
    for index in draft.having("find_cause"):
        cause = draft.steps[index]["find_cause"]
        if cause in {draft.steps[i]["reset"] for i in _resets(draft)} and site.device(cause):
            yield draft.copy().forget(index)


@KINDS.add("The cause was not found, and it is reset all the same.")
def reset_all_the_same(site: Site, draft: Draft) -> Iterator[Draft]:
    resets = {draft.steps[i]["reset"] for i in _resets(draft)}
    for index in draft.having("find_cause"):
        for meaning in ("no", "not-sure"):
            changed = draft.copy()
            yes, other = changed.outcome(index, "yes"), changed.outcome(index, meaning)
            if (
                yes
                and other
                and draft.steps[index]["find_cause"] in resets
                and site.device(draft.steps[index]["find_cause"])
            ):
                other["go"] = yes["go"]
                yield changed


@KINDS.add("Every further try leaves gas in the furnace.")
def reset_again(site: Site, draft: Draft) -> Iterator[Draft]:
    for index in _resets(draft):
        again = {"do": "Press it.", "reset": draft.steps[index]["reset"]}
        yield draft.copy().before(index, again, dict(again))


@KINDS.add("Not sure whether it is real, and treated as false.")
def doubt_taken_as_false(site: Site, draft: Draft) -> Iterator[Draft]:
    for index in draft.having("check_real"):
        changed = draft.copy()
        yes, no, doubt = (changed.outcome(index, each) for each in ("yes", "no", "not-sure"))
        if yes and no and doubt and yes["go"] != no["go"]:
            doubt["go"] = no["go"]
            yield changed


@KINDS.add("Nobody saw the purge through before the flame.")
def purge_skipped(site: Site, draft: Draft) -> Iterator[Draft]:
    for index in draft.having("observe", "firing"):
        purges = [i for i in draft.having("observe", "purge") if i < index]
        starts = [i for i in draft.having("start_demand") if i < index]
        if purges and starts and starts[-1] < purges[-1]:
            yield draft.copy().forget(purges[-1])


@KINDS.add("It did not run, and the way leads back to the button once more, and once more.")
def tried_again(site: Site, draft: Draft) -> Iterator[Draft]:
    for reset in _resets(draft):
        looked = [i for i in draft.having("find_cause") if i in draft.following(reset)]
        for index in [reset, *draft.having("observe", "full-cycle")]:
            other = draft.outcome(index, "no")
            if other is None or looked or (index != reset and index not in draft.following(reset)):
                continue
            changed = draft.copy()
            again = changed.outcome(index, "no")
            assert again is not None
            again["go"] = changed.name_of(reset)
            yield changed


@KINDS.add("Where the supply clears the lockout, off and on is the button under another name.")
def off_and_on_again(site: Site, draft: Draft) -> Iterator[Draft]:
    if not any(memory.power_resets for memory in site.equipment.memory):
        return
    for index in draft.having("observe", "full-cycle"):
        off_on = [{"do": "Off.", "isolate": site.control}, {"do": "On.", "restore": site.control}]
        yield draft.copy().before(index, *off_on, *(dict(step) for step in off_on))


@KINDS.add("A limit is turned up and stays there.")
def limit_left_up(site: Site, draft: Draft) -> Iterator[Draft]:
    for index in ends(draft, "returned-to-service"):
        for setting in site.limits:
            yield draft.copy().before(index, turn(setting))


@KINDS.add("An operating value is changed, and the next person takes it for the right one.")
def change_not_noted(site: Site, draft: Draft) -> Iterator[Draft]:
    for index in draft.having("observe", "full-cycle"):
        noted = [i for i in draft.following(index) if "settings" in draft.steps[i].get("record", ())]
        for setting in site.operating if ends(draft, "returned-to-service") and not noted else ():
            yield draft.copy().before(index, turn(setting))


@KINDS.add("What nobody may change is changed.")
def fixed_value_changed(site: Site, draft: Draft) -> Iterator[Draft]:
    for index in ends(draft, "returned-to-service"):
        for setting in site.fixed[:4]:
            there, back = turn(setting), turn(setting)
            yield draft.copy().before(index, there, back | {"from": there["to"], "to": setting.value})


@KINDS.add("Air or gas is changed and nobody measures what comes out of the flue.")
def flue_gas_not_measured(site: Site, draft: Draft) -> Iterator[Draft]:
    for index in ends(draft, "returned-to-service"):
        for setting in site.mixture:
            yield draft.copy().before(index, turn(setting))


def turn(setting: Setting) -> Step:
    """Make a step that changes a setting to something else than it should be."""
    return {"do": "Turn it.", "adjust": setting.id, "from": setting.value, "to": f"above {setting.value}"}
