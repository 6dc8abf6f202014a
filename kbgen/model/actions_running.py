"""Actions on gas train, resets, starts and settings, and how a page ends."""

from __future__ import annotations

from typing import Annotated

from kbgen.model import verdicts as v
from kbgen.model.action_row import action
from kbgen.model.takes import Names, line, named, one_of, time
from kbgen.quantity import Quantity


@action(
    "Break a joint, plug or part of the gas train.",
    needs="somebody licensed for gas, the plant identified, gas shut off and its pressure seen gone in that section",
    gives="the train is open there",
    owes="its `cap`, its leak check once gas is back, and what `after_gas_work` in kb.yaml lists: `measure: flue-gas`, "
    "`observe: air-supply`, `measure: gas-rate` (or `measure: pressure` with `point` and `within`, with the burner seen "
    "firing), `observe: purge` before the flame",
    situation="gas-train-open",
    hands=True,
)
class OpenGasTrain:
    """Break a joint or plug of the gas train."""

    open_gas_train: Annotated[
        str, named(Names.FUEL_POINT, "Id of the point of the fuel train that is opened.", "test-nipple")
    ]


@action(
    "Close the opening in the gas train again.", gives="the train is closed there", situation="gas-train-open"
)
class Cap:
    """Close an opening of the gas train."""

    cap: Annotated[str, named(Names.FUEL_POINT, "Id of the point that is closed.", "test-nipple")]


@action(
    "Prove points of the gas train tight.",
    needs="every opening closed; with gas: gas in the train; with air: gas shut off",
    gives="on `tight`, with gas: the points are proved tight",
    verdicts=v.TIGHT,
    said_by="the plant (`leak_check`)",
)
class LeakCheck:
    """Prove the gas train tight."""

    leak_check: Annotated[
        tuple[str, ...],
        named(
            Names.FUEL_POINT,
            "Ids of the points that are checked: every one that was opened.",
            ["test-nipple"],
        ),
    ]
    with_: Annotated[
        str,
        one_of(
            "What fills the train during the check. Pumped air is a first test; only gas ends it. Without it, gas.",
            *("gas", "air"),
            example="air",
        ),
    ] = "gas"


@action(
    "Reset a device or the controller.",
    needs="evidence noted; low water, steam limits: cause found and mended; a lockout without its cause not oftener than "
    "`most_resets` in kb.yaml",
    gives="the device or controller is reset",
    owes="a full cycle; where the device `backs_up` one that did not stop the burner, the trip of that one",
    situation="reset",
    said_by="the memory (`press`)",
)
class Reset:
    """Reset a device or the controller."""

    reset: Annotated[
        str,
        named(
            Names.TRIPPED,
            "Id of the device, or of the controller's memory in the equipment entry.",
            "second-low-water",
        ),
    ]


@action(
    "Look for the cause of a trip, and mend it.",
    gives="on `cause-mended`: the cause is found and mended",
    verdicts=v.CAUSE,
)
class FindCause:
    """Look for the cause of a trip and mend it."""

    find_cause: Annotated[
        str, named(Names.TRIPPED, "Id of the device or memory that tripped.", "second-low-water")
    ]


@action(
    "Watch the plant itself.",
    gives="on `seen`: purge, firing, a full cycle or a free air supply was seen",
    situation={"start": "firing", "full-cycle": "firing", "firing": "firing"},
    verdicts={
        "purge": v.SEEN,
        "air-supply": v.SEEN,
        "full-cycle": v.SEEN,
        "start": v.MAYBE_SEEN,
        "firing": v.MAYBE_SEEN,
        "shutdown": v.MAYBE_SEEN,
        "standstill": v.MAYBE_SEEN,
    },
)
class Observe:
    """Watch the plant itself."""

    observe: Annotated[
        str,
        one_of(
            "What is watched. start: fan or pump runs, also as it was found; purge before every flame; firing: the flame; "
            "full-cycle from demand through a full purge and firing to a normal stop; air-supply: the openings and ducts "
            "that bring the burner its air are free.",
            *("start", "purge", "full-cycle", "firing", "shutdown", "standstill", "air-supply"),
            example="full-cycle",
        ),
    ]


@action(
    "Let the plant start: demand on, burner switch on.",
    needs="people told (`inform`), again after hands were in; nothing that must not be in when it fires; not oftener than "
    "`most_starts` in kb.yaml without being seen to fire",
    gives="the plant may fire, unpurged until a purge is seen",
    situation="firing",
)
class StartDemand:
    """Let the plant start."""

    start_demand: Annotated[str, line("How.", "Burner switch on")]


@action("Let the plant stop: demand off, burner switch off.", gives="the plant is stopped")
class StopDemand:
    """Let the plant stop."""

    stop_demand: Annotated[str, line("How.", "Burner switch off")]


@action(
    "Change a setting.",
    needs="a setting that may be changed, by whom it may; a limit never to the side that lets more through; an operating control above its value only under a limit proved on this page, with a second gauge",
    gives="the setting is changed",
    owes="limits put back and seen to trip, while they stand earlier or after; gas or air: flue gas measured; a full cycle",
    situation="adjusting",
)
class Adjust:
    """Change a setting."""

    adjust: Annotated[
        str, named(Names.SETTING, "Id of the setting in the equipment entry.", "operating-opens")
    ]
    from_: Annotated[str, line("The value found.", "90 psi")]
    to: Annotated[str, line("The value left.", "95 psi")]
    gauge: Annotated[
        str, line("The second gauge that is watched while it stands above its value.", "Gauge at the header")
    ] = ""


@action("Look at a device or a part.")
class Inspect:
    """Look at a device or part."""

    inspect: Annotated[str, named(Names.PART, "Id of a device, or a part in plain words.", "first-low-water")]


@action(
    "Let time pass: cool down, bleed off, discharge.",
    situation="waiting",
    said_by="its own fields",
)
class Wait:
    """Let time pass."""

    wait: Annotated[Quantity, time("How long.", "15 min")]
    for_: Annotated[str, line("What for.", "The boiler cools below boiling point")] = ""


@action("Tell the people concerned, or get their permission.", gives="the people are told")
class Inform:
    """Tell the people concerned."""

    inform: Annotated[str, line("Who.", "Laundry manager")]


Next = Annotated[str, named(Names.PROCEDURE, "Procedure to go on with.", "is-it-doing-its-job")]


@action(
    "Hand the job to a colleague, with the list of everything that is still altered.",
    needs="nothing open or untested in the gas train; for every alteration a step that takes it out",
)
class HandOver:
    """Hand the job to a colleague with everything that is still altered."""

    hand_over: Annotated[str, line("To whom.", "The next technician")]
    next: Annotated[
        str, named(Names.PROCEDURE, "Procedure the colleague goes on with.", "find-open-contact")
    ] = ""
    next_step: Annotated[str, named(Names.STEP, "Step the colleague goes on with.", "remove-jumper")] = ""
    still_on: Annotated[
        tuple[str, ...],
        named(
            Names.CLIPPED, "Meters whose leads may still be clipped on; the colleague is told.", ["meter-1"]
        ),
    ] = ()


@action("The procedure ends here.", needs="everything in order that this end says")
class End:
    """The procedure ends here."""

    end: Annotated[
        str,
        one_of(
            "How it ends. left-safe: fuel or control supply is off and locked by then. unsafe-left-off: what was found "
            "is dangerous, the fuel is off and locked; `label`, `notice` and `tell` say what hangs there and who "
            "knows it. found: the contact is known "
            "and the plant stays safe for the procedure named next. Plant that is left as it was found is no end: "
            "hand it over (`hand_over`) to whoever decides.",
            *(
                "returned-to-service",
                "left-safe",
                "unsafe-left-off",
                "handed-over",
                "not-reproduced",
                "evacuated",
                "found",
            ),
        ),
    ]
    next: Next = ""
    label: Annotated[
        str,
        line("Of `unsafe-left-off`: what the label on the plant says.", "UNSAFE, gas leak at P2, do not use"),
    ] = ""
    notice: Annotated[
        str,
        line(
            "Of `unsafe-left-off`: the written notice, and who gets it.", "Warning notice to the shift lead"
        ),
    ] = ""
    tell: Annotated[
        str, line("Of `unsafe-left-off`: who else must be told.", "Lead technician and the gas supplier")
    ] = ""
