"""How much unsafe control the check refuses, made from the table of actions by somebody who read no rule.

``python -m tests.bench.unsafe_control --slice 1/2 --out FILE`` judges a half of the drawn changes and writes a line for
each; ``--report FILE...`` puts such files together. Without a number, as many are drawn as one hour of a core judges.
"""

from __future__ import annotations

import argparse
import json
import time
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from typing import Any

from tests.bench.control import (  # noqa: F401 - each enters its kinds
    altered,
    back,
    borders,
    fire,
    fuel,
    hands,
    harmless,
    harmless_order,
    off,
    people,
    readings,
    trips,
)
from tests.bench.control.draft import ACTIONS
from tests.bench.control.judge import Bench
from tests.bench.control.kinds import DANGERS, HARMLESS, SEED, WAYS, Change, Kind, drawn
from tests.bench.control.plant import Shop, shops
from tests.bench.control.waived import waived

DANGERS_DRAWN, HARMLESS_DRAWN = 600, 400
Line = dict[str, Any]


def made(kinds: Sequence[Kind], where: Iterable[Shop]) -> list[Change]:
    """Make every change of some kinds."""
    return [
        change
        for shop in where
        for page in shop.pages.values()
        for kind in kinds
        for change in kind.changes(page)
    ]


def judged(changes: Iterable[Change]) -> Iterator[Line]:
    """Let the check look at each change; one compiled copy a plant."""
    benches: dict[tuple[str, str], Bench] = {}
    for change in changes:
        plant = change.shop.name, change.shop.pages[change.page].plant.id
        if plant not in benches:
            benches[plant] = Bench(change.shop, plant[1])
        errors = benches[plant].errors(change.files)
        kind = change.kind
        yield {
            "act": kind.act,
            "way": kind.way,
            "kind": kind.name,
            "why": kind.harm,
            "change": change.name,
            "rules": sorted({rule for rule, _, _ in errors}),
            "says": next(iter(sorted(f"{rule}: {path}: {said}" for rule, path, said in errors)), ""),
        }
    for bench in benches.values():
        bench.close()


def figures(lines: Sequence[Line]) -> list[str]:
    """Return the figures as Markdown: by action, by way, by kind."""
    every = [line for line in lines if line["act"]]
    bad = [line for line in every if line["rules"] or not waived(line["kind"], line["change"])]
    good = [line for line in lines if not line["act"]]
    caught = sum(bool(line["rules"]) for line in bad)
    alarms = sum(bool(line["rules"]) for line in good)
    return [
        f"- **Unsafe control**: {len(bad)} changes, {caught} refused ({100 * caught / max(1, len(bad)):.1f} %), "
        f"{len(bad) - caught} missed; {len(every) - len(bad)} more are waived with their reasons.",
        f"- **Harmless**: {len(good)} changes, {alarms} refused ({100 * alarms / max(1, len(good)):.1f} %).",
        "",
        *_table("Way", "way", bad, WAYS),
        "",
        *_by_kind(bad),
        "",
        *_table("Harmless change", "kind", good),
    ]


def _table(title: str, key: str, lines: Sequence[Line], order: Sequence[str] = ()) -> list[str]:
    made_, caught = (
        Counter(line[key] for line in lines),
        Counter(line[key] for line in lines if line["rules"]),
    )
    names = [name for name in order if made_[name]] or sorted(made_)
    rows = [f"| {name} | {caught[name]} of {made_[name]} |" for name in names]
    return [f"| {title} | refused |", "| --- | ---: |", *rows]


def _by_kind(lines: Sequence[Line]) -> list[str]:
    """Return a row an action, with every kind of change it was put to."""
    rows = []
    for act in [*ACTIONS, "question", "page"]:
        mine = [line for line in lines if line["act"] == act]
        kinds = [
            f"{kind} {sum(bool(line['rules']) for line in mine if line['kind'] == kind)}/{count}"
            for kind, count in Counter(line["kind"] for line in mine).items()
        ]
        caught = sum(bool(line["rules"]) for line in mine)
        rows += [f"| {act} | {caught} of {len(mine)} | {', '.join(kinds)} |"] * bool(mine)
    return ["| Action | refused | refused of made, by kind |", "| --- | ---: | --- |", *rows]


def missed(lines: Sequence[Line]) -> list[str]:
    """Return what was missed, by kind: where, what, who gets hurt; and the harmless changes that were refused."""
    told: list[str] = []
    for line in sorted(lines, key=lambda line: (line["act"] or "~", line["kind"], line["change"])):
        wrong = bool(line["rules"]) != bool(line["act"]) and not waived(line["kind"], line["change"])
        if wrong:
            head = f"{line['act'] or 'HARMLESS'} | {line['way']} | {line['kind']} | {line['why']}"
            if head not in told:
                told += ["", head]
            told.append(f"  {line['change']}" + (f" -> {line['says'][:300]}" if line["says"] else ""))
    return told


def run() -> list[str]:
    """Judge what is drawn, for ``make bench``."""
    start = time.perf_counter()
    where = shops()
    dangers, quiet = made(DANGERS, where), made(HARMLESS, where)
    lines = list(judged([*drawn(dangers, DANGERS_DRAWN), *drawn(quiet, HARMLESS_DRAWN)]))
    seconds = time.perf_counter() - start
    return [
        f"{len(dangers)} dangerous and {len(quiet)} harmless changes can be made; drawn kind by kind, {seconds:.0f} s.",
        "",
        *figures(lines),
    ]


def main() -> None:
    """Judge a slice, or put slices together."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--dangers", type=int, default=DANGERS_DRAWN)
    parser.add_argument("--harmless", type=int, default=HARMLESS_DRAWN)
    parser.add_argument("--seed", type=int, default=SEED, help="which changes are drawn")
    parser.add_argument("--slice", default="1/1", help="k/n: every n-th change, from the k-th")
    parser.add_argument("--kind", default="", help="only kinds whose action and name hold this")
    parser.add_argument("--out", type=Path, help="where a line of JSON a change is written")
    parser.add_argument("--report", nargs="*", type=Path, help="files of slices to put together")
    asked = parser.parse_args()
    if asked.report:
        lines = [
            json.loads(line)
            for file in asked.report
            for line in file.read_text(encoding="utf-8").splitlines()
        ]
        print("\n".join([*figures(lines), "", *missed(lines)]))
        return
    part, parts = map(int, asked.slice.split("/"))
    lots = [
        [kind for kind in kinds if asked.kind in f"{kind.act} {kind.name}"] for kinds in (DANGERS, HARMLESS)
    ]
    where = shops()
    wanted = zip(lots, (asked.dangers, asked.harmless), strict=True)
    both = [
        change for kinds, most in wanted if most for change in drawn(made(kinds, where), most, asked.seed)
    ]
    lines = []
    for line in judged(both[part - 1 :: parts]):
        lines.append(line)
        if asked.out:
            with asked.out.open("a", encoding="utf-8") as file:
                file.write(json.dumps(line, ensure_ascii=False) + "\n")
    print("\n".join([*figures(lines), "", *missed(lines)]))


if __name__ == "__main__":
    main()
