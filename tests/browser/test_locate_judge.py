"""The judge of the browser against `kbgen locate`: the same remains, and along a string the same comes next."""

from __future__ import annotations

import json
import random
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page

from kbgen.compute.circuit.evidence import Reading
from kbgen.compute.circuit.inference import judge
from kbgen.compute.circuit.probing import Probing
from kbgen.compute.circuit.sayings import REASONS, WARNINGS
from kbgen.model.circuit import Circuit
from kbgen.pipeline import compile_folder
from kbgen.views.circuit_helper import helper_data, offer
from kbgen.views.study import Study

ROOT = Path(__file__).resolve().parents[2]
SCRIPT = ROOT / "site_overrides" / "assets" / "js" / "locate-judge.js"
SHOPS = ["kb_source", *[f"tests/kb/good/{n}" for n in ("vashby-mah", "zellick-ph", "plain-parallel")]]
SETS = 50
"""Random sets of readings a circuit; about half of them take the path a fault would really read."""

Case = tuple[str, Probing, dict[str, Any]]


def cases(shop: str) -> list[Case]:
    base = compile_folder(ROOT / shop).base
    study = Study(base)
    found = []
    for entry, _ in base.of(Circuit):
        variants = json.loads(helper_data(study, entry.ref.id))["variants"]
        states = offer(study, entry.ref.id).states
        for state, data in zip(states, variants, strict=True):
            found.append((entry.ref.id, study.of(entry.ref.id, state).probing, data))
    return found


def random_readings(rng: random.Random, probing: Probing) -> list[Reading]:
    """Read some ports: at random, or as one fault could read them, the supply mostly first."""
    table = probing.table
    ports = (*table.points, *table.devices)
    row = rng.randrange(len(table.faults)) if rng.random() < 0.6 else None
    taken: dict[tuple[str, bool], Reading] = {}
    wanted = [rng.choice(ports) for _ in range(rng.randint(0, 6))]
    if rng.random() < 0.8 and probing.points:
        wanted.insert(0, probing.points[0])
    for port in wanted:
        low_z = rng.random() < 0.3
        value: str | float
        if row is None:
            nominal = table.network.volts[1]
            value = rng.choice(["none", "some", "full", round(rng.uniform(-1.2, 1.2) * nominal, 1)])
        else:
            lo, hi = table.bounds[int(low_z), row, ports.index(port)]
            value = round(rng.uniform(float(lo), float(hi)), 3)
        taken[port, low_z] = Reading(port, value, low_z)
    return list(taken.values())


@pytest.mark.parametrize("shop", SHOPS)
def test_the_browser_leaves_the_same_faults_and_asks_for_the_same_test_along_a_string(
    page: Page, shop: str
) -> None:
    page.add_script_tag(path=SCRIPT)
    compared = nexts = 0
    for number, (circuit, probing, data) in enumerate(cases(shop)):
        rng = random.Random(f"{shop} {circuit} {number}")
        sets = [random_readings(rng, probing) for _ in range(SETS)]
        plain = [[{"port": r.port, "value": r.value, "low": r.low_z} for r in taken] for taken in sets]
        answers = page.evaluate(
            "([data, sets]) => sets.map((set) => kbJudge.judge(data, set))", [data, plain]
        )
        for taken, answer in zip(sets, answers, strict=True):
            verdict = judge(probing, taken)
            told = verdict.to_json()
            ids = [row["fault"] for row in data["faults"]]
            assert {each["row"] for each in answer["remaining"]} == {row for row, _ in verdict.remaining}, (
                taken
            )
            shares = {each["row"]: each["share"] for each in answer["remaining"]}
            assert all(abs(shares[row] - share) < 1e-3 for row, share in verdict.remaining)
            assert {frozenset(ids[row] for row in group) for group in answer["groups"]} == {
                frozenset(group) for group in verdict.groups
            }
            assert answer["sound"] == verdict.all_sound
            repeat = verdict.repeat
            assert (answer["repeat"] or {}).get("port") == (repeat.port if repeat else None), taken
            job = told["is_it_doing_its_job"]
            assert answer["device"] == (job["device"] if isinstance(job, dict) else "")
            warned = {name for name in ("dead", "jumps") if answer[name]}
            assert {WARNINGS[name] for name in warned} == set(verdict.warnings), taken
            compared += 1
            if probing.row is None:
                continue
            expected = verdict.next
            mine = answer["next"]
            if expected is None:
                assert mine is None, taken
                continue
            nexts += 1
            assert mine is not None, taken
            assert (mine["port"], mine["device"], mine["low"]) == (
                expected.port,
                expected.device,
                expected.meter == "low_z",
            ), taken
            assert abs(mine["minutes"] - expected.minutes) < 0.01
            assert (REASONS[mine["why"]], tuple(mine["gates"])) == (expected.why, expected.gates), taken
    assert compared >= 200
    if shop == "kb_source":
        assert nexts >= 200


def test_beside_a_string_the_fixed_order_never_asks_twice_and_comes_to_an_end(page: Page) -> None:
    page.add_script_tag(path=SCRIPT)
    walk = """([data, row]) => {
      const ports = data.ports, taken = [];
      for (let turn = 0; turn < 60; turn++) {
        const next = kbJudge.judge(data, taken).next;
        if (!next) return taken.length;
        if (taken.some((r) => r.port === next.port && r.low === next.low)) return -1;
        const digit = Number(data.words[next.low ? "low_z" : "high_z"][row][ports.indexOf(next.port)]);
        taken.push({ port: next.port, low: next.low, value: digit & 4 ? "full" : digit & 2 ? "some" : "none" });
        if (!kbJudge.judge(data, taken).remaining.some((each) => each.row === row)) return -2;
      }
      return -3;
    }"""
    seen = 0
    for shop in ("tests/kb/good/plain-parallel", "tests/kb/good/vashby-mah"):
        for circuit, probing, data in cases(shop)[:8]:
            if probing.row is not None:
                continue
            for row, fault in enumerate(probing.table.faults):
                if fault.kind == "open-pair":
                    continue
                assert page.evaluate(walk, [data, row]) >= 0, (circuit, fault.id)
                seen += 1
    assert seen > 100
