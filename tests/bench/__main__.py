"""``make bench``: every measurement, written into RESULTS.md with its date."""

from __future__ import annotations

import argparse
import os
import platform
from datetime import UTC, datetime
from importlib import import_module
from pathlib import Path

RESULTS = Path(__file__).with_name("RESULTS.md")
PARTS = {
    "Pipeline": "pipeline_bench",
    "Commands": "command_bench",
    "Check": "check_bench",
    "Circuits": "circuit_bench",
    "Draws": "draws_bench",
    "Searches": "walks_bench",
    "Mutants": "mutants",
    "Control": "unsafe_control",
    "Damage": "fuzz_bench",
    "Words": "words_bench",
    "Queries": "query_bench",
    "Search": "search_bench",
    "Tablet": "tablet_bench",
    "Guides": "guide_bench",
    "Screens": "screens_bench",
    "Step by step": "do_bench",
}


def main() -> None:
    """Measure the parts named on the command line, or all."""
    parser = argparse.ArgumentParser(description="Measure and write the results file.")
    parser.add_argument("parts", nargs="*", choices=[[], *map(str.lower, PARTS)], help="only these parts")
    wanted = parser.parse_args().parts
    # As the command line does; read when NumPy is imported.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    for name, module in PARTS.items():
        if wanted and name.lower() not in wanted:
            continue
        lines = import_module(f"tests.bench.{module}").run()
        write(name, lines)
        print("\n".join(lines))


def write(name: str, lines: list[str]) -> None:
    """Replace one part of the results file."""
    start, end = f"<!-- {name} -->", f"<!-- end of {name} -->"
    old = RESULTS.read_text(encoding="utf-8") if RESULTS.exists() else "# What was measured\n\n"
    date = datetime.now(UTC).date().isoformat()
    machine = f"Python {platform.python_version()}, {platform.machine()}"
    part = "\n".join(
        [start, f"## {name}", "", f"{date}, {machine}, shared cores: trust ratios.", "", *lines, end]
    )
    if start in old:
        before, rest = old.split(start, 1)
        new = before + part + rest.split(end, 1)[1]
    else:
        new = f"{old}{part}\n\n"
    RESULTS.write_text(new, encoding="utf-8")


if __name__ == "__main__":
    main()
