"""`review` is a list of signatures; what was one reviewer becomes its first item, without a mark: nobody signs by migrating."""

from __future__ import annotations

from kbgen.migrate.page import Edit, Page, Plan
from kbgen.migrate.step import Shop, Step
from kbgen.ref import Kind

_ROUTE = ("review",)


def _run(page: Page, shop: Shop) -> None:  # noqa: ARG001
    review = page.data.get("review") if isinstance(page.data, dict) else None
    if not isinstance(review, dict):
        return
    start, end = page.layout.key_end(_ROUTE) + 1, page.layout.stop(_ROUTE)
    if page.layout.comments(start, end):
        page.leave(
            _ROUTE, "`review` is a list of signatures now: take the comment out of it and run this again"
        )
        return
    said = ", ".join(f"{name}: {page.layout.raw((*_ROUTE, name))}" for name in review)
    plan = Plan(edits=[Edit(start, end, f" [{{{said}}}]")], replaced={_ROUTE: [review]})
    page.commit(plan)
    page.tell(
        _ROUTE,
        "review",
        "`review` became a list; it has no mark, so that the entry counts as a draft until it is signed",
    )


STEPS = tuple(Step("`review` is a list of signatures; migrating signs nothing.", kind, _run) for kind in Kind)
