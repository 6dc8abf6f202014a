"""``kbgen locate``."""

from __future__ import annotations

import argparse

from kbgen.cli.circuit import (
    add_circuit_command,
    compile_circuit,
    listed,
    print_caution,
    read_readings,
    state_of,
)
from kbgen.cli.common import Commands, WrongUse, count, print_json
from kbgen.compute.circuit.inference import locate
from kbgen.compute.circuit.meter import mode_of
from kbgen.compute.circuit.sayings import CAUTION, REASONS
from kbgen.compute.circuit.state import UnknownName
from kbgen.compute.circuit.suggestion import Next
from kbgen.compute.circuit.verdict import FOREIGN_, MADE_, Verdict
from kbgen.link.base import KnowledgeBase
from kbgen.ref import Kind, Ref
from kbgen.views.verdict_words import reading_said, said

_SHOWN = 8
_SHOWS = 0.005
"""A share from which it is a per cent."""


def add(commands: Commands) -> None:
    """Add the command."""
    parser = add_circuit_command(
        commands,
        "locate",
        run,
        "kbgen locate sb-limits --at T20=118 --at T24=118 --at T27=0 --kb kb_source",
    )
    taken = parser.add_argument_group(
        "readings in the order in which they were taken (volts, or none, some, full, over; behind it :lowz for "
        "low impedance, :other for AC volts on a DC circuit and the other way round, :anew for a second person's "
        "reading with another meter at a place found anew by the drawing)"
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
    table = verdict.probing.table
    setting = table.variant.setting
    stage = setting.stage.title if setting.stage else "every contact made"
    size = f", {setting.state.size}" if setting.state.size else ""
    print(f"For: {stage}{size}")
    for line in said(base, verdict):
        print(line)
    faults, notes = table.faults, verdict.probing.suspicion.notes
    if verdict.verdict in (FOREIGN_, MADE_):
        return
    shown = [pair for pair in verdict.remaining if not verdict.probing.suspicion.hidden[pair[0]]]
    for row, share in shown[:_SHOWN]:
        against = [reading_said(verdict.taken[k]) for k in verdict.evidence.against[row]]
        only = f"  only if {', '.join(against)} was wrong" if against else ""
        percent = f"{share:.0%}" if share >= _SHOWS else "<1%"
        print(f"{percent:>6}  {listed(faults[row].id)}  ({count(notes[row], 'field note')}){only}")
    if len(shown) > _SHOWN:
        print(f"        and {len(shown) - _SHOWN} more")
    for group in verdict.groups:
        print(f"no reading tells apart: {', '.join(map(listed, group))}")
    if verdict.next is not None:
        print(f"next: {_next(verdict.next)}")
    if verdict.device:
        job = verdict.to_json()["is_it_doing_its_job"]
        device = base.title(Ref(Kind.DEVICE, verdict.device))
        check = job["with"] if isinstance(job, dict) else None
        print(
            f"If {device} is open: is it doing its job? Check with: {check or 'an independent instrument'}."
        )
        print("Not sure counts as real.")


def _next(test: Next) -> str:
    where = f"across {test.port}" if test.device else f"at {test.port}"
    mind = "".join(f" Mind: {gate}." for gate in test.gates)
    how = mode_of(test.meter).said
    typed = " Type `:anew` behind it." if test.anew else ""
    return f"{where}, in {how}, about {test.minutes:g} min: {REASONS[test.why]}{typed}{mind}"
