"""``kbgen order``."""

from __future__ import annotations

import argparse
from typing import Any

from kbgen.cli.circuit import add_circuit_command, compile_circuit, listed, print_caution, state_of
from kbgen.cli.common import Commands, WrongUse, count, print_json
from kbgen.compute.circuit.order import order
from kbgen.compute.circuit.sayings import CAUTION
from kbgen.compute.circuit.state import UnknownName


def add(commands: Commands) -> None:
    """Add the command."""
    add_circuit_command(
        commands,
        "order",
        run,
        "kbgen order sb-limits --size sb-2 --kb kb_source",
    )


def run(args: argparse.Namespace) -> int:
    """Work out the order of tests."""
    compiled = compile_circuit(args)
    if compiled is None:
        return 1
    try:
        found = order(compiled.base, args.circuit, state_of(args)).to_json()
    except UnknownName as fault:
        raise WrongUse(str(fault)) from fault
    if args.json:
        print_json(compiled.edition, found)
    else:
        _print(found)
        print_caution(CAUTION)
    return 0


def _print(found: dict[str, Any]) -> None:
    print("Look first:")
    for look in found["look_first"]:
        print(f"  {look['look']}  ({look['device']}, {count(look['notes'], 'field note')})")
    print(
        f"\nThen the meter: {found['expected_minutes']:g} min expected; walking along the strip "
        f"{found['walk_minutes']:g} min, halving {found['halving_minutes']:g} min."
    )
    if found["gap"]:
        print(
            f"The order may be off by {found['gap']:.0%}; no order takes less than {found['lower_bound']:g} min."
        )
    print(found["advice"])
    for gate in found["gates"]:
        print(f"mind: {gate['needs']} ({gate['place']})")
    print()
    _print_tree(found["tree"], "")


def _print_tree(tree: dict[str, Any], indent: str) -> None:
    """Print a tree of tests: each outcome with what it leaves, or with the next test below it."""
    if "as" in tree:
        print(f"{indent}go on as for {tree['as']}")
        return
    if "test" not in tree:
        print(f"{indent}→ {', '.join(map(listed, tree['faults']))}")
        if "then" in tree:
            _print_tree(tree["then"], indent)
        return
    where = f"at {tree['test']}" if tree["kind"] == "point" else f"across {tree['test']}"
    print(f"{indent}read {where}{', low impedance' if tree['meter'] == 'low_z' else ''}")
    for outcome, below in tree["outcomes"].items():
        print(f"{indent}  {outcome}:")
        _print_tree(below, indent + "    ")
