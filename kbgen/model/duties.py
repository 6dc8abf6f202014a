"""What every procedure must do, in the order of a page, for whoever writes one.

Nothing is judged from this list; each line names the rules that hold an author to it. Every hazard of the walk stands in
one of them (`tests/unit/rules/test_registry.py`).
"""

from __future__ import annotations

from typing import NamedTuple

from kbgen.model.claims import CLAIMS


class Duty(NamedTuple):
    """One part of the list.

    Attributes:
        head: What it is about, in a word or two.
        says: What to write, a sentence each.
        rules: The names of the rules that ask for it.
    """

    head: str
    says: tuple[str, ...]
    rules: tuple[str, ...]


DUTIES = (
    Duty(
        "Begin",
        (
            "Begin with the plant as it was found: on, unlocked, able to fire, with what others left in it.",
            "`starts` names only what every page that leads here brings about.",
        ),
        ("start-only-claimed", "next-not-ready", "call-not-ready", "sent-into-the-middle"),
    ),
    Duty(
        "Chain of pages",
        (
            "The first page ends with `end: found` (the same person goes on) or `hand_over` (a colleague does).",
            "There it says `next: SECOND-PAGE`; the second page says `after: FIRST-PAGE`.",
            "What every such end has off, locked and tried is so when the second begins, without `starts`.",
            "A colleague identifies the plant and proves it dead or gone anew; who goes on himself need not.",
            "What the first page opened, changed, reset or owes goes along; the second undoes or proves it.",
            "No `claims` clears it: an answer that nothing else is owed leaves it owed.",
            "A cause that was found and mended counts on the second page for its `reset`, with the same person and all locked.",
            "A joint that was closed waits behind locked fuel, where the second page has its `leak_check` right after the gas.",
            "What is still fitted goes only by `hand_over`, with a `next` page that has its `undo`.",
            "Fuel or control supply stays locked between the two.",
        ),
        ("next-not-ready", "left-able-to-fire", "claimed-away", "doubt-claims", "claim-nobody-gives"),
    ),
    Duty(
        "Names",
        (
            "Write sources, devices, terminals, valves, covers, zones and points as the plant's entries write them.",
            "A name of your own is lower-case words with hyphens: an `id`, the leads of `clip: meter-1`, the `name` of a `fit`.",
            "Only `do` takes backticks and links; every other field of a step is plain text.",
        ),
        ("unknown-name", "wrong-form", "markup-in-line"),
    ),
    Duty(
        "Danger",
        (
            "Ask first for gas, smoke, alarm and water, on every page; a colleague sent into a page asks anew.",
            "Who has it, or is not sure, goes to `end: evacuated`; nothing is opened, started or worked on before.",
            "Nothing but such an answer leads there; while something is fitted, open and live, or did not trip, it carries `danger: true`.",
            "Only the answer that denies all of it leads on; who smells or hears a little leaves as well.",
            "A boiler whose water is not in sight is stopped and left to cool; nothing feeds it.",
            "Before feed water comes on or the boiler is started, `inspect` the glass and ask for the water.",
            "Look anew once the level was let down.",
            "A full or empty glass leads where doubt leads; a dry boiler is fed once its metal is proved cold.",
        ),
        (
            "danger-not-asked",
            "danger-goes-on",
            "evacuation-as-end",
            "fed-without-water",
            "fed-unseen",
            "fired-unseen",
        ),
    ),
    Duty(
        "Identify and record",
        (
            "`identify` before anything is opened, proved, replaced, reset or set; `different` leads to a `hand_over`.",
            "`record: [display]` before a supply goes off; `record: [resets]` before a button is pressed.",
        ),
        ("proof-without-identity", "evidence-lost", "reset-before-evidence"),
    ),
    Duty(
        "What others left",
        (
            "A page that switches on, opens fuel, resets or ends in service asks it once, right after `identify`.",
            "It reads the record and the tags; the answer that all is in order carries `claims` with all that it says:",
            *(f"`{word}`: {meaning}." for word, meaning in CLAIMS.items()),
            "Give every word that this page does not bring about itself; every other answer hands it over.",
            "Ask before this page shuts, opens or changes anything: nobody can claim away what the page did.",
        ),
        ("left-by-others", "claimed-away", "claim-denied", "claim-nobody-gives"),
    ),
    Duty(
        "Steps",
        (
            "One instruction and one action a step.",
            "Whatever somebody does to the plant is an action: a cover, a cock, a switch, a lock, a plug, a button.",
            "The words say the same as the action, and name no other valve, source, cover or terminal as worked.",
            "Other fields and the words of an `end` tell nothing new to do: no wire, wedge, tape, lock or switch.",
            "What hands do in a zone stands in the step with `work_in`.",
            "A tube, plate, damper or setting that makes a device trip is a `fit` or an `adjust` of its own, and is undone.",
        ),
        (
            "words-tell-more",
            "words-against-action",
            "action-not-told",
            "order-not-known",
            "words-tell-alteration",
        ),
    ),
    Duty(
        "Answers",
        (
            "A step that proves, reads or looks is answered by verdict words, each with its step: `dead: go-on`, `live: stop`.",
            "Every word of its row is there; the doubtful one, named last, does not lead where the pass leads.",
            "With an own question, each outcome carries its verdict word in place of `go`.",
            "Of the job check `real` is the doubtful word; the cause is looked for, and mended, before it fires again.",
            "A plain question has Yes, No and Not sure; Yes and No lead apart, Not sure with the worse of them.",
            "A way back up carries `at_most`; every step is reached, and every way ends.",
        ),
        (
            "verdict-missing",
            "fails-alike",
            "answers-crossed",
            "verdict-foreign",
            "outcome-leads-badly",
            "doubt-decides",
            "doubt-unnamed",
            "doubt-goes-on",
            "words-against-verdict",
            "question-not-total",
            "loop-without-limit",
            "too-many-ways",
        ),
    ),
    Duty(
        "Off, locked, proved",
        (
            "For each source: `isolate`, `lock`, then its proof.",
            "The proof of electricity is `prove_dead` with `known_source: Proving unit`; `between` is a list of texts, `L1 to N`.",
            "The proof of all else is `prove_gone`, by what is seen, never by time; a `wait` is a step before it.",
            "Of fuel say at which `point`; of gas work also `watch: pressure` with `no-pressure` will do.",
            "Stop the burner (`stop_demand`) before a source that it needs to fire is switched off.",
            "What a source names under `off_after` is off before it: the coil cools before its water is shut.",
            "What `runs_on` after the fire goes off only once it ran that long (`wait`), or stands still (`observe: standstill`).",
        ),
        (
            "lock-before-off",
            "proof-without-lock",
            "proof-incomplete",
            "meter-not-proved",
            "proof-shows-nothing",
            "off-while-firing",
            "off-too-early",
            "run-on-cut",
        ),
    ),
    Duty(
        "Hands",
        (
            "Hands are `work_in`, `replace`, `clip`, a `fit` of wires, and ohms; no operator is sent to terminals.",
            "Before `work_in` or `open_cover`, every source in its `reached_by` is off, locked and proved.",
            "Before `replace`, `clip`, wires and ohms: the supplies of the circuit; before a contactor: every supply.",
            "Before `replace` also the electricity that reaches every zone of its place, and every source in its `reached_by`.",
            "A cover before something that turns is opened with the plant stopped (`stop_demand`) and seen at rest (`observe: standstill`).",
            "What stays live beside a zone is covered (`guard`).",
            "Where something can move there, a start is tried before: `inform` that all stand clear, then `try_start`.",
            "That `inform` comes after the last cover was opened; the control supply is locked by then.",
            "Close the covers in front of the hands (`close_cover`) before anything comes back.",
            "Who was sent into the plant is told before a lock comes off: `inform` everybody there, not the shift lead alone.",
            "No hand, rag or gauge goes to what was started and not seen at rest; no face goes to a burner that may light.",
        ),
        (
            "work-not-isolated",
            "cover-on-live",
            "replaced-live",
            "clipped-live",
            "ohms-not-proved-dead",
            "terminals-by-operator",
            "start-not-tried",
            "tried-not-locked",
            "moves-with-hands-in",
            "hands-at-what-turns",
            "face-at-burner",
            "opened-under-pressure",
        ),
    ),
    Duty(
        "Live readings",
        (
            "Supply on, the caution of live plant in `cautions`, and the burner's own cock shut (`shut_valve`).",
            "Or clip the leads on dead (`clip`), keep clear, and write `leads: clipped-dead`.",
            "Read supply to return first; behind a `none` there, no reading finds a part.",
            "Then point by point, never on behind a `none`; across a contact only after the point before it read `full`.",
            "After `some`, the next reading is the same two points with `meter: low-impedance`, to the return.",
            "A way with a `some` that was not repeated, or a first `none`, never reaches `end: found`.",
            "Behind contacts that are open at rest: see the plant run first (`observe: start`, `seen`).",
            "No open cover and no shut cock may open the string that is read; see `opens` of the plant.",
        ),
        (
            "held-leads-while-firing",
            "live-reading-without-caution",
            "volts-while-off",
            "zero-without-supply",
            "across-without-upstream",
            "middle-reading-decides",
            "low-impedance-jumper",
            "ammeter-across",
            "open-at-rest",
            "read-behind-nothing",
            "cover-opens-contact",
            "valve-opens-contact",
            "clipped-on-live",
        ),
    ),
    Duty(
        "Ohms",
        (
            "Ohms, amps and temperatures are answered by `within` and `outside`, never by `full` or `none`.",
            "Or ask in your own words; each outcome, In between and Not sure included, then leads on by `go`.",
            "Ask nothing of ohms across a device whose `dead_state` is open, or that needs power.",
            "A coil, lamp or input between the two points: lift one wire first (`fit: lifted-wire`).",
            "Before the supply comes back, clipped leads come off, or a step turns the meter to volts.",
        ),
        ("ohms-decide-nothing", "ohms-across-load", "ohms-when-live"),
    ),
    Duty(
        "Alterations",
        (
            "`fit` with a name, `undo` on every way out; a wire or jumper with the circuit dead both times.",
            "A drain of steam (`fit: open-drain`) is opened only with its pressure proved gone.",
            "A vent (`fit: open-vent`) lets it go, once the fuel is shut and what feeds it is off and locked.",
            "A jumper names both terminals and the device, which says `may_jump`, and the burner's fuel is shut.",
            "Limits, water, gas, air and flame are never bridged; nothing fires with an alteration in.",
            "A factory `link` is right only without the part of its `option`: ask whether that is fitted, and then for the link.",
            "`unclip` the leads on every way out, off and locked, or tell the colleague (`still_on`).",
            "Where the door was closed over clipped leads, prove it dead again before they come off.",
            "What went in at a fan under its lock comes out under its lock, and with the fan seen at rest.",
            "What was bridged, replaced, moved or did not trip is proved (`prove_trip`) before service, with all on.",
            "A contactor, relay, door or fan switch is no exception: stop what it watches, and see the burner stop.",
            "Where a burner can light, see it fire (`observe: firing`) before each trip by water, gas or air.",
            "`not-tripped` leads to stopping and locking, not to leaving at once; it fires again once that device is mended.",
        ),
        (
            "alteration-left",
            "alteration-live",
            "alteration-name-twice",
            "permits-deadly-jumper",
            "never-jumped",
            "jumper-not-allowed",
            "jumper-ends-unknown",
            "jumper-names-another",
            "jumper-spans-several",
            "jumper-with-fuel",
            "fire-with-alteration",
            "never-gagged",
            "leads-left-on",
            "link-on-some-plant",
            "hand-over-loses-alteration",
            "trip-proved-under-jumper",
            "trip-proved-off",
            "trip-proved-by-another",
            "trip-not-proved",
            "trip-without-flame",
            "fires-unprotected",
            "undone-unlocked",
        ),
    ),
    Duty(
        "Settings",
        (
            "`adjust` says `from` and `to`, on a page of whom `changed_by` names and for the setting's `sizes`.",
            "A limit moves only to the side that trips earlier, and back before any end but one that is locked and left safe.",
            "`note_down` or `record: [settings]`; after gas or air `measure: flue-gas`.",
            "`hold` a test button no longer than its device allows (`for`).",
        ),
        (
            "setting-nobody-changes",
            "setting-by-another",
            "setting-of-another-size",
            "limit-let-through",
            "control-above-limit",
            "limit-left-changed",
            "setting-not-noted",
            "held-too-long",
        ),
    ),
    Duty(
        "Gas",
        (
            "`who: licensed-gas`; fuel off and locked, the section without pressure, then `open_gas_train` and `cap`.",
            "Watch the pressure where the test point is open (`fit: open-test-point`), for a minute at least.",
            "Gas back, then `leak_check` of every point that was opened, before anything else.",
            "Joints behind the shut-off valves are checked while it fires, or with air while the train is shut.",
            "Then `observe: air-supply`, and with the flame seen (`observe: firing`) `measure: gas-rate` and `measure: flue-gas`.",
            "`leaks` leads to shut, locked and `unsafe-left-off` with `label`, `notice` and `tell`; never to `left-safe`.",
            "Not tested yet: shut, locked, the tag says so, `left-safe`.",
            "No fuel valve is opened while the burner may start: stop it, open the valve, then start it.",
        ),
        (
            "gas-work-unlicensed",
            "gas-opened-under-pressure",
            "pressure-shows-nothing",
            "leak-check-missing",
            "leak-check-while-open",
            "leak-check-without-gas",
            "gas-on-open-train",
            "gas-on-leaking-train",
            "gas-work-owed",
            "flue-gas-without-fire",
            "fuel-onto-flame",
            "analyser-missing",
            "gas-left-open",
            "gas-left-untested",
            "leak-left-safe",
            "unsafe-not-said",
        ),
    ),
    Duty(
        "Resets",
        (
            "Evidence, then `find_cause`; only behind `cause-mended` a limit is reset, and once.",
            "An ignition lockout may be reset once without its cause, a start tried no oftener than `most_starts`.",
            "Where switching off and on clears a lockout, that is a reset.",
            "A one-shot device is replaced.",
            "Behind a reset limit that another should have spared (`backs_up`), the trip of that other is owed.",
            "A step that `faulty` leads to is reached by no way without `check_real`.",
        ),
        (
            "reset-without-cause",
            "second-reset",
            "one-shot-reset",
            "too-many-starts",
            "loop-starts-again",
            "real-cause-left",
            "faulty-unchecked",
        ),
    ),
    Duty(
        "Energy back",
        (
            "Covers closed, alterations out, then `inform`: after the last lock and before the first `unlock`.",
            "Then `unlock` and `restore` each source, fuel last, and `open_valve` of what was shut.",
            "`inform` before every `start_demand` too, and again after hands were in.",
            "`start_demand`, then `observe: purge` before `observe: firing`.",
            "Before service `observe: full-cycle`, after the last thing that was touched.",
        ),
        (
            "unlock-without-telling",
            "start-without-telling",
            "restore-under-lock",
            "firing-without-purge",
            "cannot-fire",
            "cycle-not-seen",
            "others-not-informed",
        ),
    ),
    Duty(
        "Ends",
        (
            "`returned-to-service`: all on, all closed, no lock, nothing owed.",
            "`left-safe`: fuel or control supply off and locked; whatever else is off is locked too.",
            "`unsafe-left-off`: what was found is dangerous; fuel off and locked, `label`, `notice`, `tell`.",
            "`found` with `next`, on ways where something was found, and the burner unable to fire.",
            "Plant left as it was found, or not the right one: `hand_over`, with nothing off and unlocked.",
            "After `live` nothing ends with the cover open before it: close it, or stay and hand it over.",
        ),
        (
            "live-left-open",
            "lock-left-on",
            "left-shut-off",
            "cover-left-open",
            "left-unlocked",
            "off-without-lock",
            "found-leads-nowhere",
            "left-able-to-fire",
        ),
    ),
)
