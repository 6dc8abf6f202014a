"""Isolating, locking and proving dead, done wrong."""

from __future__ import annotations

from collections.abc import Iterator

from tests.mutants.draft import Draft
from tests.mutants.kinds import Kinds
from tests.mutants.moves import ends, fit, ohms, undead, undo, volts
from tests.mutants.site import Site

KINDS = Kinds()


@KINDS.add("Ohms rely on a proof that is no longer made.")
def proof_forgotten(site: Site, draft: Draft) -> Iterator[Draft]:
    proofs = draft.having("prove_dead", site.control)
    if proofs and ohms(draft):
        yield undead(draft.copy()).forget(*proofs)


@KINDS.add("Somebody can switch on while the proof is made and after it.")
def lock_forgotten(site: Site, draft: Draft) -> Iterator[Draft]:
    for index in draft.having("prove_dead"):
        locks = draft.having("lock", draft.steps[index]["prove_dead"])
        if locks and "made-safe" not in draft.starts():
            yield draft.copy().forget(*locks)


@KINDS.add("The proof is made first and the lock hung after it: in between it can come back.")
def lock_behind_the_proof(site: Site, draft: Draft) -> Iterator[Draft]:
    for index in draft.having("prove_dead"):
        source = draft.steps[index]["prove_dead"]
        locks = draft.having("lock", source)
        proved = draft.outcome(index, "yes")
        if locks and proved and "made-safe" not in draft.starts():
            changed = draft.copy().forget(*locks)
            yield changed.before(changed.find(proved["go"]), {"do": "Lock it.", "lock": source})


@KINDS.add("What was never switched off is locked and called dead.")
def isolation_forgotten(site: Site, draft: Draft) -> Iterator[Draft]:
    for index in draft.having("prove_dead"):
        offs = draft.having("isolate", draft.steps[index]["prove_dead"])
        if offs and "made-safe" not in draft.starts():
            yield draft.copy().forget(*offs)


@KINDS.add("The isolator of the other boiler may be off.")
def identity_forgotten(site: Site, draft: Draft) -> Iterator[Draft]:
    if draft.having("identify") and (draft.having("prove_dead") or draft.having("open_gas_train")):
        changed = draft.copy().forget(*draft.having("identify")).start_from()
        yield changed.before(0, {"do": "Note it all.", "record": ["display", "resets"]})


@KINDS.add("Another supply is proved dead than the one that the hands go to.")
def another_source_proved(site: Site, draft: Draft) -> Iterator[Draft]:
    proofs = draft.having("prove_dead", site.control)
    for other in site.electric if proofs and ohms(draft) else ():
        if other != site.control:
            changed = undead(draft.copy())
            for index in proofs:
                changed.steps[index]["prove_dead"] = other
            yield changed


@KINDS.add("The meter says that it is live, and the work goes on.")
def live_answer_ignored(site: Site, draft: Draft) -> Iterator[Draft]:
    for index in draft.having("prove_dead", site.control):
        changed = undead(draft.copy())
        yes, no = changed.outcome(index, "yes"), changed.outcome(index, "no")
        if yes and no and ohms(draft):
            no["go"] = yes["go"]
            yield changed


@KINDS.add("The supply came back and went off again; what was proved before that is proved no more.")
def power_came_back(site: Site, draft: Draft) -> Iterator[Draft]:
    for index in ohms(draft):
        yield draft.copy().before(
            index,
            {"do": "Tell them.", "inform": "Everybody"},
            {"do": "Take the lock off.", "unlock": site.control},
            {"do": "Switch it on.", "restore": site.control},
            {"do": "Switch it off.", "isolate": site.control},
            {"do": "Lock it.", "lock": site.control},
        )


@KINDS.add("Isolation, lock and proof are written down as if somebody had made them, and nobody does.")
def claimed_safe(site: Site, draft: Draft) -> Iterator[Draft]:
    # What led here until now leads here still, and there the plant is as it was found.
    made = [i for what in ("isolate", "lock", "prove_dead") for i in draft.having(what, site.control)]
    proofs = draft.having("prove_dead", site.control)
    if proofs and not {"made-safe", "proved-dead"} & set(draft.starts()):
        for claim in (["made-safe"], ["proved-dead"], ["made-safe", "proved-dead"]):
            yield draft.copy().forget(*made).start_from(*draft.starts(), *claim)


@KINDS.add("What the display held is gone when the supply is.")
def isolated_before_evidence(site: Site, draft: Draft) -> Iterator[Draft]:
    at_fault = draft.data.get("occasion", "fault") == "fault"
    if at_fault and draft.having("isolate", site.control) and "made-safe" not in draft.starts():
        changed = draft.copy().forget(*draft.having("record"))
        yield changed.start_from(*(each for each in draft.starts() if each != "evidence-recorded"))


@KINDS.add("A closed isolator is locked, and called safe by its lock.")
def locked_before_off(site: Site, draft: Draft) -> Iterator[Draft]:
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


@KINDS.add("A lock is on and the isolator is worked all the same.")
def switched_on_under_lock(site: Site, draft: Draft) -> Iterator[Draft]:
    for index in draft.having("unlock"):
        source = draft.steps[index]["unlock"]
        made_safe = "made-safe" in draft.starts() and source in (*site.electric, site.fuel)
        locked = made_safe or any(i < index for i in draft.having("lock", source))
        if locked and draft.having("restore", source):
            yield draft.copy().forget(index)


@KINDS.add("The lock comes off and nobody in the room was told.")
def nobody_told(site: Site, draft: Draft) -> Iterator[Draft]:
    locked = "made-safe" in draft.starts()
    if locked and draft.having("unlock") and draft.having("inform"):
        yield draft.copy().forget(*draft.having("inform"))


@KINDS.add("They are told when it is on already.")
def told_afterwards(site: Site, draft: Draft) -> Iterator[Draft]:
    unlocks = [i for i in draft.having("unlock") if draft.steps[i]["unlock"] in (*site.electric, site.fuel)]
    if "made-safe" in draft.starts() and unlocks and draft.having("inform"):
        changed = draft.copy().forget(*draft.having("inform"))
        changed.steps[unlocks[-1] + 1 : unlocks[-1] + 1] = [{"do": "Tell them.", "inform": "Everybody"}]
        yield changed


@KINDS.add("Off and not locked is on again when somebody looks for his fault.")
def left_off_without_lock(site: Site, draft: Draft) -> Iterator[Draft]:
    for end in ends(draft, "left-safe"):
        for source in site.others:
            locked = source in site.electric and "made-safe" in draft.starts()
            if not locked and not draft.having("isolate", source):
                yield draft.copy().before(end, {"do": "Off.", "isolate": source})


@KINDS.add("An open panel with live terminals waits for the next person.")
def live_panel_left_open(site: Site, draft: Draft) -> Iterator[Draft]:
    for end in ends(draft, "left-safe"):
        if not draft.having("isolate", site.control) and "made-safe" not in draft.starts():
            for cover in site.live_covers:
                yield draft.copy().before(end, {"do": "Open it.", "open_cover": cover})


@KINDS.add("An operator has not learnt to work at live terminals.")
def operator_at_terminals(site: Site, draft: Draft) -> Iterator[Draft]:
    if volts(draft) or ohms(draft) or draft.having("prove_dead"):
        changed = draft.copy()
        changed.data["who"] = "operator"
        yield changed


@KINDS.add("The lock was off for a moment, and the proof is void; a wire comes off all the same.")
def wire_after_the_lock_was_off(site: Site, draft: Draft) -> Iterator[Draft]:
    for index in ohms(draft):
        circuit = site.circuit_of(draft, draft.steps[index])
        yield draft.copy().before(
            index,
            {"do": "Tell them.", "inform": "Everybody"},
            {"do": "Take the lock off.", "unlock": site.control},
            {"do": "Lock it again.", "lock": site.control},
            fit("lifted-wire", "mutant", at=site.supply(circuit)[0], circuit=circuit),
            undo("mutant"),
        )
