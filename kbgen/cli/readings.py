"""``kbgen readings``."""

from __future__ import annotations

import argparse

from kbgen.cli.circuit import add_circuit_command, compile_circuit, listed, print_caution, state_of
from kbgen.cli.common import Commands, WrongUse, print_json
from kbgen.compute.circuit.readings import Table, readings
from kbgen.compute.circuit.sayings import CAUTION
from kbgen.compute.circuit.state import UnknownName


def add(commands: Commands) -> None:
    """Add the command."""
    parser = add_circuit_command(
        commands,
        "readings",
        run,
        "kbgen readings sb-limits --size sb-2 --kb kb_source",
    )
    parser.add_argument(
        "--pairs", action="store_true", help="show pairs of open contacts too (JSON always has them)"
    )


def run(args: argparse.Namespace) -> int:
    """Work out the readings of a circuit."""
    compiled = compile_circuit(args)
    if compiled is None:
        return 1
    try:
        table = readings(compiled.base, args.circuit, state_of(args))
    except UnknownName as fault:
        raise WrongUse(str(fault)) from fault
    if args.json:
        print_json(compiled.edition, table.to_json())
        return 0
    _print(table, pairs=args.pairs)
    print_caution(CAUTION)
    return 0


def _print(table: Table, *, pairs: bool) -> None:
    shown = [fault for fault in table.faults if pairs or "+" not in fault.id]
    rows = [
        [listed(fault.id), *[_interval(*table.interval(fault.id, mark)) for mark in table.points]]
        for fault in shown
    ]
    head = [f"V to {table.network.back or 'return'}", *table.points]
    widths = [max(len(row[column]) for row in [head, *rows]) for column in range(len(head))]
    for row in [head, *rows]:
        first, *cells = (
            text.ljust(width) if not at else text.rjust(width)
            for at, (text, width) in enumerate(zip(row, widths, strict=True))
        )
        print("  ".join([first, *cells]))


def _interval(lo: float, hi: float) -> str:
    return f"{lo:.0f}" if round(lo) == round(hi) else f"{lo:.0f}–{hi:.0f}"
