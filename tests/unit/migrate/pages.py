"""Pages for tests of migration: one list of steps, migrated as a procedure is."""

from __future__ import annotations

from textwrap import dedent, indent

from kbgen.migrate import STEPS, Migrated, Page, Shop, migrate_page
from kbgen.ref import Kind

PROCEDURE = [step for step in STEPS if step.kind is Kind.PROCEDURE]


def migrated(text: str, shop: Shop | None = None, plants: tuple[str, ...] = ()) -> tuple[str, Migrated]:
    """Return the text of a page after its migration, and what was told."""
    page, done = migrate_page(Page(text, plants=plants), shop or Shop(), PROCEDURE, "page.yaml")
    return page.text, done


def step(text: str) -> str:
    """Return the step of a page with one step, after its migration."""
    page = "steps:\n  - do: Do it.\n" + indent(dedent(text), "    ")
    return dedent(migrated(page)[0].removeprefix("steps:\n  - do: Do it.\n"))


def left(text: str) -> list[tuple[int, str]]:
    """Return the lines, from that of `do`, and the sentences left for a person; the step must not change."""
    page = "steps:\n  - do: Do it.\n" + indent(dedent(text), "    ")
    new, done = migrated(page)
    assert new == page
    assert not done.changes
    return [(each.line - 1, each.says) for each in done.left]
