"""What every procedure must do, in the order of a page, for whoever writes one.

Nothing is judged from this list; each line names the rules that hold an author to it.
"""

from __future__ import annotations

from typing import NamedTuple

from kbgen.model.claims import CLAIMS


class Duty(NamedTuple):
    """One line of the list.

    Attributes:
        head: What it is about, in a word or two.
        says: What to write.
        rules: The names of the rules that ask for it.
    """

    head: str
    says: str
    rules: tuple[str, ...]


DUTIES = (
    Duty(
        "Begin",
        "Begin with the plant as it was found: on, unlocked, able to fire.",
        ("start-only-claimed", "next-not-ready"),
    ),
    Duty(
        "Chain of pages",
        "The first page ends with `end: found` (the same person goes on) or `hand_over` (a colleague does), with `next: "
        "SECOND-PAGE`; the second says `after: FIRST-PAGE`. What every such end has off, locked and tried is so when the "
        "second begins, without `starts`; a colleague proves it dead or gone anew and identifies the plant anew, who goes on "
        "himself need not. What the first page opened, changed, reset or owes goes along: the second undoes or proves it, "
        "and claims only what the first did not touch. Fuel or control supply stays locked between the two.",
        ("next-not-ready", "left-able-to-fire", "claimed-away", "claim-nobody-gives"),
    ),
    Duty(
        "Danger",
        "Ask for gas, smoke, alarm and water first. Who has it, or is not sure, goes to `end: evacuated` or to leaving "
        "it safe, and neither opens nor starts anything.",
        ("danger-goes-on", "doubt-goes-on"),
    ),
    Duty(
        "Identify and record",
        "`identify` before anything is switched, locked or opened; `different` leads to a `hand_over`. `record` what "
        "the display shows before anything goes off or is reset.",
        ("proof-without-identity", "evidence-lost", "reset-before-evidence"),
    ),
    Duty(
        "What others left",
        "Where the page brings energy back or ends in service: read the record and the tags and ask, right after "
        "`identify`. The answer that all is in order carries `claims` with every word that it says: "
        + ", ".join(f"`{word}`" for word in CLAIMS)
        + ". Every other answer leaves it safe or hands it over. Claim it before this page does anything of that kind: "
        "what it did itself nobody can deny, and the answer would be a way that nobody can go.",
        ("left-by-others", "second-reset", "leak-check-missing"),
    ),
    Duty(
        "Steps",
        "One instruction and one action a step. Whatever somebody does to the plant is an action, also opening a cover, "
        "shutting a cock, turning a switch; the words say the same as the action and name nothing else of its kind. "
        "Tell people in a step of its own (`inform`), before the lock comes off and before the test start.",
        ("words-tell-more", "words-against-action", "words-tell-alteration", "unlock-without-telling"),
    ),
    Duty(
        "Answers",
        "A proof or a reading is answered by its verdict words, on the step or with an own question. Doubt goes to the "
        "last word of the row. A plain question has Yes, No and Not sure, and Not sure goes no further than the worst "
        "answer. A way back up carries `at_most`.",
        ("verdict-missing", "doubt-decides", "question-not-total", "loop-without-limit"),
    ),
    Duty(
        "Hands",
        "Before `work_in`, `replace`, `clip`, `fit` of a wire or ohms: every source that reaches there `isolate`, "
        "`lock`, proved (`prove_dead` with a `known_source`; `prove_gone` by what shows it, never by time; a pressure with "
        "`no-pressure`). Before hands go in where something turns: `try_start`. A cover "
        "before something live, hot or turning is opened with that off, or with the fixed guard said (`guard`).",
        (
            "work-not-isolated",
            "ohms-not-proved-dead",
            "start-not-tried",
            "proof-shows-nothing",
            "cover-on-live",
        ),
    ),
    Duty(
        "Live readings",
        "Fuel shut behind the contacts that are read, supply on, the live caution in `cautions`. Supply and return "
        "first, then upstream of the contact, then across it. Behind contacts that are open at rest: see the plant run "
        "first (`observe: start`). `some` never finds a part.",
        (
            "held-leads-while-firing",
            "live-reading-without-caution",
            "zero-without-supply",
            "across-without-upstream",
            "open-at-rest",
        ),
    ),
    Duty(
        "Alterations",
        "`fit` with a name, `undo` on every way out, with the circuit dead both times. What was bridged, replaced, moved "
        "or did not trip is proved (`prove_trip`) before the plant is in service. Limits, water, gas, air and flame are "
        "never bridged.",
        ("alteration-left", "never-jumped", "trip-not-proved", "alteration-live"),
    ),
    Duty(
        "Gas",
        "Somebody licensed (`who`), the section without pressure, `open_gas_train`, `cap`, gas back, `leak_check` before "
        "anything else; joints behind the shut-off valves only while it fires. Then `observe: air-supply`, `measure: gas-rate` and "
        "`measure: flue-gas`, with the flame seen. Untested: shut, locked and "
        "`left-safe`. Not tight: shut, locked and `unsafe-left-off` with label, notice and `tell`.",
        (
            "gas-work-unlicensed",
            "leak-check-missing",
            "gas-work-owed",
            "analyser-missing",
            "gas-left-untested",
        ),
    ),
    Duty(
        "Resets",
        "Evidence, then `find_cause`; only `cause-mended` may be reset. An ignition lockout may be reset once without. "
        "Where switching off and on clears a lockout, that is a reset.",
        ("reset-without-cause", "second-reset", "too-many-starts", "real-cause-left"),
    ),
    Duty(
        "Energy back",
        "Covers closed (`close_cover`), alterations out, people told (`inform`), `unlock`, `restore`, fuel last. "
        "`start_demand`, then `observe: purge` before `observe: firing`; before service `observe: full-cycle`.",
        ("restore-under-lock", "firing-without-purge", "cover-left-open", "cycle-not-seen"),
    ),
    Duty(
        "Ends",
        "`returned-to-service`: all of the above, nothing owed. `left-safe`: whatever is off is locked. `found` with "
        "`next`, and unable to fire. `unsafe-left-off`: what was found is dangerous, said on the plant. Plant left as it was found, or not the right one: `hand_over`. `evacuated` only "
        "from an answer that says danger.",
        (
            "left-unlocked",
            "off-without-lock",
            "found-leads-nowhere",
            "evacuation-as-end",
            "others-not-informed",
        ),
    ),
)
