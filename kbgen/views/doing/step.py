"""One step as a tablet shows it."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import Any

from kbgen.compute.walk import state as s
from kbgen.link.base import KnowledgeBase
from kbgen.model import action as act
from kbgen.model.answers import answers
from kbgen.model.procedure import Procedure, ProcedureStep
from kbgen.text import Break, Code, Emphasis, Inline, Link, Listing, RichText, Strong
from kbgen.views.blocks import Fact, Goto, Line, Mark, Plain, Step
from kbgen.views.doing.reading import KNOWN_LEAST, dead_limit, ranges, unit
from kbgen.views.procedure_steps import pairs_of

BRINGS_BACK = (act.Restore, act.Unlock, act.OpenValve, act.StartDemand, act.Reset)
"""What brings energy back: a second tap right after the first is dropped for longer."""
ONLY_LOOKS = (
    act.Identify,
    act.Record,
    act.Inform,
    act.ProveDead,
    act.ProveGone,
    act.TryStart,
    act.Measure,
    act.Watch,
    act.Inspect,
    act.Observe,
    act.CheckReal,
    act.FindCause,
    act.LeakCheck,
    act.Wait,
)
"""What changes nothing on the plant; who goes back over anything else is asked whether it was undone."""
BY_NUMBER = ("heat", "pressure", "fuel", "air", "charge")
"""Energies whose proof is read from a gauge, a thermometer or a meter."""
RIGHT = "Right is"
AFTERWARDS = (RIGHT, "It shows by")
"""What is shown only when the reading is in: nobody reads what he expects to read."""


def step_data(base: KnowledgeBase, procedure: Procedure, step: ProcedureStep, shown: Step) -> dict[str, Any]:
    """Return a step as data; what is empty is left out.

    Fields:
        ``do``: paragraphs, marks of the plant between backticks; ``see``: what is seen when it is right; ``facts``:
        labelled lines; ``right``: lines that are shown after the answer; ``ask`` and ``answers``, each its words, its
        verdict word, whether doubt and whether danger leads there; ``note``: what is written down; ``minutes``;
        ``end``: how it ends; ``tag``: the name on the tag that hangs, empty for the next number; ``pairs``, ``known``,
        ``dead``, ``least``: what is proved dead, from which source, up to which volts, and what the known source shows
        at least; ``mark``: whether the plant's mark is typed; ``number``: unit of the reading that is typed;
        ``ranges``: between which figures each answer lies; ``meter``: its mode; ``wait``: seconds, what for, and the figures that
        show it, each its unit and the limit it is below; ``reach`` and ``also``: steps whose readings are taken together with
        its own, and what its screen says besides; ``hot``, ``asks``: see ``BRINGS_BACK``, ``ONLY_LOOKS``; ``photos``.
    """
    action = step.action
    asked = answers(step)
    number = _number(base, procedure, step)
    typed = number is not None or isinstance(action, act.ProveDead | act.Identify)
    late = AFTERWARDS if typed else ()
    data: dict[str, Any] = {
        "do": list(paragraphs(step.do)),
        "see": "" if late else shown.expect,
        "facts": [[row.label, _lines(row)] for row in shown.details if row.label not in late],
        "right": [
            *([["Expect", shown.expect]] if late and shown.expect else []),
            *([row.label, _lines(row)] for row in shown.details if row.label in late),
        ],
        "ask": shown.question,
        "answers": [[each.when, each.verdict, int(each.doubt), int(each.danger)] for each in asked],
        "note": shown.write_in,
        "minutes": shown.minutes,
        "end": shown.end,
        "hot": int(isinstance(action, BRINGS_BACK)),
        "asks": int(not isinstance(action, ONLY_LOOKS) and not (action is None and asked)),
        "photos": [[each.file, each.alt] for each in shown.pictures],
    }
    found = {name: value for name, value in data.items() if value}
    if number is not None:
        found["number"] = number
    if classes := ranges(step):
        found["ranges"] = classes
    if isinstance(action, act.Measure) and action.measure == "volts":
        found["meter"] = (action.meter or "high-impedance").replace("-", " ")
    return found | dict(_of_action(base, procedure, action))


def _of_action(
    base: KnowledgeBase, procedure: Procedure, action: act.AnyAction | None
) -> Iterator[tuple[str, Any]]:
    match action:
        case act.ProveDead(prove_dead=source):
            yield "pairs", list(pairs_of(base, procedure, action))
            yield "known", action.known_source or "A known source"
            yield "dead", dead_limit(base, procedure, source)
            yield "least", KNOWN_LEAST
        case act.Identify():
            yield "mark", 1
        case act.Lock():
            yield "tag", ""
        case act.Fit(name=name) | act.Clip(clip=name):
            yield "tag", name
        case act.Wait():
            yield "wait", [action.wait.value, action.for_, cooled(action.for_)]
        case act.End() | act.HandOver():
            yield "ends", action.end if isinstance(action, act.End) else "handed-over"
            if action.next:
                yield "next", action.next


def cooled(words: str) -> list[list[Any]]:
    """Return the figures that show the end of a wait: unit, and the limit each is below; to nought means nought.

    >>> cooled("Pressure falls to 0 psi and the shell cools below 120 °F, by itself")
    [['psi', 0.0], ['°F', 120.0]]
    """
    return [[unit, float(limit)] for limit, unit in _ENDS.findall(words)]


_ENDS = re.compile(r"\b(?:below|under|to) ([\d.]+) ?(°C|°F|psi|bar|mbar|kPa|V)\b")


def _number(base: KnowledgeBase, procedure: Procedure, step: ProcedureStep) -> str | None:
    """Return the unit of the reading a step takes; ``None`` where it takes none."""
    match step.action:
        case act.Measure():
            return unit(step.action)
        case act.Watch() if step.action.watch not in ("display", "flame", "level"):
            return unit(step.action)
        case act.ProveGone(prove_gone=source):
            plants = (base.equipment(name) for name in procedure.equipment)
            energies = {
                each.energy for plant in plants if plant for each in plant.sources if each.id == source
            }
            return "" if energies & set(BY_NUMBER) else None
    return None


def clears(step: ProcedureStep) -> dict[str, list[str]]:
    """Return which items of earlier pages a step takes off the list, by the verdict word that does it."""
    match step.action:
        case act.Isolate(isolate=name):
            return {"": [f"off?:{name}"]}
        case act.Lock(lock=name):
            return {"": [f"lock?:{name}", f"off?:{name}"]}
        case act.Unlock(unlock=name):
            return {"": [f"lock:{name}", f"lock?:{name}"]}
        case act.Restore(restore=name):
            return {"": [f"off:{name}", f"off?:{name}"]}
        case act.ShutValve(shut_valve=name):
            return {"": [f"shut?:{name}"]}
        case act.OpenValve(open_valve=name):
            return {"": [f"shut:{name}", f"shut?:{name}"]}
        case act.CloseCover(close_cover=name):
            return {"": [f"cover:{name}", f"look:{name}"]}
        case act.Undo(undo=name):
            return {"": [f"in:{name}"]}
        case act.Unclip(unclip=names):
            return {"": [f"lead:{name}" for name in names]}
        case act.Cap(cap=name):
            return {"": [f"gas:{name}"]}
        case act.ProveTrip(prove_trip=name):
            return {"tripped": [f"{s.OWED}:{name}"]}
        case act.LeakCheck(leak_check=names) if step.action.with_ != "air":
            return {"tight": [f"{kind}:{name}" for name in names for kind in (s.UNTESTED, s.LEAKS)]}
        case act.Measure(measure="flue-gas"):
            return {"within": [f"{s.ANALYSER_OWED}:"]}
        case act.Observe(observe="full-cycle"):
            return {"seen": [f"{s.CYCLE_OWED}:"]}
    return {}


def paragraphs(text: RichText) -> Iterator[str]:
    """Yield a long text as lines without markup but for marks of the plant, which stand between backticks."""
    for block in text:
        if isinstance(block, Listing):
            for number, item in enumerate(block.items, start=block.start):
                sign = f"{number}. " if block.ordered else "– "
                yield sign + " ".join(paragraphs(item))
        else:
            yield _inline(block.children)


def _inline(parts: Sequence[Inline]) -> str:
    said = []
    for part in parts:
        match part:
            case Code(text=text):
                said.append(f"`{text.replace('`', '')}`")
            case Break():
                said.append(" ")
            case Strong(children=children) | Emphasis(children=children) | Link(children=children):
                said.append(_inline(children))
            case _:
                said.append(part.text.replace("`", "'"))
    return "".join(said)


def _lines(row: Fact) -> str:
    return "; ".join(map(_line, row.lines))


def _line(line: Line) -> str:
    said = []
    for span in line:
        match span:
            case Mark(text=text):
                said.append(f"`{text.replace('`', '')}`")
            case Plain(text=text):
                said.append(text.replace("`", "'"))
            case Goto(label=label):
                said.append(label.replace("`", "'"))
    return "".join(said)
