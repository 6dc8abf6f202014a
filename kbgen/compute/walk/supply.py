"""Isolating, locking, proving dead, and switching on again."""

from __future__ import annotations

import re
from collections.abc import Iterator

from kbgen.compute.walk.finding import Finding, Moment
from kbgen.compute.walk.hazard import EVIDENCE, LIVE_WORK, MAKING_SAFE
from kbgen.compute.walk.known_source import checked
from kbgen.compute.walk.plant import BRIDGING, DEAD, ELECTRIC, WIRED
from kbgen.compute.walk.state import (
    ANOTHERS,
    IDENTIFIED,
    INFORMED,
    LEFT_LOCKED,
    LOCKED,
    OFF,
    PROVED,
    RECORDED,
)
from kbgen.model import action as act

LOCK_BEFORE_OFF = MAKING_SAFE.hazard(
    "lock-before-off",
    "A lock on a closed isolator locks it on.",
    "- do: Put the padlock on Q2.\n  lock: control",
    "- do: Switch Q2 off.\n  isolate: control\n- do: Put the padlock on Q2.\n  lock: control",
    rests_on="The order of `isolate` and `lock` on every way; the plant's `sources`.",
)
UNLOCK_WITHOUT_TELLING = MAKING_SAFE.hazard(
    "unlock-without-telling",
    "The burner starts by itself while somebody still stands at the fan.",
    "- do: Take the padlock off.\n  unlock: control",
    "- do: See that everybody is clear and tell them.\n  inform: Everybody at the boiler\n"
    "- do: Take the padlock off.\n  unlock: control",
    rests_on="`inform` before `unlock` on every way; that everybody heard it is the reader's word.",
)
RESTORE_UNDER_LOCK = MAKING_SAFE.hazard(
    "restore-under-lock",
    "Whoever gets a locked isolator on has cut a lock, perhaps somebody else's.",
    "- do: Switch Q2 on.\n  restore: control",
    "- do: Take the padlock off.\n  unlock: control\n- do: Switch Q2 on.\n  restore: control",
    rests_on="The order of `unlock` and `restore` on every way.",
)


_ON_ANOTHERS_PLANT = (
    *(
        act.ProveDead,
        act.TryStart,
        act.Unlock,
        act.Restore,
        act.OpenValve,
        act.StartDemand,
        act.Reset,
        act.Adjust,
    ),
    *(act.OpenCover, act.WorkIn, act.Replace, act.Fit, act.Clip, act.OpenGasTrain),
)
"""What nobody does on plant whose marks differ; to stop, shut or lock it harms nobody."""


def findings(moment: Moment) -> Iterator[Finding]:
    """Yield what is wrong with a step that isolates, locks, proves or restores."""
    yield from _by_operator(moment)
    yield from _touched(moment)
    if (ANOTHERS, "") in moment.state and isinstance(moment.step.action, _ON_ANOTHERS_PLANT):
        yield PROOF_WITHOUT_IDENTITY.finding(
            "another's",
            moment.field,
            "the marks differ, and the work goes on all the same: it is another's plant",
            "Lead `different` to a step with `hand_over`, or to comparing the marks once more; where that hand-over names "
            "a `next_step`, it is the comparing.",
            clears=frozenset({(ANOTHERS, "")}),
        )
    match moment.step.action:
        case act.Isolate(isolate=name):
            yield from _isolate(moment, name)
        case act.Lock(lock=name):
            if (OFF, name) not in moment.state:
                yield LOCK_BEFORE_OFF.finding(
                    moment.index,
                    "lock",
                    f"{_title(moment, name)} is locked before it is switched off",
                    "Isolate it first; a lock on a closed isolator locks it on.",
                    grants=frozenset({(OFF, name)}),
                )
        case act.ProveDead() as proof:
            yield from _held(moment, proof.prove_dead, "prove_dead")
            yield from _identified(moment, proof.prove_dead, "prove_dead")
            yield from _complete(moment, proof)
        case act.ProveGone(prove_gone=name) as proof:
            yield from _held(moment, name, "prove_gone")
            yield from _shown(moment, proof)
        case act.Unlock(unlock=name):
            if (INFORMED, "") not in moment.state:
                yield UNLOCK_WITHOUT_TELLING.finding(
                    moment.index,
                    "unlock",
                    f"the lock of {_title(moment, name)} comes off and nobody was told",
                    "Put a step with `inform:` before it: everybody is clear and knows what comes on.",
                    grants=frozenset({(INFORMED, "")}),
                )
        case act.OpenValve(open_valve=name) if moment.plant.first_cock(name):
            fuel = moment.plant.valves[name].fuel
            for each in sorted(moment.plant.fuel_sources):
                if (LOCKED, each) in moment.state and fuel in ("", each):
                    yield RESTORE_UNDER_LOCK.finding(
                        moment.index,
                        "open_valve",
                        f"{moment.plant.valves[name].title} is opened while {_title(moment, each)} is locked off",
                        "Tell the people, take the lock off (`unlock:`), then open it.",
                        clears=frozenset({(LOCKED, each)}),
                    )
        case act.Restore(restore=name):
            if (LEFT_LOCKED, name) in moment.state and (LOCKED, name) not in moment.state:
                yield RESTORE_UNDER_LOCK.finding(
                    (moment.index, "left"),
                    "restore",
                    f"{_title(moment, name)} is switched on, and an earlier page may have left it locked",
                    f"Take the lock off where it is on (`unlock: {name}`), or ask and claim `all-on`.",
                    clears=frozenset({(LEFT_LOCKED, name)}),
                )
            if (LOCKED, name) in moment.state:
                yield RESTORE_UNDER_LOCK.finding(
                    moment.index,
                    "restore",
                    f"{_title(moment, name)} is switched on while it is locked off",
                    "Tell the people, take the lock off (`unlock:`), then switch on.",
                    clears=frozenset({(LOCKED, name)}),
                )


EVIDENCE_LOST = MAKING_SAFE.on(EVIDENCE).hazard(
    "evidence-lost",
    "What the panel showed goes with the supply, and with it the only hint at an intermittent fault.",
    "- do: Switch Q2 off.\n  isolate: control",
    "- do: Note the display word for word.\n  record: [display, first-out]\n"
    "- do: Switch Q2 off.\n  isolate: control",
    rests_on="The plant's `memory` (`erased_by`) and the steps with `record` before the supply goes.",
)


def _isolate(moment: Moment, name: str) -> Iterator[Finding]:
    plant = moment.plant
    source = plant.sources.get(name)
    if source is None or source.energy != "electric" or plant.procedure.occasion != "fault":
        return
    if (RECORDED, "display") not in moment.state and any(family.displays for family in plant.families):
        yield EVIDENCE_LOST.finding(
            "display",
            "isolate",
            f"{source.title} is switched off before the display is noted",
            "Put a step with `record: [display, first-out]` before it; what the panel shows goes with the supply.",
            grants=frozenset({(RECORDED, "display")}),
        )


TERMINALS_BY_OPERATOR = MAKING_SAFE.on(LIVE_WORK).hazard(
    "terminals-by-operator",
    "Operators know the plant and its buttons; nobody taught them to work where it is live.",
    "who: operator\nsteps:\n  - do: Read X3:5 to N.\n    measure: volts",
    "who: technician\nsteps:\n  - do: Read X3:5 to N.\n    measure: volts",
    rests_on="`who` of the page, and its readings and hands at terminals.",
)


def _by_operator(moment: Moment) -> Iterator[Finding]:
    """Yield work at terminals on a page for operators, who have not learnt it."""
    if moment.plant.procedure.who != "operator":
        return
    match moment.step.action:
        case act.Measure(measure=quantity) if quantity in ELECTRIC | DEAD:
            field = "measure"
        case act.Watch(watch=quantity, leads="held") if quantity in ELECTRIC:
            field = "watch"
        case act.ProveDead():
            field = "prove_dead"
        case act.Fit(fit=kind) if kind in WIRED | BRIDGING:
            field = "fit"
        case _:
            return
    yield TERMINALS_BY_OPERATOR.finding(
        "who",
        field,
        "an operator is sent to the terminals",
        "Set `who: technician`, or leave the panel shut and let the operator look, listen and note.",
    )


PROOF_WITHOUT_LOCK = MAKING_SAFE.hazard(
    "proof-without-lock",
    "What is off and not locked comes back while somebody has his fingers in it.",
    "- do: Switch Q2 off.\n  isolate: control\n- do: Prove it dead.\n  prove_dead: control",
    "- do: Switch Q2 off.\n  isolate: control\n- do: Lock Q2.\n  lock: control\n"
    "- do: Prove it dead.\n  prove_dead: control",
    rests_on="The order of `lock` and the proof on every way; `lock` of the source says whether it can be locked.",
)
PROOF_WITHOUT_IDENTITY = MAKING_SAFE.hazard(
    "proof-without-identity",
    "Two boilers stand side by side, and the isolator of the other one is off.",
    "- do: Switch Q2 off.\n  isolate: control",
    "- do: Compare the numbers on panel, Q2 and boiler.\n  identify: Same number on panel, Q2 and boiler\n"
    "- do: Switch Q2 off.\n  isolate: control",
    rests_on="`identify` before what is proved, opened, reset or set; that the tag was read is the reader's word.",
)
PROOF_INCOMPLETE = MAKING_SAFE.on(LIVE_WORK).hazard(
    "proof-incomplete",
    "One conductor that nobody measured can still be live: a lost neutral, a feed from elsewhere.",
    "sources:\n  - {id: fan, title: Fan, energy: electric, phases: 3, isolate: Q1, conductors: [L1, L2]}",
    "sources:\n  - {id: fan, title: Fan, energy: electric, phases: 3, isolate: Q1, conductors: [L1, L2, L3]}",
    rests_on="`conductors` of the source and `between` of the step: every one to every other and to earth.",
)


def _held(moment: Moment, name: str, field: str) -> Iterator[Finding]:
    lacking = moment.plant.unheld(moment.state, name)
    if lacking:
        yield PROOF_WITHOUT_LOCK.finding(
            moment.index,
            field,
            f"{_title(moment, name)} is {field.replace('prove_', 'proved ')} and is not {' and '.join(lacking)}",
            "Isolate and lock it first; what is not locked can come back while you work." + before(moment),
            grants=frozenset({(OFF, name), (LOCKED, name)}),
        )


def before(moment: Moment) -> str:
    """Say what a page before must do so that this one need not; nothing where none comes before."""
    earlier = moment.plant.procedure.after
    if not earlier:
        return ""
    return (
        f" Where `{earlier}` did it: every end and hand-over of it that leads here must have it locked, and says "
        f"`next: {moment.plant.name}`."
    )


def _identified(moment: Moment, name: str, field: str) -> Iterator[Finding]:
    if (IDENTIFIED, "") not in moment.state:
        yield PROOF_WITHOUT_IDENTITY.finding(
            "identity",
            field,
            f"{_title(moment, name)} is proved dead before anybody made sure it is this plant's",
            "Put a step with `identify:` before the isolation: same number on panel, isolator and plant.",
            grants=frozenset({(IDENTIFIED, "")}),
        )


_TOUCHES = act.Reset | act.Adjust
"""What hurts on the wrong plant. What only shuts, locks or stops protects in any case."""
_BRINGS_BACK = act.StartDemand | act.Restore | act.OpenValve
"""What starts the neighbour's plant; asked for where a shop asks at the door at all."""


def _touched(moment: Moment) -> Iterator[Finding]:
    """Yield plant that is worked before anybody made sure that it is the one of the order."""
    plant, action = moment.plant, moment.step.action
    bares = isinstance(action, act.OpenCover) and plant.bares(action.open_cover)
    starts = plant.danger_first and isinstance(action, _BRINGS_BACK)
    if (bares or starts or isinstance(action, _TOUCHES)) and (IDENTIFIED, "") not in moment.state:
        yield PROOF_WITHOUT_IDENTITY.finding(
            "identity",
            moment.field,
            "the plant is worked on before anybody made sure that it is the right one",
            "Put a step with `identify:` before it: same number on panel, isolator and plant; `different` leads out.",
            grants=frozenset({(IDENTIFIED, "")}),
        )


def _complete(moment: Moment, action: act.ProveDead) -> Iterator[Finding]:
    source = moment.plant.sources.get(action.prove_dead)
    if source is not None and len(source.conductors) < (3 if source.phases == 3 else 2):
        yield PROOF_INCOMPLETE.finding(
            moment.index,
            "prove_dead",
            f"the entry of {source.title} does not list {'all three' if source.phases == 3 else 'its'} conductors, so "
            "nothing says what to measure",
            "List every conductor, neutral included, under `conductors` of the source in the equipment entry.",
            grants=frozenset({(PROVED, action.prove_dead)}),
        )
    yield from checked(moment, action)


PROOF_SHOWS_NOTHING = MAKING_SAFE.hazard(
    "proof-shows-nothing",
    "Time has passed and the spring is still under tension, the capacitor charged, the drum hot.",
    "prove_gone: heat\nby: 30 min have passed",
    "prove_gone: heat\nby: Contact thermometer below 45 °C on the hood",
    rests_on="`by` of the proof and the energy of its source; that it was looked at is the reader's word.",
)


def _shown(moment: Moment, proof: act.ProveGone) -> Iterator[Finding]:
    """Yield a proof that rests on time, on nothing, or on another look than at the conductors."""
    source = moment.plant.sources.get(proof.prove_gone)
    if source is None:
        return
    says = proof.by or source.prove
    if source.electric:
        wrong, right = "is electricity, and is proved with a meter", f"Write `prove_dead: {source.id}`."
    elif not says:
        wrong, right = (
            "is called gone and nothing says what shows it",
            f"Write `by`, such as: {source.kind.gone}.",
        )
    elif only_time(says):
        wrong = f"is called gone because time has passed (`{says}`)"
        right = (
            f"A wait is a step before (`wait:`); write under `by` what shows it, such as: {source.kind.gone}."
        )
    elif (
        source.energy == "pressure"
        and _GAUGE.search(says)
        and not _LETS_OUT.search(f"{says} {moment.step.expect}")
    ):
        wrong = (
            f"is called gone by its gauge alone (`{says}`); a blocked gauge reads nothing over full pressure"
        )
        right = "Say under `by` what lets it out as well, such as: Gauge at 0, and nothing comes out of the open vent."
    elif source.energy == "motion" and not _AT_REST.search(says):
        wrong = f"is called at rest and nobody looked at what turns (`{says}`); wind, draught or weight turn it too"
        right = f"Write under `by` what the part itself shows, such as: {source.kind.gone}."
    elif more := _weaker(says, source.prove):
        wrong = f"is called gone with {more}, and its own proof asks for more: `{source.prove}`"
        right = "Write under `by` what the plant's entry asks for under `prove`, or leave `by` out."
    else:
        return
    yield PROOF_SHOWS_NOTHING.finding(
        moment.index,
        "by" if proof.by and not source.electric else "prove_gone",
        f"{source.title} {wrong}",
        right,
    )


def _weaker(says: str, asked: str) -> str:
    """Return what a proof calls gone that the plant's own proof does not; empty for nothing.

    >>> _weaker("Gauge below 15 psi, vent open", "Gauge at 0 psi and nothing comes out of the open vent")
    '15 psi'
    >>> _weaker("The wheel stands still", "The wheel stands still with the wedge in")
    'no wedge'
    >>> _weaker("The drum stands still", "The drum stands still and does not swing back when it is pushed")
    'no push by hand'
    >>> _weaker("Thermometer below 35 °C", "Thermometer below 40 °C")
    ''
    """
    most = _figures(asked)
    for unit, (value, figure) in _figures(says).items():
        if unit in most and value > most[unit][0]:
            return figure
    block = _BLOCK.search(asked)
    if block and block[0].lower() not in says.lower():
        return f"no {block[0].lower()}"
    return "no push by hand" if _BY_HAND.search(asked) and not _BY_HAND.search(says) else ""


def _figures(text: str) -> dict[str, tuple[float, str]]:
    """Return the largest figure of each unit in a text, as a number and as typed."""
    found: dict[str, tuple[float, str]] = {}
    for each in _FIGURE.finditer(text):
        value = float(each[1].replace(",", "."))
        if value >= found.get(each[2], (value, ""))[0]:
            found[each[2]] = value, each[0]
    return found


_FIGURE = re.compile(r"(\d+(?:[.,]\d+)?)\s*(psi|mbar|bar|kPa|Pa|°F|°C|V|rpm)\b")
_BLOCK = re.compile(r"\b(?:wedge|pin|prop|chock|block|chain)\b", re.IGNORECASE)
# A load may hold what stands still: only a push shows that nothing swings.
_BY_HAND = re.compile(
    r"\b(?:push\w*|pull\w*|nudg\w*|rock\w*|shov\w*|turn\w* (?:\w+ )?by hand|by hand|swings? back)\b",
    re.IGNORECASE,
)
_GAUGE = re.compile(r"\bgauge|\bmanometer|\bpsi\b|\bbar\b|\bkpa\b", re.IGNORECASE)
_LETS_OUT = re.compile(
    r"\bvent\w*|\bdrain\w*|\btry.?cock\w*|\bopen\w*|\bcomes out\b|\bblows?\b|\bhiss\w*|\bsecond\b",
    re.IGNORECASE,
)
# A lamp or a switch that "stands at OFF" is not the wheel.
_AT_REST = re.compile(
    r"\bstill\b|\bstand(?:s|ing)?\b(?!\s+(?:at|on|to|off|in)\b)|\b(?:at|to) rest\b|\bmotionless\b|\bwedged?\b|\bpin(?:ned)?\b|"
    r"\bblocked\b|\bpush\w*|\bpull\w*|\bby hand\b|\b(?:not|nor|neither) (?:turns?|moves?|swings?|gives?)\b|"
    r"\bnothing (?:turns|moves|swings|gives)\b|\bstopped turning\b",
    re.IGNORECASE,
)
_TIME = re.compile(
    r"\b(?:\d+(?:[.,]\d+)?\s*(?:s|sec|seconds?|min|minutes?|h|hours?|d|days?)|minutes?|hours?|overnight|time|"
    r"wait(?:ed|ing)?|pause|night|while|long enough)\b",
    re.IGNORECASE,
)
# What shows something besides the clock: an instrument, a figure with its unit, eyes and hands.
_SHOWS = re.compile(
    r"\b(?:\w*thermometer|gauge|\w*meter|manometer|detector|analyser|analyzer|probe|reads?|reading|indicator|"
    r"hand|touch|touched|feel|felt|seen?|look|looked|eyes?|glass|still|motionless|swings?|rises?|climbs?|drops?|falls?|"
    r"cold|cool|dry|empty|slack|open|vent|hiss|steam|psi|bar|mbar|kpa|pa|volts?|v)\b|°|\bin wc\b",
    re.IGNORECASE,
)


def only_time(says: str) -> bool:
    """Return whether words tell of time and of nothing that anybody sees, reads or feels.

    >>> only_time("30 min have passed"), only_time("One hour on the watch since the run-on ended")
    (True, True)
    >>> only_time("Thermometer below 45 °C after 30 min"), only_time("Gauge at 0 psi")
    (False, False)
    """
    return _TIME.search(says) is not None and _SHOWS.search(says) is None


def _title(moment: Moment, name: str) -> str:
    source = moment.plant.sources.get(name)
    return source.title if source else name
