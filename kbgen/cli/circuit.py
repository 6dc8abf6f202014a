"""What the commands on circuits share: the state of the plant, how readings are typed and shown."""

from __future__ import annotations

import argparse
import re
from collections.abc import Callable, Sequence

from kbgen.cli.common import Commands, Parser, Progress, WrongUse, add_command, compile_sound
from kbgen.compute.circuit.faults import HEALTHY
from kbgen.compute.circuit.meter import MODES
from kbgen.compute.circuit.reading import SAID, Reading
from kbgen.compute.circuit.state import State
from kbgen.pipeline import Compiled
from kbgen.views.notice import NOTICE

_MODES = {"": MODES[0].id, **{mode.typed: mode.id for mode in MODES}}
_ANEW = "anew"
"""Stands behind a reading of a second person, with another meter, at a place found anew."""
_VOLTS = re.compile(r"(-?[0-9]{1,9}(?:\.[0-9]{1,9})?) ?V?")
_MOST_VOLTS = 1000
"""What a technician's meter may be put to."""


def add_circuit_command(
    commands: Commands, name: str, run: Callable[[argparse.Namespace], int], example: str
) -> Parser:
    """Add a command about one circuit, with the options that say how the plant stands."""
    parser = add_command(commands, name, run, example)
    parser.add_argument("circuit", metavar="CIRCUIT", help="id of the circuit: its file name without .yaml")
    state = parser.add_argument_group("how the plant stands")
    state.add_argument("--size", default="", metavar="ID", help="size of the plant (default: its first)")
    state.add_argument(
        "--stage", default="", metavar="ID", help="stage of the run (default: the first it is judged in)"
    )
    state.add_argument(
        "--with",
        dest="options",
        action="append",
        default=[],
        metavar="OPTION",
        help="option fitted; may be repeated",
    )
    state.add_argument("--region", default="", metavar="ID", help="region whose requirements apply")
    state.add_argument(
        "--shut",
        action="append",
        default=[],
        metavar="VALVE",
        help="fuel valve that is shut; may be repeated",
    )
    state.add_argument(
        "--off", action="append", default=[], metavar="COVER", help="cover that is off; may be repeated"
    )
    return parser


def state_of(args: argparse.Namespace) -> State:
    """Return the state of the plant from the options."""
    return State(
        size=args.size,
        stage=args.stage,
        options=frozenset(args.options),
        region=args.region,
        valves_shut=frozenset(args.shut),
        covers_off=frozenset(args.off),
    )


def compile_circuit(args: argparse.Namespace) -> Compiled | None:
    """Compile the knowledge base; ``None`` when an error stands."""
    progress = Progress()
    compiled = compile_sound(args, progress)
    progress.done()
    return compiled


def read_readings(texts: Sequence[str], option: str) -> list[Reading]:
    """Read ``T20=118``, ``T27=none:lowz`` and the like.

    A mark may hold a colon itself, so the meter's mode counts only after the value.

    Raises:
        WrongUse: A text is not of that form.
    """
    found = []
    for text in texts:
        port, sign, rest = text.rpartition("=")
        value, *more = rest.split(":")
        anew = _ANEW in more
        mode = ":".join(word for word in more if word != _ANEW)
        if not sign or not port or not value or mode not in _MODES:
            raise WrongUse(f"`{text}` is no reading; write {option} T20=118 or {option} T20=none:lowz")
        number = _VOLTS.fullmatch(value)
        if not number and value not in SAID:
            raise WrongUse(
                f"`{value}` is no reading in volts; write {option} {port}=118, or none, some, full or over"
            )
        volts = float(number[1]) if number else value
        if isinstance(volts, float) and abs(volts) > _MOST_VOLTS:
            raise WrongUse(
                f"`{value}` is no reading of a control circuit; {_MOST_VOLTS} V is the most a meter is for"
            )
        found.append(Reading(port, volts, _MODES[mode], anew))
    return found


def listed(fault_id: str) -> str:
    """Return a fault's id as it is printed: of nothing wrong a voltmeter says no more than that all is made."""
    return "made, as far as read" if fault_id == HEALTHY.id else fault_id


def print_caution(*more: str) -> None:
    """Print the caution on live work and the notice that stand beside every verdict."""
    for text in more:
        print(f"\n{text}")
    print(f"\n{NOTICE}")
