"""``kbgen locate``."""

from __future__ import annotations

import argparse

from kbgen.cli.circuit import add_circuit_command, compile_circuit, print_caution, read_readings, state_of
from kbgen.cli.common import Commands, WrongUse, count, print_json
from kbgen.compute.circuit.inference import Verdict, locate
from kbgen.compute.circuit.sayings import CAUTION
from kbgen.compute.circuit.state import UnknownName
from kbgen.compute.circuit.suggestion import Next
from kbgen.link.base import KnowledgeBase
from kbgen.ref import Kind, Ref

_SHOWN = 8
_MODES = {"high_z": "high", "low_z": "low"}


def add(commands: Commands) -> None:
    """Add the command."""
    parser = add_circuit_command(
        commands,
        "locate",
        run,
        "kbgen locate sb-limits --at T20=118 --at T27=none --kb kb_source",
    )
    taken = parser.add_argument_group(
        "readings (volts, or none, some, full; :lowz for a low-impedance meter)"
    )
    taken.add_argument(
        "--at", action="append", default=[], metavar="POINT=VOLTS", help="a point read to the return"
    )
    taken.add_argument(
        "--across", action="append", default=[], metavar="DEVICE=VOLTS", help="read across a device"
    )


def run(args: argparse.Namespace) -> int:
    """Judge readings."""
    taken = [*read_readings(args.at, "--at"), *read_readings(args.across, "--across")]
    compiled = compile_circuit(args)
    if compiled is None:
        return 1
    try:
        verdict = locate(compiled.base, args.circuit, taken, state_of(args))
    except UnknownName as fault:
        raise WrongUse(str(fault)) from fault
    if args.json:
        print_json(compiled.edition, verdict.to_json())
    else:
        _print(compiled.base, verdict)
        print_caution(CAUTION)
    return 0


def _print(base: KnowledgeBase, verdict: Verdict) -> None:
    faults = verdict.probing.table.faults
    notes = verdict.probing.suspicion.notes
    if verdict.repeat is not None:
        mode = " in low impedance" if verdict.repeat.low_z else ""
        print(f"These readings contradict each other; repeat {verdict.repeat.port}{mode} first.")
    elif verdict.all_sound:
        print("Everything is sound now. Ask when it comes: cold, hot, at high fire, in rain.")
    for row, share in verdict.remaining[:_SHOWN]:
        print(f"{share:6.0%}  {faults[row].id}  ({count(notes[row], 'field note')})")
    if len(verdict.remaining) > _SHOWN:
        print(f"        and {len(verdict.remaining) - _SHOWN} more")
    for group in verdict.groups:
        if len(group) > 1:
            print(f"no reading tells apart: {', '.join(group)}")
    if verdict.next is not None:
        print(f"next: {_next(verdict.next)}")
    data = verdict.to_json()
    job = data["is_it_doing_its_job"]
    if isinstance(job, dict):
        device = base.title(Ref(Kind.DEVICE, str(job["device"])))
        print(
            f"If {device} is open: is it doing its job? Check with: {job['with'] or 'an independent instrument'}."
        )
        print("Not sure counts as real.")
    for line in verdict.warnings:
        print(f"mind: {line}")


def _next(test: Next) -> str:
    where = f"across {test.port}" if test.device else f"at {test.port}"
    mind = "".join(f" Mind: {gate}." for gate in test.gates)
    return f"{where}, in {_MODES[test.meter]} impedance, about {test.minutes:g} min: {test.why}{mind}"
