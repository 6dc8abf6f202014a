"""Faults put into the worker and into what the pages say of it: the tests of the tablet must find each.

python -m tests.bench.tablet_mutants [FROM [TO]]    a row of a table for every one of these faults
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import NamedTuple

_ROOT = Path(__file__).resolve().parents[2]
_TESTS = ("tests/browser/test_offline_edition.py", "tests/browser/test_home_of_edition.py")
_SECONDS = 420
WORKER, OFF = "site_overrides/offline/sw.js", "site_overrides/offline/sw-off.js"
PAGES, HOME = "site_overrides/assets/js/offline.js", "site_overrides/assets/js/tablet.js"


class Fault(NamedTuple):
    """One place of a file, what it becomes, and words of the tests that are tried first."""

    file: str
    old: str
    new: str
    first: str


FAULTS = (
    # -- what is stored
    Fault(WORKER, "if (await digest(bytes) !== hash) return answered.status;", "", "comes_wrong"),
    Fault(WORKER, "await store(hash, bytes);\n  return 0", "return 0", "restart"),
    Fault(WORKER, "list.format !== FORMAT || ", "", "another_form"),
    Fault(WORKER, '|| !list.files["index.html"]', "", "another_form"),
    Fault(
        WORKER, 'if (!answered.ok) return tell({ state: "refused", code: answered.status });', "", "refuses"
    ),
    Fault(WORKER, 'if (/Quota/.test(fault.name)) return "no-room";', "", "no_room"),
    Fault(WORKER, 'cache: "no-store", signal', "signal", "older"),
    Fault(WORKER, 'redirect, cache: "no-store" }', "redirect }", "first_visit or what_was_read"),
    Fault(WORKER, ', "cache-control": "no-cache"', "", "restart"),
    Fault(
        WORKER,
        'answered.status ? fresh(answered.body, answered.status, answered.headers.get("content-type") || "") : answered',
        "answered",
        "what_was_read",
    ),
    Fault(WORKER, "!there.has(key(hash))", "true", "killed"),
    Fault(WORKER, "if (need.length) await one();", "", "emergency"),
    # -- when it switches
    Fault(WORKER, "if (lost) return tell(state(ended(lost)));", "", "killed"),
    Fault(
        WORKER, 'if (wrong.length) return tell({ ...state("wrong"), files: wrong, code });', "", "comes_wrong"
    ),
    Fault(WORKER, "number < now.number", "false", "older"),
    Fault(WORKER, "number === now.number && take !== id", "false", "same_number"),
    Fault(WORKER, "number === now.number && take !== id", "number === now.number", "same_number"),
    Fault(WORKER, 'await busy(state("fetching"))', "false", "open_job"),
    Fault(WORKER, 'await busy(state("fetching"))', "held", "begins_while"),
    Fault(WORKER, "take !== id && await busy", "await busy", "begins_while"),
    Fault(WORKER, 'await write("seen", Date.now());\n    await sweep', "await sweep", "some_minutes"),
    Fault(
        WORKER,
        'bytes: list.bytes, files: of });\n  await (await open()).delete(key("next"));\n  await write("seen", Date.now());',
        'bytes: list.bytes, files: of });\n  await (await open()).delete(key("next"));',
        "fresh",
    ),
    Fault(WORKER, "Math.abs(Date.now() - before.at) < RECENT", "false", "some_minutes"),
    Fault(WORKER, "Math.abs(Date.now() - before.at) < RECENT", "true", "some_minutes"),
    # -- which edition answers
    Fault(
        WORKER,
        'event.waitUntil(write("pin/" + resultingClientId, [id, Date.now()]).catch(() => {}));',
        "",
        "two_tabs",
    ),
    Fault(WORKER, "opens || !clientId ?", "true ?", "two_tabs"),
    Fault(WORKER, "    ids.push(id);\n", "", "two_tabs or thrown_away"),
    Fault(WORKER, "!alive.has(name.slice(4)) && Math", "Math", "two_tabs or thrown_away"),
    Fault(WORKER, "Math.abs(Date.now() - at) > HOUR", "true", "thrown_away"),
    Fault(WORKER, "Math.abs(Date.now() - at) > HOUR", "false", "thrown_away"),
    Fault(WORKER, "if (!keep.has(name)) await cache.delete(key(name))", ";", "thrown_away"),
    Fault(WORKER, 'id = await read("next");', "", "emergency"),
    Fault(WORKER, "if (!body && !await bring(name, hash).catch(() => 1)) body = await look();", "", "heals"),
    Fault(WORKER, "fresh(MISSING, 503", "fresh(MISSING, 200", "heals"),
    Fault(WORKER, 'await tell({ state: "lost" });', "", "lost"),
    Fault(WORKER, '"js/offline"', '"js/nothing"', "lost"),
    Fault(WORKER, "found ? 200 : 404", "200", "restart"),
    Fault(WORKER, 'path + ".html", ', "", "restart"),
    Fault(WORKER, ', path + "index.html"', "", "restart"),
    Fault(WORKER, '"kbgen " + SCOPE', '"kbgen"', "two_shops"),
    Fault(WORKER, "skew = Date.now() - (Date.parse", "skew = 0 * (Date.parse", "differs_from"),
    Fault(WORKER, "{ includeUncontrolled: true })) page", "{})) page", "restart"),
    Fault(OFF, 'await caches.delete("kbgen " + registration.scope);', "", "kill_worker"),
    Fault(OFF, "await registration.unregister();", "", "kill_worker"),
    # -- every page
    Fault(PAGES, 'if (name === mine + "job") return true;', "", "open_job"),
    Fault(PAGES, "Boolean(kept && kept.taken && kept.taken.length", "Boolean(false", "readings_of_today"),
    Fault(PAGES, " && Date.now() - kept.at < KEPT_HOURS * 3600000", "", "readings_of_today"),
    Fault(
        PAGES, "if (tablet.status.last?.ask) event.source.postMessage({ hold: busy() });", "", "begins_while"
    ),
    Fault(PAGES, "setInterval(() => going() && tablet.compare(), GO_ON);", "", "by_itself"),
    Fault(PAGES, 'window.addEventListener("online", () => tablet.compare());', "", "by_itself"),
    Fault(
        PAGES,
        'document.addEventListener("visibilitychange", () => document.hidden || tablet.compare());',
        "",
        "by_itself",
    ),
    Fault(PAGES, 'if (location.protocol !== "file:") {', "{", "from_disk"),
    Fault(PAGES, 'link.rel = "manifest"', 'link.rel = "none"', "manifest"),
    Fault(PAGES, 'else if (!window.isSecureContext) tablet.way = "plain";', "", "can_be_kept"),
    Fault(PAGES, 'if (!("serviceWorker" in navigator) ||', "if (false ||", "can_be_kept"),
    # -- home
    Fault(HOME, "now < edition.number * 1000 - DAY || ", "", "counts_alone"),
    Fault(HOME, "day(now) < edition.reviewed", "false", "counts_alone"),
    Fault(HOME, "now < seen - DAY", "false", "counts_alone"),
    Fault(HOME, "Math.abs(skew) > DAY", "false", "differs_from"),
    Fault(HOME, "days > edition.compare", "days >= edition.compare", "longer_than"),
    Fault(HOME, "!wrong && days", "days", "clock"),
    Fault(HOME, "days < 1 ?", "days < 2 ?", "longer_than"),
    Fault(HOME, '(wrong ? "" : ", "', '(false ? "" : ", "', "behind_the_edition"),
    Fault(HOME, "(wrong ? day(status.seen) :", "(false ? day(status.seen) :", "behind_the_edition"),
    Fault(HOME, "list.mark !== edition.id", "false", "two_editions"),
    Fault(HOME, "status.now.id !== list.id", "false", "waits_for"),
    Fault(HOME, 'tablet.way === "plain"', "false", "can_be_kept"),
    Fault(HOME, "ROOM = 2.5", "ROOM = 1", "sentence"),
    Fault(HOME, "navigator.storage.persist().catch(() => {});", "", "asked_to_keep"),
    Fault(HOME, "list.id.slice(0, 20)", "list.id.slice(1, 21)", "fingerprint"),
    Fault(HOME, "last.files.length > 3", "last.files.length > 2", "sentence"),
    Fault(HOME, "code >= 400", "code >= 200", "sentence"),
    *(
        Fault(HOME, f'case "{state}": return', f'case "{state}": return null; return', "sentence")
        for state in (
            "fetching",
            "cut",
            "wrong",
            "refused",
            "no-room",
            "failed",
            "older",
            "unnumbered",
            "ready",
            "away",
        )
    ),
    Fault(HOME, 'whole ? " The edition you read is whole."', 'false ? ""', "sentence"),
)


def run(chosen: list[Fault]) -> list[str]:
    """Try the chosen faults; a row says which test found it."""
    rows = []
    with TemporaryDirectory() as place:
        copy = Path(place)
        for name in ("kbgen", "schema", "site_overrides", "tests"):
            shutil.copytree(
                _ROOT / name, copy / name, ignore=shutil.ignore_patterns("__pycache__", "node_modules")
            )
        shutil.copy(_ROOT / "pyproject.toml", copy)
        for fault in chosen:
            file = copy / fault.file
            whole = file.read_text(encoding="utf-8")
            assert whole.count(fault.old) == 1, f"{fault.file}: {fault.old}"
            file.write_text(whole.replace(fault.old, fault.new), encoding="utf-8")
            found = _found(copy, "-k", fault.first) or _found(copy)
            file.write_text(whole, encoding="utf-8")
            was = " ".join(fault.old.split())[:70].replace("|", "\\|")
            rows.append(f"| {file.name} | `{was}` | {found or 'NOT FOUND'} |")
            print(rows[-1], flush=True)
    return rows


def _found(copy: Path, *which: str) -> str:
    """Return the first test that fails, or nothing."""
    command = [sys.executable, "-m", "pytest", *_TESTS, "-x", "-q", "-p", "no:cacheprovider", *which]
    try:
        done = subprocess.run(
            command,
            cwd=copy,
            env={**os.environ, "PYTHONPATH": str(copy)},
            capture_output=True,
            text=True,
            timeout=_SECONDS,
            check=False,
        )
    except subprocess.TimeoutExpired:
        return "HUNG"
    lines = [line for line in done.stdout.splitlines() if line.startswith(("FAILED", "ERROR"))]
    return lines[0].split("::")[1].split(" ")[0] if lines else ""


if __name__ == "__main__":
    run([FAULTS[int(number)] for number in sys.argv[1:]] or list(FAULTS))
