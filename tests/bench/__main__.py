"""``make bench``: every measurement, written into RESULTS.md with its date."""

from __future__ import annotations

import argparse
import platform
from datetime import UTC, datetime
from pathlib import Path

from tests.bench import (
    check_bench,
    circuit_bench,
    fuzz_bench,
    mutants,
    pipeline_bench,
    query_bench,
    search_bench,
)

RESULTS = Path(__file__).with_name("RESULTS.md")
PARTS = {
    "Pipeline": pipeline_bench.run,
    "Check": check_bench.run,
    "Circuits": circuit_bench.run,
    "Mutants": mutants.run,
    "Damage": fuzz_bench.run,
    "Queries": query_bench.run,
    "Search": search_bench.run,
}


def main() -> None:
    """Measure the parts named on the command line, or all."""
    parser = argparse.ArgumentParser(description="Measure and write the results file.")
    parser.add_argument("parts", nargs="*", choices=[[], *map(str.lower, PARTS)], help="only these parts")
    wanted = parser.parse_args().parts
    for name, run in PARTS.items():
        if wanted and name.lower() not in wanted:
            continue
        lines = run()
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
