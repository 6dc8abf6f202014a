"""The judge of the browser against `kbgen locate`: the same verdict, and along a string the same comes next."""

from __future__ import annotations

import random
from collections import Counter
from dataclasses import asdict
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page

from kbgen.compute.circuit.inference import judge
from kbgen.compute.circuit.meter import HIGH_Z, LOW_Z, OTHER, ROW
from kbgen.compute.circuit.probing import Probing
from kbgen.compute.circuit.reading import Reading
from kbgen.compute.circuit.study import Study
from kbgen.model.circuit import Circuit
from kbgen.views.circuit_helper import helper_data, offer
from tests.shared import by_state, compiled

ROOT = Path(__file__).resolve().parents[2]
SCRIPTS = [
    ROOT / "site_overrides" / "assets" / "js" / f"locate-{name}.js" for name in ("evidence", "next", "judge")
]
SHOPS = ["kb_source", *[f"tests/kb/good/{n}" for n in ("vashby-mah", "zellick-ph", "plain-parallel")]]
SETS, SETS_OF_A_FURTHER_STATE = 50, 8
"""Random sets of readings a circuit; about half of them take the path a fault would really read.

The further states of a circuit, of which the demonstration has some five each, have other figures and the same
ports. ``make bench`` draws as many in all of them.
"""

NAMED = {
    "mah-fan": [[Reading("M1", 23.4), Reading("M5", 19.6, LOW_Z), Reading("mah-fan-overload", 3.2, LOW_Z)]],
    "sb-limits": [[Reading("T19", 112.0), Reading("T19", 112.3, LOW_Z), Reading("T26", 119.5, LOW_Z)]],
    "ph-string": [[Reading("J24", 23.57), Reading("J9", 20.15)]],
    "sb-running": [[Reading("T19", 111.8, LOW_Z), Reading("T20", 0.1, LOW_Z), Reading("T52", 0.1, LOW_Z)]],
    "td-heat": [[Reading("D1", 2.7, LOW_Z), Reading("J5", 2.7, LOW_Z), Reading("D8", 0.3, LOW_Z)]],
}
"""What chance seldom finds: a contact that a resistor hides, a terminal that bears itself out in the other mode."""

Case = tuple[str, Probing, dict[str, Any]]


def cases(shop: str) -> list[Case]:
    base = compiled(ROOT / shop).base
    study = Study(base)
    found = []
    for entry, _ in base.of(Circuit):
        variants = by_state(helper_data(study, entry.ref.id))
        states = offer(study, entry.ref.id).states
        for state, data in zip(states, variants, strict=True):
            found.append((entry.ref.id, study.of(entry.ref.id, state).probing, data))
    return found


def random_readings(rng: random.Random, probing: Probing) -> list[Reading]:
    """Read some ports: at random, or as one fault could read them, the supply mostly first."""
    table = probing.table
    ports = table.ports
    row = rng.randrange(len(table.faults)) if rng.random() < 0.6 else None
    taken: list[Reading] = []
    wanted = [rng.choice(ports) for _ in range(rng.randint(0, 6))]
    if rng.random() < 0.8 and probing.points:
        wanted.insert(0, probing.points[0])
    share = rng.uniform(0.2, 0.8)
    for port in wanted:
        mode = LOW_Z if rng.random() < 0.3 else HIGH_Z
        value: str | float
        if row is None or rng.random() < 0.1:
            nominal = table.network.volts[1]
            mode = OTHER if rng.random() < 0.02 else mode
            value = rng.choice(["none", "some", "full", "over", round(rng.uniform(-0.3, 1.2) * nominal, 1)])
        else:
            lo, hi = table.bounds[ROW[mode], row, ports.index(port)]
            value = round(float(lo) + share * (min(float(hi), 1.1 * table.network.volts[2]) - float(lo)), 2)
        taken.append(Reading(port, value, mode, rng.random() < 0.1))
    return taken


def named_readings(circuit: str, probing: Probing) -> list[list[Reading]]:
    """Return readings somebody thought of: those of a circuit, and one contact read across in both modes."""
    table = probing.table
    twice = [
        [Reading(table.points[0], "full"), Reading(label, "full"), Reading(label, "full", LOW_Z)]
        for label in table.devices[:3]
    ]
    sets = [*NAMED.get(circuit, []), *twice]
    return [taken for taken in sets if all(reading.port in table.ports for reading in taken)]


def compare(page: Page, shop: str, sets_of_a_further_state: int) -> tuple[int, int, set[str]]:
    """Judge sets of readings both ways; return how many, how many of them have a next test, and every verdict."""
    for script in SCRIPTS:
        page.add_script_tag(path=script)
    compared = nexts = 0
    seen: Counter[str] = Counter()
    known: set[str] = set()
    for number, (circuit, probing, data) in enumerate(cases(shop)):
        rng = random.Random(f"{shop} {circuit} {number}")
        count = sets_of_a_further_state if circuit in known else SETS
        known.add(circuit)
        sets = [random_readings(rng, probing) for _ in range(count)] + named_readings(circuit, probing)
        plain = [[asdict(reading) for reading in taken] for taken in sets]
        answers = page.evaluate(
            "([data, sets]) => sets.map((set) => kbJudge.judge(data, set))", [data, plain]
        )
        for taken, answer in zip(sets, answers, strict=True):
            verdict = judge(probing, taken)
            ids = [row["fault"] for row in data["faults"]]
            seen[verdict.verdict] += 1
            assert answer["verdict"] == verdict.verdict, (circuit, taken)
            assert [each["row"] for each in answer["remaining"]] == [row for row, _ in verdict.remaining]
            for each, (row, share) in zip(answer["remaining"], verdict.remaining, strict=True):
                assert each["against"] == list(verdict.evidence.against[row]), (circuit, taken, ids[row])
                assert abs(each["share"] - share) < 1e-3
            assert {frozenset(ids[row] for row in group) for group in answer["groups"]} == {
                frozenset(group) for group in verdict.groups
            }
            assert [ids[row] for row in answer["cannotTell"]] == list(verdict.cannot_tell)
            assert answer["drops"] == [drop.to_json() for drop in verdict.drops], taken
            foreign = verdict.foreign
            assert answer["foreign"] == (
                {"port": foreign.port, "volts": foreign.volts, "why": foreign.why} if foreign else None
            )
            assert [(each["at"], each["why"]) for each in answer["notCounted"]] == list(
                verdict.evidence.sorted.not_counted
            )
            repeat = verdict.repeat
            assert (answer["repeat"] or {}).get("port") == (repeat.port if repeat else None), taken
            assert answer["device"] == verdict.device
            assert answer["asMeant"] == verdict.as_meant
            assert answer["eitherWay"] == verdict.either_way
            assert answer["ends"] == verdict.to_json()["ends"], taken
            assert answer["hangsOn"] == verdict.hangs_on, taken
            assert answer["unexplained"] == list(verdict.unexplained), taken
            assert tuple(answer["warned"]) == verdict.warned, taken
            compared += 1
            expected = verdict.next
            mine = answer["next"]
            assert (mine is None) == (expected is None), (circuit, taken, mine, expected)
            if expected is None or probing.row is None:
                continue
            nexts += 1
            assert (mine["port"], mine["device"], mine["mode"], mine["why"]) == (
                expected.port,
                expected.device,
                expected.meter,
                expected.why,
            ), (circuit, taken)
            assert abs(mine["minutes"] - expected.minutes) < 0.01
            assert tuple(mine["gates"]) == expected.gates
    return compared, nexts, set(seen)


@pytest.mark.parametrize("shop", SHOPS)
def test_the_browser_leaves_the_same_faults_and_asks_for_the_same_test_along_a_string(
    page: Page, shop: str
) -> None:
    compared, nexts, seen = compare(page, shop, SETS_OF_A_FURTHER_STATE if shop == "kb_source" else SETS)
    assert compared >= 200
    if shop == "kb_source":
        assert nexts >= 200
        assert seen == {"made", "found", "unclear", "foreign", "contradiction"}, seen


def test_beside_a_string_the_fixed_order_never_asks_twice_and_comes_to_an_end(page: Page) -> None:
    for script in SCRIPTS:
        page.add_script_tag(path=script)
    walk = """([data, row]) => {
      const ports = data.ports, taken = [];
      let said = kbJudge.judge(data, taken);
      for (let turn = 0; turn < 60; turn++) {
        const next = said.next;
        if (!next) return taken.length;
        const same = taken.filter((r) => r.port === next.port && r.mode === next.mode);
        if (same.length > 3) return -1;
        const digit = parseInt(data.words[next.mode === "low_z" ? 1 : 0][row][ports.indexOf(next.port)], 16);
        const value = digit & 4 ? "full" : digit & 2 ? "some" : digit & 8 ? "over" : "none";
        taken.push({ port: next.port, mode: next.mode, value, anew: next.why === "anew" });
        said = kbJudge.judge(data, taken);
        if (!said.remaining.some((each) => each.row === row)) return -2;
      }
      return -3;
    }"""
    seen = 0
    for shop in ("tests/kb/good/plain-parallel", "tests/kb/good/vashby-mah"):
        for circuit, probing, data in cases(shop)[:8]:
            if probing.row is not None:
                continue
            for row, fault in enumerate(probing.table.faults):
                if fault.kind in ("open-pair", "foreign", "low-supply"):
                    continue
                assert page.evaluate(walk, [data, row]) >= 0, (circuit, fault.id)
                seen += 1
    assert seen > 100
