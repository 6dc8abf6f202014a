"""What a step does and what it names, in the words of the table of deeds."""

from __future__ import annotations

from collections.abc import Iterator

from kbgen.compute.walk.plant import Plant
from kbgen.model import action as act
from kbgen.model.build import head_key
from kbgen.model.takes import Names
from kbgen.quantity import Quantity
from kbgen.ref import Kind, Ref
from kbgen.review.deeds import DEEDS, Key

_TITLED = {
    Names.SOURCE,
    Names.ELECTRIC,
    Names.COVER,
    Names.VALVE,
    Names.FUEL_POINT,
    Names.ZONE,
    Names.SETTING,
}


_ENTRY = {
    Names.DEVICE: Kind.DEVICE,
    Names.TRIPPED: Kind.DEVICE,
    Names.PART: Kind.DEVICE,
    Names.CIRCUIT: Kind.CIRCUIT,
    Names.PROCEDURE: Kind.PROCEDURE,
}


_LEAD_IN = {
    "at": " at ",
    "to": " to ",
    "across": " across ",
    "point": " at ",
    "place": " at ",
    "over": " over ",
    "from_": " from ",
    "next": ", then ",
    "for_": " until: ",
    "name": ": ",
}


def keys(plant: Plant, action: act.AnyAction) -> Iterator[Key]:
    """Yield what an action does, one key for each thing where it names several."""
    row = DEEDS[type(action)]
    whole: list[str] = [head_key(type(action))]
    each: tuple[str, ...] | None = None
    for name in row.is_:
        value = getattr(action, name)
        if isinstance(value, tuple):
            each = value
            continue
        if isinstance(action, act.Fit) and name == "name" and (action.over or action.from_ or action.point):
            value = ""  # what it acts on says which it is; its tag may be called otherwise
        if isinstance(action, act.Undo):
            value = _fitted(plant, value)
        whole.append(value.text if isinstance(value, Quantity) else str(value or ""))
    if each is None:
        yield tuple(whole)
    else:
        yield from ((*whole, one) for one in each)


def _fitted(plant: Plant, name: str) -> str:
    """Name an alteration by what it is: its name on the tag is no matter of safety."""
    for step in plant.procedure.steps:
        fit = step.action
        if isinstance(fit, act.Fit) and fit.name == name:
            where = fit.over or fit.from_ or fit.point or fit.name
            return " ".join(filter(None, (fit.fit, where, fit.to)))
    return name


def says(plant: Plant, action: act.AnyAction, key: Key) -> str:
    """Say what an action does, in the words of its row, with titles for names."""
    row = DEEDS[type(action)]
    takes = act.row(action).takes
    text = row.says
    given = dict(zip(row.is_, key[1:], strict=True))
    for name, value in given.items():
        if f"{{{name}}}" not in text:
            continue
        shown = titled(plant, takes[name.removesuffix("_")].names, value) if value else ""
        # What follows other words is led in; what is the point of the sentence stands alone.
        inside = f"{{{name}}}"
        lead = _LEAD_IN.get(name, "") if text.partition(inside)[0][-1:] not in (" ", "(") else ""
        text = text.replace(inside, f"{lead}{shown}" if shown else "")
    return text


def titled(plant: Plant, names: Names | None, value: str) -> str:
    """Return what people call a thing that a field names; words as they are."""
    if names in _TITLED:
        for things in (
            plant.sources,
            plant.covers,
            plant.valves,
            plant.fuel_points,
            plant.zones,
            plant.settings,
        ):
            if value in things:
                return str(things[value].title)
        return value
    if names in _ENTRY:
        if names is Names.TRIPPED and value in plant.memory:
            return plant.memory[value].what
        return plant.base.title(Ref(_ENTRY[names], value)) if _known(plant, _ENTRY[names], value) else value
    return value.replace("-", " ") if names is None else value


def _known(plant: Plant, kind: Kind, value: str) -> bool:
    return Ref(kind, value) in plant.base.entries


def beside(action: act.AnyAction) -> dict[str, str]:
    """Return what is compared of an action beside what it is, as text."""
    found = {}
    for name in DEEDS[type(action)].beside:
        value = getattr(action, name)
        if isinstance(value, Quantity):
            value = value.text
        found[name] = ", ".join(value) if isinstance(value, tuple) else str(value or "")
    return found


def doing(text: str) -> str:
    """Return what a deed does as what is about to be done.

    >>> doing("can end as left safe")
    'ends as left safe'
    """
    return f"ends{text.removeprefix('can end')}" if text.startswith("can end") else text
