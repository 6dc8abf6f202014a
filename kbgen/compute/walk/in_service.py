"""What must be in order when plant is called returned to service."""

from __future__ import annotations

from collections.abc import Iterator

from kbgen.compute.walk.finding import Finding, Moment
from kbgen.compute.walk.hazard import LEAVING, LOTO
from kbgen.compute.walk.state import (
    ANALYSER_OWED,
    COVER,
    CYCLE_OWED,
    GAS_OWED,
    INFORMED,
    LEFT_LOCKED,
    LEFT_OFF,
    LEFT_SHUT,
    LOCKED,
    MOVED,
    OFF,
    OWED,
    REAL,
    SHUT,
    STOPPED,
    UNNOTED,
    UNSEEN,
    has,
    names,
)

COVER_LEFT_OPEN = LEAVING.hazard(
    "cover-left-open",
    "Open covers: live parts, hot parts, and strings that do not make.",
    "- end: returned-to-service",
    "- close_cover: panel-door\n- end: returned-to-service",
    rests_on="The covers open at the end.",
)
LOCK_LEFT_ON = LEAVING.on(LOTO).hazard(
    "lock-left-on",
    "Returned to service with a lock on is not returned, and somebody will cut the lock.",
    "- end: returned-to-service",
    "- unlock: control\n- restore: control\n- end: returned-to-service",
    rests_on="The locks that are on at the end.",
)
LEFT_SHUT_OFF = LEAVING.hazard(
    "left-shut-off",
    "The plant is called ready and does not start at night.",
    "- end: returned-to-service",
    "- open_valve: burner-cock\n- end: returned-to-service",
    rests_on="The fuel valves and sources off at the end, by `needed_to_fire` and `stops`.",
)


def in_service(moment: Moment, end: str) -> Iterator[Finding]:
    """Yield what is still open, locked, off or shut in plant that is called ready."""
    plant, state = moment.plant, moment.state
    unseen = names(state, UNSEEN) if end == "returned-to-service" else []
    for name in [*names(state, COVER), *unseen]:
        title = plant.covers[name].title if name in plant.covers else name
        yield COVER_LEFT_OPEN.finding(
            name,
            "end",
            f"nobody made sure that {title} is closed" if name in unseen else f"{title} is left open",
            f"Put a step with `close_cover: {name}` before it.",
        )
    for name in names(state, LOCKED):
        title = plant.sources[name].title if name in plant.sources else name
        yield LOCK_LEFT_ON.finding(
            name,
            "end",
            f"{title} is still locked off in a plant that is called {end.replace('-', ' ')}",
            f"Take the lock off and switch on (`unlock: {name}`, `restore: {name}`), or end with `left-safe`.",
        )
    if end != "returned-to-service":
        return
    for name in names(state, LEFT_LOCKED):
        if (LOCKED, name) not in state and name in plant.sources:
            yield LOCK_LEFT_ON.finding(
                name,
                "end",
                f"an earlier page may have left {plant.sources[name].title} locked, and nobody made sure that it is not",
                f"Take the lock off where it is on (`unlock: {name}`), or ask and claim `all-on`.",
            )
    earlier = {name: plant.sources[name].title for name in names(state, LEFT_OFF) if name in plant.sources}
    earlier |= {name: plant.valves[name].title for name in names(state, LEFT_SHUT) if name in plant.valves}
    for name, title in earlier.items():
        if (OFF, name) not in state and (SHUT, name) not in state:
            yield LEFT_SHUT_OFF.finding(
                name,
                "end",
                f"an earlier page may have left {title} off or shut, and nobody made sure that it is not",
                "Bring it back here, whether it is off or not, or ask and claim `all-on`.",
            )
    left = [(name, plant.valves[name].title) for name in names(state, SHUT) if name in plant.valves]
    left += [
        (name, plant.sources[name].title)
        for name in names(state, OFF)
        if name in plant.sources and (LOCKED, name) not in state and not plant.leaves_by_itself(name)
    ]
    for name, title in left:
        yield LEFT_SHUT_OFF.finding(
            name,
            "end",
            f"{title} is still off or shut in a plant that is called returned to service",
            "Bring it back before the full cycle, or end with `left-safe`.",
        )


TRIP_NOT_PROVED = LEAVING.hazard(
    "trip-not-proved",
    "A device that was jumped may have been the bad one.",
    "- undo: jumper-1\n- end: returned-to-service",
    "- undo: jumper-1\n- prove_trip: dirty-filter\n- end: returned-to-service",
    rests_on="Devices jumped, replaced or set, and the trips seen after it on every way; over pages too.",
)
LIMIT_LEFT_CHANGED = LEAVING.hazard(
    "limit-left-changed",
    "A limit that was turned up for a test and stays there protects nobody.",
    "adjust: high-steam-opens\nfrom: 125 psi\nto: 140 psi",
    "adjust: high-steam-opens\nfrom: 140 psi\nto: 125 psi",
    rests_on="The settings changed and put back on every way.",
)
SETTING_NOT_NOTED = LEAVING.hazard(
    "setting-not-noted",
    "The next person takes the changed value for the right one.",
    "adjust: operating-opens\nfrom: 100 psi\nto: 95 psi",
    "adjust: operating-opens\nfrom: 100 psi\nto: 95 psi\nnote_down: Old and new setting",
    rests_on="The settings changed and the steps with `record` after it.",
)
ANALYSER_MISSING = LEAVING.on(
    "Combustion practice: analyse the flue gas after any change of gas or air."
).hazard(
    "analyser-missing",
    "Carbon monoxide is not seen or smelt.",
    "- adjust: burner-gas\n- end: returned-to-service",
    "- adjust: burner-gas\n- measure: flue-gas\n- end: returned-to-service",
    rests_on="The settings and gas parts changed, and `measure: flue-gas` with its verdict after it.",
)
GAS_WORK_OWED = LEAVING.on(
    "Fuel-gas codes: after work on a gas train the air supply and the gas rate or working pressure are checked."
).hazard(
    "gas-work-owed",
    "The joint is tight, and the burner starves for air or burns half as much again as it may.",
    "- open_gas_train: p2\n- cap: p2\n- leak_check: [p2]\n- end: returned-to-service",
    "- open_gas_train: p2\n- cap: p2\n- leak_check: [p2]\n- observe: air-supply\n- observe: firing\n"
    "- measure: gas-rate\n- measure: flue-gas\n- end: returned-to-service",
    rests_on="`open_gas_train`, and `observe: air-supply` and `measure: gas-rate` with their verdicts after it.",
)
_CHECKED_BY = {
    "air-supply": ("air supply", "`observe: air-supply`, answered with `seen` and `not-seen`"),
    "gas-rate": (
        "gas rate or working pressure",
        "`measure: gas-rate`, or `measure: pressure` with `point`, answered with `within` and `outside`, after "
        "`observe: firing`",
    ),
}
CYCLE_NOT_SEEN = LEAVING.hazard(
    "cycle-not-seen",
    "Mended, and it fails at the first start that nobody watches.",
    "- end: returned-to-service",
    "- observe: full-cycle\n- end: returned-to-service",
    rests_on="`observe: full-cycle` after the last thing touched, on every way.",
)
OTHERS_NOT_INFORMED = LEAVING.hazard(
    "others-not-informed",
    "Others stand at plant that stopped without a word, or starts without one.",
    "- end: returned-to-service",
    "- inform: Shift lead\n- end: returned-to-service",
    rests_on="`inform` on every way where others stand at the plant; `permission` of the page.",
)


REAL_CAUSE_LEFT = LEAVING.hazard(
    "real-cause-left",
    "The device was right, its cause was never mended, and the plant runs into it again.",
    "- check_real: outlet-limit\n  real: renew\n  faulty: renew\n- id: renew\n  replace: outlet-limit",
    "- check_real: outlet-limit\n  real: why\n  faulty: renew\n- id: why\n  find_cause: outlet-limit",
    rests_on="The verdicts of `check_real` and `find_cause` on every way.",
)


def real(moment: Moment, field: str) -> Iterator[Finding]:
    """Yield devices that were right to stop the burner, before it fires again with the cause left."""
    for name in names(moment.state, REAL):
        yield REAL_CAUSE_LEFT.finding(
            name,
            field,
            f"{moment.plant.title(name)} was right to stop the burner, and its cause was not found and mended",
            f"Put a step with `find_cause: {name}` on this way, and stop where it is not found.",
            clears=frozenset({(REAL, name)}),
        )


def proved(moment: Moment) -> Iterator[Finding]:
    """Yield what was touched and not proved, noted or told since."""
    plant, state = moment.plant, moment.state
    yield from real(moment, "end")
    moved = {plant.settings[name].device for name in names(state, MOVED)}
    for name in names(state, OWED):
        if name in moved:
            continue  # told as a limit that is not at its setting
        yield TRIP_NOT_PROVED.finding(
            name,
            "end",
            f"{plant.title(name)} was jumped, changed or did not trip, and was not proved to trip since",
            f"Put a step with `prove_trip: {name}` after the jumper is out.",
        )
    for name in names(state, UNNOTED):
        yield SETTING_NOT_NOTED.finding(
            name,
            "end",
            f"{plant.settings[name].title} was changed and nobody wrote it down",
            "Give the step that adjusts it `note_down`, or record the settings.",
        )
    if has(state, ANALYSER_OWED):
        yield ANALYSER_MISSING.finding(
            "analyser",
            "end",
            "the gas train was opened, or gas or air was adjusted, and the flue gas was not measured since",
            "Put a step with `measure: flue-gas` before it.",
        )
    for name in names(state, GAS_OWED):
        what, by = _CHECKED_BY[name]
        yield GAS_WORK_OWED.finding(
            name,
            "end",
            f"the gas train was opened, and the {what} was not checked since",
            f"Put a step with {by} on this way.",
        )
    if has(state, CYCLE_OWED) and plant.can_run(state):
        yield CYCLE_NOT_SEEN.finding(
            "cycle",
            "end",
            "no full cycle was seen since the plant was last touched",
            "Put a step with `observe: full-cycle` before it, whose question says that it went as it should.",
        )
    if (
        has(state, STOPPED)
        and not has(state, INFORMED)
        and any(family.also_stops for family in plant.families)
    ):
        yield OTHERS_NOT_INFORMED.finding(
            "inform",
            "end",
            "other plant stops when this one does, and nobody there was told",
            "Put a step with `inform:` on this way.",
        )
