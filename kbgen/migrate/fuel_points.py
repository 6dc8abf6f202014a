"""What is opened, closed and checked in a fuel train are points of the equipment, by their ids."""

from __future__ import annotations

from kbgen.migrate.page import Page, Plan
from kbgen.migrate.step import Shop, Step, maps, steps
from kbgen.ref import Kind

_ONE = ("open_gas_train", "cap")
_SEVERAL = "leak_check"


def _run(page: Page, shop: Shop) -> None:
    points = _points(page, shop)
    ids = set(points.values())
    for route, step in steps(page):
        for head in (*_ONE, _SEVERAL):
            value = step.get(head)
            if not isinstance(value, str) or (head in _ONE and value in ids):
                continue
            id_ = value if value in ids else points.get(_plain(value))
            if id_ is None:
                what = "ids of fuel points, as a list" if head == _SEVERAL else "the id of a fuel point"
                page.leave((*route, head), f"`{head}: {value}`: name {what}; {_there_are(ids)}")
                continue
            plan = Plan()
            new = [id_] if head == _SEVERAL else id_
            page.replace(plan, (*route, head), new, f"[{id_}]" if head == _SEVERAL else id_)
            page.commit(plan)
            page.tell((*route, head), "fuel point", f"`{head}: {value}` became `{id_}`")


def _points(page: Page, shop: Shop) -> dict[str, str]:
    """Return title and id of every fuel point that all plants of a page have, by what it may be called."""
    plants = [shop.equipment.get(id_, {}) for id_ in page.plants]
    called: list[dict[str, str]] = [
        {
            _plain(point[key]): point["id"]
            for point in maps(plant.get("fuel_points"))
            for key in ("title", "id")
            if isinstance(point.get(key), str) and isinstance(point.get("id"), str)
        }
        for plant in plants
    ]
    first, *others = called or [{}]
    return {name: id_ for name, id_ in first.items() if all(each.get(name) == id_ for each in others)}


def _plain(text: str) -> str:
    return " ".join(text.split()).casefold()


def _there_are(ids: set[str]) -> str:
    if not ids:
        return "the equipment has none yet, list them under `fuel_points`"
    return f"the equipment has {', '.join(sorted(ids))}"


STEP = Step(
    "`open_gas_train`, `cap` and `leak_check` name fuel points of the equipment by their ids; "
    "`leak_check` is a list.",
    Kind.PROCEDURE,
    _run,
)
