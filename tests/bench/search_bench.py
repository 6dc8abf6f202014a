"""The search beside MiniSearch, in one run on the same entries and queries.

``python -m tests.bench.search_bench [1000 10000]`` prints Markdown. MiniSearch is installed by npm into a
temporary folder for the measurement only; without npm its column is left out and said so. Both run in
Chromium from disk under four-fold processor throttling. Trust ratios more than milliseconds.
"""

from __future__ import annotations

import gzip
import json
import random
import shutil
import subprocess
import sys
import tempfile
import time
from collections import Counter
from math import lgamma, log, log2
from pathlib import Path
from statistics import median
from typing import Any

from playwright.sync_api import Page, sync_playwright

from kbgen.ref import Kind
from kbgen.render.web.scripts import shipped
from kbgen.search import SearchDocument, SearchIndex, build_index, export
from tests.bench.generate import WORDS

ENGINE = Path(__file__).parents[2] / "site_overrides" / "assets" / "js" / "search-engine.js"
STEMS = (
    "bar bel bol bur cal cam cor dam dra fil fla gat hal hin jet lat lev lim lin lok man mot nip nut pan pin "
    "pip plu por pum ram rel rin rod sca sea sen sol spr sta tap ter tor tra tub val ven wir yok"
).split()
ENDINGS = (
    "",
    "er",
    "ing",
    "s",
    "et",
    "on",
    "ard",
    "ex",
    "ula",
    "ine",
    "ox",
    "ast",
    "imo",
    "ent",
    "ick",
    "ow",
)
NEIGHBOURS = dict(zip("qwertyuiopasdfghjklzxcvbnm", "wqwrtyuiopsadfghjkxzcvbn", strict=False))
RECALL = {
    "exact": 0.98,
    "beginnings": 0.95,
    "inflected": 0.88,
    "one typo": 0.97,
    "two typos": 0.95,
    "codes": 0.99,
    "joined": 0.98,
    "small words": 0.95,
}
GOALS = {
    1000: {
        "index gz, B an entry": 140.0,
        "on disk, B an entry": 260.0,
        "ready, ms": 120.0,
        "query p95, ms": 2.0,
        "query worst, ms": 16.0,
        "heap, MB": 3.0,
    },
    10000: {
        "index gz, B an entry": 125.0,
        "on disk, B an entry": 230.0,
        "ready, ms": 250.0,
        "query p95, ms": 5.0,
        "query worst, ms": 16.0,
        "heap, MB": 10.0,
    },
}
"""At most so much; of `RECALL` at least so much."""
MINISEARCH_THEN = {
    1000: {"index gz, B an entry": 297.0, "ready, ms": 232.0, "query p95, ms": 8.4},
    10000: {"index gz, B an entry": 351.0, "ready, ms": 1034.0, "query p95, ms": 225.0},
}
"""MiniSearch where the goals were set: a goal divided by it is the part of MiniSearch that is aimed at."""
FLOOR_OF_GOALS = 103.0
"""Bytes an entry of the postings' entropy, at 10,000 entries, where the goals of size were set."""
SCRIPT_GOAL = 6.0
"""Kilobytes of the reader script, gzipped."""
THROTTLE = 4
PER_CLASS = 60


def vocabulary(rng: random.Random, size: int) -> list[str]:
    """Trade words first, then as many made-up ones as a shop of this size would write."""
    made = sorted({first + second + end for first in STEMS for second in STEMS for end in ENDINGS})
    rng.shuffle(made)
    return [*dict.fromkeys(WORDS), *made][:size]


def documents(entries: int) -> list[SearchDocument]:
    """Entries of about 170 words with a code and two words of their own in the title."""
    rng = random.Random(entries)
    words = vocabulary(rng, 3000 + entries)
    weights = [1 / (rank + 12) for rank in range(len(words))]
    kinds = (Kind.SYMPTOM, Kind.DEVICE, Kind.PROCEDURE, Kind.SYMPTOM, Kind.TERM, Kind.FIELD_NOTE)
    made = []
    for number in range(entries):
        kind = kinds[number % len(kinds)]
        title = " ".join(rng.choices(words, weights, k=3) + rng.choices(words, k=2)).capitalize()
        code = f"{rng.choice('ABCEFHLPU')}-{rng.randrange(1, entries)}"
        body = " ".join(rng.choices(words, weights, k=155))
        identity = title.lower().replace(" ", "-")[:60] + (f"-{number}" if len(title) > 50 else "")
        address = f"{kind.folder}/{identity}.html"
        plant = (f"plant-{number % 4}",)
        low_water = rng.choice(("no", "off", "not", "on"))
        made.append(
            SearchDocument(
                kind, identity, title, address, plant, (code,), (), f"{body} {low_water} {rng.choice(words)}"
            )
        )
    return made


def queries(entries: list[SearchDocument]) -> dict[str, list[tuple[str, int]]]:
    """Return per class queries made from an entry's own title or code, and that entry's place."""
    rng = random.Random(4)
    classes: dict[str, list[tuple[str, int]]] = {}
    for name in (
        "exact",
        "beginnings",
        "inflected",
        "one typo",
        "two typos",
        "codes",
        "joined",
        "small words",
    ):
        rows = []
        while len(rows) < PER_CLASS:
            place = rng.randrange(len(entries))
            title = entries[place].title.lower().split()
            query = _query(rng, name, title, entries[place])
            if query:
                rows.append((query, place))
        classes[name] = rows
    return classes


def _query(rng: random.Random, name: str, title: list[str], entry: SearchDocument) -> str:
    a, b, c = rng.sample(title, 3)
    match name:
        case "exact":
            return f"{a} {b} {c}"
        case "beginnings":
            return f"{a} {b} {c[: max(2, len(c) - 2)]}"
        case "inflected":
            return f"{a}s {b} {c}ing"
        case "one typo":
            return f"{_typo(rng, a)} {b} {c}" if len(a) > 4 else ""
        case "two typos":
            return f"{_typo(rng, a)} {_typo(rng, b)} {c}" if min(len(a), len(b)) > 4 else ""
        case "codes":
            letter, number = entry.codes[0].split("-")
            return rng.choice(
                (
                    f"{letter}{number}",
                    f"{letter.lower()} {number}",
                    f"{letter}-0{number}",
                    f"{letter}{number}".lower(),
                )
            )
        case "joined":
            at = rng.randrange(len(title) - 1)
            return f"{title[at]}{title[at + 1]} {rng.choice(title)}"
    return f"{a} {b} {entry.body.split()[-2]} {entry.body.split()[-1]}"


def _typo(rng: random.Random, word: str) -> str:
    at = rng.randrange(len(word) - 1)
    letter = word[at]
    return rng.choice(
        (
            word[:at] + word[at + 1 :],
            word[:at] + letter + word[at:],
            word[:at] + word[at + 1] + letter + word[at + 2 :],
            word[:at] + NEIGHBOURS.get(letter, "x") + word[at + 1 :],
        )
    )


OURS = {
    "files": ["search-engine.js", "search-index.js"],
    "open": "() => { window.index = kbgenSearch.open(kbgenSearchIndex); index.query('flame'); }",
    "ask": "query => index.query(query, {limit: 5}).results.map(hit => hit.kind + ':' + hit.id)",
}
MINI = {
    "files": ["minisearch.js", "mini-index.js"],
    "open": "() => { window.index = MiniSearch.loadJSON(miniIndex, {fields: ['title', 'codes', 'body'],"
    " storeFields: ['name', 'title', 'address'], searchOptions: {prefix: true, fuzzy: 0.2,"
    " boost: {title: 4, codes: 6}}}); index.search('flame'); }",
    "ask": "query => index.search(query).slice(0, 5).map(hit => hit.name)",
}


def measure(
    page: Page,
    folder: Path,
    engine: dict[str, Any],
    asked: dict[str, list[tuple[str, int]]],
    names: list[str],
) -> dict[str, Any]:
    """Return size, ready, query times, heap and recall of one engine."""
    index = (folder / engine["files"][1]).read_bytes()
    (folder / "bench.html").write_text('<!doctype html><meta charset="utf-8">', encoding="utf-8")
    devtools = page.context.new_cdp_session(page)
    ready, heap = [], []
    for _ in range(5):
        page.goto((folder / "bench.html").as_uri())
        devtools.send("HeapProfiler.collectGarbage")
        before = devtools.send("Runtime.getHeapUsage")["usedSize"]
        devtools.send("Emulation.setCPUThrottlingRate", {"rate": THROTTLE})
        load = (
            "async files => { const start = performance.now(); for (const file of files) await new Promise((done, failed) =>"
            " { const script = document.createElement('script'); script.src = file; script.onload = done;"
            f" script.onerror = failed; document.head.append(script); }}); ({engine['open']})(); return performance.now() - start; }}"
        )
        ready.append(page.evaluate(load, engine["files"]))
        devtools.send("Emulation.setCPUThrottlingRate", {"rate": 1})
        devtools.send("HeapProfiler.collectGarbage")
        heap.append(devtools.send("Runtime.getHeapUsage")["usedSize"] - before)
    devtools.send("Emulation.setCPUThrottlingRate", {"rate": THROTTLE})
    flat = [query for rows in asked.values() for query, _ in rows]
    typed = [query[:end] for query in flat[::30] for end in range(1, len(query))]
    ask = (
        f"queries => {{ const ask = {engine['ask']}; return queries.map(query => {{ const start = performance.now();"
        " const hits = ask(query); return [performance.now() - start, hits]; }); }"
    )
    page.evaluate(ask, flat[::10])
    answers = page.evaluate(ask, flat + typed)
    devtools.send("Emulation.setCPUThrottlingRate", {"rate": 1})
    times = sorted(took for took, _ in answers)
    hits = iter(found for _, found in answers)
    recall = {}
    for name, rows in asked.items():
        found = [(names[place], next(hits)) for _, place in rows]
        recall[name] = sum(want in got for want, got in found) / len(rows)
        if name == "exact":
            recall["exact, first"] = sum(got[:1] == [want] for want, got in found) / len(rows)
    return {
        "index gz, B an entry": len(gzip.compress(index, 9)) / len(names),
        "on disk, B an entry": len(index) / len(names),
        "ready, ms": min(ready),
        "query p95, ms": times[int(len(times) * 0.95)],
        "query worst, ms": times[-1],
        "heap, MB": median(heap) / 1e6,
        **{f"recall at 5: {name}": share for name, share in recall.items()},
    }


def floor(index: SearchIndex) -> float:
    """Return the entropy of the postings in bytes an entry: which entries have a term, and at what levels.

    A term in k of n entries is one of n-choose-k sets (Shannon 1948); levels are drawn from the term's own.
    """
    size = len(index.entries)
    bits = 0.0
    for row in index.postings:
        count = len(row)
        bits += (lgamma(size + 1) - lgamma(count + 1) - lgamma(size - count + 1)) / log(2)
        levels = Counter(level for _, level in row)
        bits -= sum(many * log2(many / count) for many in levels.values())
    return bits / 8 / size


def run(sizes: tuple[int, ...] = (1000, 10000)) -> list[str]:
    """Return the figures as Markdown."""
    lines = [
        f"Chromium, {THROTTLE}-fold throttling, opened from disk; ready is the least of five loads; recall over "
        f"{PER_CLASS} queries a class.",
        "",
    ]
    with tempfile.TemporaryDirectory() as scratch, sync_playwright() as playwright:
        folder = Path(scratch)
        script = shipped(ENGINE.read_text(encoding="utf-8"))
        (folder / ENGINE.name).write_text(script, encoding="utf-8")
        lines += [
            f"Reader script as shipped: {len(gzip.compress(script.encode(), 9)) / 1000:.1f} KB gz (goal {SCRIPT_GOAL:.0f}).",
            "",
        ]
        mini = _minisearch(folder)
        lines += (
            [] if mini else ["MiniSearch could not be installed with npm: no comparison in this run.", ""]
        )
        program = shutil.which("chromium") or shutil.which("chromium-browser")
        browser = playwright.chromium.launch(executable_path=program, args=["--no-sandbox", "--disable-gpu"])
        for size in sizes:
            page = browser.new_page()
            lines += _compare(page, folder, size, mini=mini)
            page.close()
        browser.close()
    return lines


def _compare(page: Page, folder: Path, size: int, *, mini: bool) -> list[str]:
    entries = documents(size)
    start = time.process_time()
    index = build_index(entries)
    built = (time.process_time() - start) * 1000 / size
    (folder / "search-index.js").write_text(export(index), encoding="utf-8")
    names = [f"{each.kind}:{each.id}" for each in entries]
    asked = queries(entries)
    columns = {"ours": measure(page, folder, OURS, asked, names)}
    if mini:
        _mini_index(folder, entries, names)
        columns["MiniSearch"] = measure(page, folder, MINI, asked, names)
    least = floor(index)
    lines = [f"### {size:,} entries", "", f"Indexing: {built:.2f} ms of processor time an entry.", ""]
    lines += [
        f"No lossless code writes the postings of these entries in less than {least:.0f} B an entry; the goals of "
        f"size were set with entries whose postings take {FLOOR_OF_GOALS:.0f} B (10,000 entries).",
        "",
    ]
    goals = GOALS.get(size, {}) | {f"recall at 5: {name}": share for name, share in RECALL.items()}
    lines += [
        f"| | {' | '.join(columns)} | goal | of MiniSearch | goal |",
        "|---|" + "---|" * (len(columns) + 3),
    ]
    missed = []
    for row, ours in columns["ours"].items():
        shown = " | ".join(
            f"{column[row]:.2f}" if column[row] < 20 else f"{column[row]:.0f}" for column in columns.values()
        )
        part, then = "", MINISEARCH_THEN.get(size, {}).get(row)
        if then and mini:
            share, most = ours / columns["MiniSearch"][row], goals[row] / then
            part = f"{share:.3f} | {most:.3f}"
            missed += [f"{row}, as a part of MiniSearch"] if share > most else []
        lines.append(f"| {row} | {shown} | {goals.get(row, '')} | {part or '|'} |")
        if row in goals and (ours < goals[row] if row.startswith("recall") else ours > goals[row]):
            missed.append(row)
    lines += ["", f"Missed: {'; '.join(missed) or 'none'}."]
    if mini and size in MINISEARCH_THEN:
        slower = columns["MiniSearch"]["ready, ms"] / MINISEARCH_THEN[size]["ready, ms"]
        lines += [
            "",
            f"Here MiniSearch takes {slower:.1f} times as long to be ready as where the goals were set.",
        ]
    return [*lines, ""]


def _minisearch(folder: Path) -> bool:
    npm = shutil.which("npm")
    if npm is None:
        return False
    done = subprocess.run([npm, "install", "--silent", "--prefix", str(folder), "minisearch@7"], check=False)
    built = folder / "node_modules" / "minisearch" / "dist" / "umd" / "index.js"
    if done.returncode or not built.exists():
        return False
    shutil.copy(built, folder / "minisearch.js")
    return True


def _mini_index(folder: Path, entries: list[SearchDocument], names: list[str]) -> None:
    """Write MiniSearch's own serialised index as a script, built by Node from the same texts."""
    rows = [
        {
            "id": at,
            "name": names[at],
            "title": e.title,
            "codes": " ".join(e.codes),
            "body": e.body,
            "address": e.address,
        }
        for at, e in enumerate(entries)
    ]
    (folder / "rows.json").write_text(json.dumps(rows), encoding="utf-8")
    script = (
        "const M = require('./minisearch.js'), fs = require('fs');"
        "const m = new M({fields: ['title', 'codes', 'body'], storeFields: ['name', 'title', 'address']});"
        "m.addAll(JSON.parse(fs.readFileSync('rows.json')));"
        "fs.writeFileSync('mini-index.js', 'var miniIndex=' + JSON.stringify(JSON.stringify(m)) + ';');"
    )
    node = shutil.which("node")
    if node is None:
        raise RuntimeError("npm is here but node is not")
    subprocess.run([node, "-e", script], cwd=folder, check=True)


if __name__ == "__main__":
    print("\n".join(run(tuple(map(int, sys.argv[1:])) or (1000, 10000))))
