"""What earlier pages may have left, told once a page; and claims that deny what this page itself did."""

from __future__ import annotations

import re

from kbgen.compute.walk import state as s
from kbgen.compute.walk.arriving import claimed_kinds, claims_against
from kbgen.compute.walk.contract import titles
from kbgen.compute.walk.finding import Finding, Moment
from kbgen.compute.walk.hazard import LEAVING
from kbgen.compute.walk.judge import judge
from kbgen.compute.walk.plant import Plant
from kbgen.compute.walk.result import because
from kbgen.compute.walk.state import NOTHING, Fact, State
from kbgen.model.action import Clip, Fit
from kbgen.model.answers import Answer
from kbgen.model.wording import spoken
from kbgen.rule import Rule

LEFT_BY_OTHERS = LEAVING.hazard(
    "left-by-others",
    "The page before left a trip unproved or a jumper in, and this one calls the plant ready without having asked.",
    "- do: Write it down.\n  end: returned-to-service",
    "- do: Read the record and the tags.\n  ask: Is every trip proved?\n  outcomes:\n"
    "    - {when: 'Yes', go: done, claims: [trips-proved]}\n    - {when: No or not sure, go: leave-safe}\n"
    "- id: done\n  do: Write it down.\n  end: returned-to-service",
    rests_on="What earlier pages may leave, walked over all of them, and the `claims` of this page's answers.",
)
_CALLED = {
    s.FITTED: "alterations in",
    s.CLIPPED: "leads on",
    s.OPENING: "gas train open",
    s.UNTESTED: "joints not proved tight",
    s.OWED: "trips not proved",
    s.MOVED: "limits moved",
    s.CYCLE_OWED: "no full cycle seen",
    s.ANALYSER_OWED: "flue gas not read",
    s.GAS_OWED: "air supply or gas rate not checked",
    s.RESET: "resets without their cause",
    s.TRIES: "starts without a flame",
    s.LEAK_DUE: "joints not proved tight",
    s.LEAKS: "leaks",
    s.COVER: "covers open",
    s.UNNOTED: "settings not written down",
    s.UNSEEN: "covers open",
    s.STOPPED: "people not told",
    s.STANDS: "somebody at the plant",
    s.LEFT_OFF: "sources off",
    s.LEFT_LOCKED: "locks on",
    s.LEFT_SHUT: "valves shut",
}


def by_others(plant: Plant, index: int, low: State, high: State) -> list[Fact]:
    """Return what a step must not be taken with and only earlier pages may have left."""
    if low == high:
        return []
    found = _broken(plant, index, high)
    found = found and found - _broken(plant, index, low)
    if not found:
        return []
    more = sorted(high - low)
    alone = [fact for fact in more if found & _broken(plant, index, low | {fact})]
    if alone:
        return alone
    # Only several together break it: as few as will do.
    for fact in more:
        if found & _broken(plant, index, high - {fact}):
            high -= {fact}
    return sorted(high - low)


def _broken(plant: Plant, index: int, state: State) -> set[tuple[Rule, object]]:
    return {(each.rule, each.about) for each in judge(plant, state, index)}


def asked(low: State, high: State, facts: list[Fact]) -> State:
    """Return what may be left where somebody had asked for some facts; what is so for certain stays."""
    denied = claimed_kinds(claims_against(facts))
    return frozenset(fact for fact in high if fact in low or fact[0] not in denied)


_NAMED = 3
"""How many things a message names; of more it gives the number."""


def told(plant: Plant, index: int, facts: set[Fact], owed: State) -> Finding:
    """Say once for a page all that only earlier pages may have left, at the first step that must not be taken with it.

    Args:
        index: That step.
        facts: Everything of the kind on the whole page.
        owed: What the page before left for certain; no question clears it.
    """
    for kind, where in sorted(owed & facts):
        says, undo = _UNDOES[kind]
        name = _name(plant, kind, where)
        return LEFT_BY_OTHERS.finding(
            "left",
            Moment(plant, NOTHING, index).field,
            f"{says.format(name)}: the page before left it so, and nothing on this way ends it",
            f"{undo.format(name)}. No answer clears what the page before left on every way.",
        )
    called: dict[str, dict[str, None]] = {}
    for kind in sorted({kind for kind, _ in facts}):
        named = titles(plant, frozenset(facts), kind)
        called.setdefault(_CALLED.get(kind, kind), {}).update(dict.fromkeys(named))
    said = ", ".join(
        f"{what} ({'; '.join(named) if len(named) <= _NAMED else len(named)})" if named else what
        for what, named in called.items()
    )
    return LEFT_BY_OTHERS.finding(
        "left",
        Moment(plant, NOTHING, index).field,
        f"earlier pages may have left {said}, and nothing on this way finds out",
        "Before this step, best right after `identify`, let a step read the record and the tags and ask. The answer "
        f"that all is in order carries `claims: [{', '.join(claims_against(facts))}]`; any other leaves it safe or "
        "hands it over."
        + (
            " Where a start is only tried, it will do to tell everybody at the plant to stand clear (`inform: Everybody at "
            "the plant`)."
            if any(kind == s.STANDS for kind, _ in facts)
            else ""
        ),
    )


CLAIMED_AWAY = LEAVING.hazard(
    "claimed-away",
    "The jumper is still in; somebody answers that all is in order, and the plant fires with it.",
    "- do: Fit the hand pump.\n  fit: unplugged-tube\n  name: tubes\n- do: Look round.\n  ask: Is all in order?\n"
    "  outcomes:\n    - {when: 'Yes', go: start, claims: [nothing-altered]}",
    "- do: Fit the hand pump.\n  fit: unplugged-tube\n  name: tubes\n- do: Take it off.\n  undo: tubes\n"
    "- do: Look round.\n  ask: Is all in order?\n"
    "  outcomes:\n    - {when: 'Yes', go: start, claims: [nothing-altered]}",
    rests_on="`claims` of the answer, and what the steps of this page before it left in, open or owed.",
)
CLAIM_DENIED = LEAVING.hazard(
    "claim-denied",
    "The answer says that it is not so, its claim says that it is, and the check believes the claim.",
    "ask: Is the train tight?\noutcomes:\n  - {when: Opened and not proved tight, go: start, claims: [train-tight]}",
    "ask: Is the train tight?\noutcomes:\n  - {when: Opened and not proved tight, go: leave-safe}",
    rests_on="`claims` of an answer, words of denial before what it claims, and the `claims` of the opposite answer.",
)
_SAYS_NOT = {
    "nothing-altered": "out|back|removed|undone",
    "trips-proved": "proved|tripped|tested",
    "train-tight": "tight|checked|tested",
    "not-reset": "",
    "covers-closed": "closed|shut|on",
    "cycle-seen": "seen|watched",
    "flue-gas-read": "read|measured",
    "gas-work-checked": "checked|read|measured",
    "not-tried": "",
    "settings-noted": "noted|written|recorded",
    "all-on": "on|open|back",
    "people-told": "told|informed",
}
"""What an answer denies that says "not" before one of these words, by its claim."""


def _denied(plant: Plant, index: int, answer: Answer) -> str:
    """Return a claim that the words of its answer deny, or that the opposite answer carries too; empty for none."""
    plainly = answer.when.casefold()
    for claim in answer.claims:
        if _SAYS_NOT[claim] and re.search(
            rf"\b(?:(?:not|never|nor|\w+n['’]t)\s+(?:\w+\s+)?|un-?)(?:{_SAYS_NOT[claim]})\b", plainly
        ):
            return claim
    opposite = {"yes": "no", "no": "yes"}.get(plainly, "")
    others = [each for each in plant.answers[index] if each.when.casefold() == opposite]
    shared = [claim for each in others for claim in each.claims if claim in answer.claims]
    return shared[0] if shared else ""


DOUBT_CLAIMS = LEAVING.hazard(
    "doubt-claims",
    "Whoever is not sure has seen nothing; what earlier work left is taken for put right, and never is.",
    "ask: Is every trip proved?\noutcomes:\n  - {when: Yes or not sure, go: start, claims: [trips-proved]}",
    "ask: Is every trip proved?\noutcomes:\n  - {when: 'Yes', go: start, claims: [trips-proved]}\n"
    "  - {when: No or not sure, go: leave-safe}",
    rests_on="`claims` of an answer, and the words of doubt in its `when`.",
)
_UNDOES: dict[str, tuple[str, str]] = {
    s.FITTED: ("`{}` is still in", "Take it out before (`undo: {}`)"),
    s.CLIPPED: ("the leads of `{}` are still on", "Take them off before (`unclip: [{}]`)"),
    s.OPENING: ("the gas train is open at `{}`", "Close it before (`cap: {}`)"),
    s.UNTESTED: ("`{}` was opened and is not proved tight", "Check it with gas before (`leak_check: [{}]`)"),
    s.LEAKS: ("`{}` was found leaking", "Mend it and check it before (`leak_check: [{}]`)"),
    s.OWED: ("the trip of `{}` is owed", "Prove it before (`prove_trip: {}`)"),
    s.MOVED: ("`{}` is not at its setting", "Set it back before (`adjust: {}`)"),
    s.COVER: ("`{}` is open", "Close it before (`close_cover: {}`)"),
    s.UNSEEN: ("`{}` is open", "Close it before (`close_cover: {}`)"),
    s.STANDS: (
        "somebody may still stand at `{}`, whose cover is open",
        "Close that cover before (`close_cover`); where a start is only tried, tell everybody at the plant to stand clear "
        "(`inform: Everybody at the plant`)",
    ),
    s.RESET: ("`{}` was reset without its cause", "Find the cause before (`find_cause: {}`)"),
    s.GAS_OWED: ("`{}` is owed after gas work", "Do it before (`observe: air-supply`, `measure: gas-rate`)"),
    s.TRIES: ("a start was tried and no flame was seen", "See it fire before (`observe: firing`)"),
    s.ANALYSER_OWED: ("the flue gas is not read", "Read it before (`measure: flue-gas`)"),
    s.CYCLE_OWED: ("no full cycle was seen since the last work", "See one before (`observe: full-cycle`)"),
    s.UNNOTED: ("the changed `{}` is not written down", "Write it down before (`record: [settings]`)"),
}
"""What a page itself leaves and no answer undoes, and what does."""


def claimed_away(plant: Plant, index: int, answer: Answer | None, own: State) -> list[Finding]:
    """Return what an answer claims to be in order although this page itself left it otherwise.

    Args:
        own: What is so for certain by the steps of this page.
    """
    if answer is None or not answer.claims:
        return []
    *_, item, _ = answer.route or ("outcomes", 0, "go")
    denied = claimed_kinds(answer.claims)
    found = []
    if answer.doubt:
        found.append(
            DOUBT_CLAIMS.finding(
                (index, answer.when, "doubt"),
                f"outcomes.{item}.claims",
                f"`{answer.when}` claims `{answer.claims[0]}`, and takes in who is not sure",
                "Let only who has seen it claim it; who is not sure goes where `No` goes.",
            )
        )
    wrong = _denied(plant, index, answer)
    if wrong:
        found.append(
            CLAIM_DENIED.finding(
                (index, answer.when, "denied"),
                f"outcomes.{item}.claims",
                f"`{answer.when}` claims `{wrong}`, and says or answers the opposite",
                "Let only the answer claim it that says so.",
            )
        )
    for kind, where in sorted(own):
        if kind in denied and kind in _UNDOES and (kind != s.RESET or (s.CAUSED, where) not in own):
            says, undo = _UNDOES[kind]
            name = _name(plant, kind, where)
            (claim,) = (word for word in claims_against([(kind, where)]) if word in answer.claims)
            found.append(
                CLAIMED_AWAY.finding(
                    (index, answer.when, kind, where),
                    f"outcomes.{item}.claims",
                    f"`{claim}` cannot be true here: {says.format(name)} by this page itself",
                    f"A question undoes nothing. {undo.format(name)}, or let this answer not claim `{claim}`.",
                    because(where, f"`{name}` was done here") if kind in (s.FITTED, s.CLIPPED) else (),
                )
            )
    return found


def _name(plant: Plant, kind: str, where: str) -> str:
    action = plant.action_at(where) if kind in (s.FITTED, s.CLIPPED) else None
    return spoken(
        action.name if isinstance(action, Fit) else action.clip if isinstance(action, Clip) else where
    )


CLAIM_NOBODY_GIVES = LEAVING.hazard(
    "claim-nobody-gives",
    "An answer that cannot be true on any way hides everything behind it from the check.",
    "- do: Switch Q2 off.\n  isolate: control\n- do: Look.\n  ask: Is all on?\n  outcomes:\n"
    "    - {when: 'Yes', go: start, claims: [all-on]}",
    "- do: Look.\n  ask: Is all on?\n  outcomes:\n    - {when: 'Yes', go: start, claims: [all-on]}",
    rests_on="`claims` of the answer, and what is off, locked or shut on every way to it.",
)


def never_given(index: int, answer: Answer) -> Finding:
    """Say of an answer that its claims are true on no way."""
    *_, item, _ = answer.route or ("outcomes", 0, "go")
    return CLAIM_NOBODY_GIVES.finding(
        (index, answer.when),
        f"outcomes.{item}.claims",
        f"nobody can give the answer `{answer.when}`: what it claims is not so on any way here",
        "Bring it about before (`unlock`, `restore`, `open_valve`), ask before this page changes it, or claim less.",
    )
