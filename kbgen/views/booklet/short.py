"""Procedures as short forms: every step of the way through as a line to tick, made by the role of its action.

Nothing is left out but the readings of a hunt, which stand on the circuit's page in the same order (where each of its
ends leads is said), and the ways in which a job ends, which stand once for all pages. A form that does not fit its pages is not printed at all: then the
booklet says that it is done with the tablet or the binder.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from kbgen.link.base import KnowledgeBase
from kbgen.model import action as act
from kbgen.model.answers import answers, question
from kbgen.model.equipment import Equipment
from kbgen.model.handling import Ending
from kbgen.model.procedure import Procedure, ProcedureStep
from kbgen.model.roles import Role, role_of
from kbgen.model.routine import BY_NAME
from kbgen.model.wording import OR_NOT_SURE, in_region
from kbgen.ref import Kind, Ref
from kbgen.text import read, words
from kbgen.views.blocks import Goto, Line, Plain
from kbgen.views.booklet.leaf import (
    LEAVE,
    SAFE,
    STOP_HERE,
    Tick,
    Ticks,
    ending_label,
    energy_label,
)
from kbgen.views.booklet.say import said
from kbgen.views.card_groups import OWN, Group, groups_of, labels_of, name_groups
from kbgen.views.compose import line_of
from kbgen.views.procedure_steps import ENDS, pairs_of

LEAVE_NOW = "leave-now"
NOT_SURE = "Not sure"
NOT_HERE = "tablet or binder; locks stay on"
UNNAMED = "Then"
"""Heads a card that has no name of its own."""
_HUNTS = ("hunt", "hunt_dead")
_COMES_TO = {
    "open": "open place",
    "weak": "weak place",
    "fuse": "fuse open",
    "no-supply": "no supply",
    "bridged": "bridged",
    "not-shown": "nothing open",
}
"""What a hunt comes to, by the deed of the step that says so."""
COMES_TO_ELSE = "anything else"
ALL_MADE = "all made"


def short_form(base: KnowledgeBase, procedure: Procedure, *, whole: bool = False) -> tuple[Ticks, ...]:
    """Return the way through a procedure, a card a heading.

    Args:
        whole: Whether pages that are done on the way stand in it line by line; else each is one line that names it.
    """
    groups = groups_of(procedure.steps)
    name_groups(base, procedure, groups)
    labels = labels_of(procedure, groups)
    endings = {
        procedure.steps[at].id: Goto(group.short or group.title, _page_of(group.origin.ending))
        for group in groups
        if group.origin.ending
        for at in group.at
    }
    form: list[Ticks] = []
    pages: set[str] = set()
    for at, group in enumerate(groups):
        if group.origin.ending or group.origin.page in pages:
            continue
        rows = _rows(base, procedure, group, labels, endings, whole=whole)
        if group.origin.page and not whole:
            pages.add(group.origin.page)
        if rows:
            sent = at and not _goes_on(procedure, groups[at - 1], group)
            own = group.short or group.title if sent else group.title or UNNAMED
            title = " ".join(filter(None, (group.name, own)))
            form.append(Ticks(f"{title}, only if sent here" if sent else title, rows))
    return tuple(form)


def _goes_on(procedure: Procedure, before: Group, group: Group) -> bool:
    """Whether who has done one card goes on with the next; else it is reached by an answer alone."""
    last, first = procedure.steps[before.at[-1]], procedure.steps[group.at[0]]
    if isinstance(last.action, act.End | act.HandOver):
        return False
    leads = [last.go, *(each.go for each in answers(last))]
    return not any(leads) or first.id in leads


def until_safe(form: tuple[Ticks, ...]) -> tuple[Ticks, ...]:
    """Return the part of a form up to the last card that proves something gone; what follows is said to follow.

    What comes after it (mending, other work, closing up) hangs on what was found. An answer that leads there says so.
    """
    last = max(
        (at for at, card in enumerate(form) if any(t.role == "prove" for t in card.rows)), default=None
    )
    if last is None or last + 1 == len(form):
        return form
    gone = frozenset(_number(card) for card in form[last + 1 :])
    kept = tuple(
        replace(card, rows=tuple(_not_beyond(tick, gone) for tick in card.rows)) for card in form[: last + 1]
    )
    rest = f"{_number(form[last + 1])} to {_number(form[-1])}"
    more = Tick(
        said(
            f"Work, other cards ({rest}) and putting back: with the tablet or the binder only. Locks stay on."
        ),
        role="gate",
    )
    return (*kept, Ticks("What follows", (more,)))


def _number(card: Ticks) -> str:
    return card.title.split(" ")[0].rstrip(",")


def _not_beyond(tick: Tick, gone: frozenset[str]) -> Tick:
    """Say of every answer that leads to a card without a page here where that card is, and that the locks stay."""
    line = tuple(
        Plain(f"→ card {number} ({NOT_HERE})")
        if isinstance(span, Plain)
        and (number := span.text.removeprefix("→ ").split(" ")[0].rstrip(",")) in gone
        and span.text.startswith("→ ")
        else span
        for span in tick.otherwise
    )
    return replace(tick, otherwise=line)


def _rows(
    base: KnowledgeBase,
    procedure: Procedure,
    group: Group,
    labels: Mapping[str, str],
    endings: Mapping[str, Goto],
    *,
    whole: bool,
) -> tuple[Tick, ...]:
    if group.origin.page and not whole:
        ref = Ref(Kind.PROCEDURE, group.origin.page)
        return (Tick((Plain("Do all of: "), Goto(base.title(ref), ref))),)
    rows: list[Tick] = []
    hunting = False
    for at in group.at:
        step = procedure.steps[at]
        origin = step.origin or OWN
        if origin.routine in _HUNTS and origin.circuit:
            if isinstance(step.action, act.Measure):
                if not hunting:
                    hunt = _hunt(base, origin.circuit, dead=origin.routine == "hunt_dead")
                    rows.append(replace(hunt, otherwise=_off(_leaves(procedure, group), labels, endings)))
                hunting = True
                continue
            if hunting:
                continue
        following = procedure.steps[at + 1].id if at + 1 < len(procedure.steps) else ""
        rows.append(_tick(base, procedure, step, following, labels, endings))
    return tuple(rows)


def _hunt(base: KnowledgeBase, circuit: str, *, dead: bool) -> Tick:
    """Say where a hunt goes on: its readings and their order stand on the page of the circuit."""
    ref = Ref(Kind.CIRCUIT, circuit)
    how = (
        "Ohms, proved dead, one contact after the other: "
        if dead
        else "Read point by point, in the order of: "
    )
    return Tick((Plain(how), Goto(base.title(ref), ref)))


def _leaves(procedure: Procedure, group: Group) -> dict[str, list[str]]:
    """Return what a hunt comes to, by the step that it then leads to: its own steps stand on no page of the booklet."""
    steps = [procedure.steps[at] for at in group.at]
    own = {step.id for step in steps}
    found: dict[str, dict[str, None]] = {}
    for step in steps:
        origin = step.origin or OWN
        if not origin.circuit:
            continue
        deed, _, more = origin.deed.partition(".")
        if step.go and step.go not in own:
            came = "fuse" if step.note_down == "Fuse" else deed
            found.setdefault(step.go, {})[_COMES_TO.get(came, COMES_TO_ELSE)] = None
        # Full once more, across what was taken to be open or above full, contradicts what was read before.
        again = deed == "open" or more == "above"
        for each in answers(step):
            if each.go and each.go not in own:
                made = each.when == "Full" and not again
                found.setdefault(each.go, {})[ALL_MADE if made else NOT_SURE] = None
    # Who is not sure comes last, as everywhere.
    return {go: list(found[go]) for go in sorted(found, key=lambda go: NOT_SURE in found[go])}


def _tick(
    base: KnowledgeBase,
    procedure: Procedure,
    step: ProcedureStep,
    following: str,
    labels: Mapping[str, str],
    endings: Mapping[str, Goto],
) -> Tick:
    found = Tick(
        says=said(step.in_short) or _brief(base, procedure, step) or _with_wait(step),
        answer=step.expect,
        write=step.note_down,
        pairs=_pairs(base, procedure, step),
        role=str(role_of(step.action)),
    )
    ways = [(each.when, each.go) for each in answers(step)]
    if ways:
        on = [when for when, go in ways if go == following]
        off: dict[str, list[str]] = {}
        for when, go in ways:
            if go != following:
                off.setdefault(go, []).append(when)
        # What a verdict word asks is said by its answers; a proof's pairs say what is then seen.
        gate = step.ask or ("" if on else question(step))
        found = replace(
            found,
            answer="" if found.pairs else found.answer,
            gate=f"{gate} {' or '.join(on)}: go on.".strip() if on else gate,
            otherwise=_else(off, labels, endings, sure="No" in on) if on else _off(off, labels, endings),
        )
    elif step.go and step.go != following:
        found = replace(found, otherwise=_to(step.go, labels, endings))
    if isinstance(step.action, act.End | act.HandOver):
        found = replace(found, otherwise=_end(base, step), without=_without(base, procedure, step))
    return found


def _brief(base: KnowledgeBase, procedure: Procedure, step: ProcedureStep) -> Line:
    """Say the usual deed of a routine in two words, the thing first; nothing where its words say more.

    Only the first sentence is put in short: whatever stands behind it in the plant's own words stays.
    """
    if not (step.origin and step.origin.routine):
        return ()
    plant = next((p for name in procedure.equipment if (p := base.equipment(name)) is not None), None)
    handles = {each.id: each.handle for each in plant.sources} if plant else {}
    handles |= {each.id: each.handle for each in plant.fuel_valves} if plant else {}
    match step.action:
        case act.Isolate(isolate=name):
            what, deed, usual = (
                handles.get(name, ""),
                "off",
                f"Switch {in_region('isolator', plant.region if plant else '')} {handles.get(name, '')} off",
            )
        case act.Restore(restore=name):
            what, deed, usual = handles.get(name, ""), "on", f"Switch {handles.get(name, '')} on"
        case act.Lock(lock=name):
            what, deed, usual = (
                handles.get(name, ""),
                "lock and tag",
                f"Put padlock and tag on {handles.get(name, '')}",
            )
        case act.ShutValve(shut_valve=name):
            what, deed, usual = handles.get(name, ""), "shut", f"Shut the {handles.get(name, '')}"
        case act.OpenValve(open_valve=name):
            what, deed, usual = handles.get(name, ""), "open", f"Open the {handles.get(name, '')}"
        case _:
            return ()
    first, _, rest = words(step.do).partition(". ")
    if not what or first.rstrip(".") != usual:
        return ()
    return said(f"{what[:1].upper()}{what[1:]}: {deed}. {rest}".strip())


def _with_wait(step: ProcedureStep) -> Line:
    """Say the step; of a wait and a watch also for how long, where the words do not say it."""
    line = line_of(step.do)
    time = step.action.wait if isinstance(step.action, act.Wait) else None
    time = step.action.for_ if isinstance(step.action, act.Watch) else time
    told = "".join(span.text if hasattr(span, "text") else "" for span in line)
    return (*line, Plain(f" {time.text}.")) if time and time.text not in told else line


def _pairs(base: KnowledgeBase, procedure: Procedure, step: ProcedureStep) -> tuple[str, ...]:
    if not isinstance(step.action, act.ProveDead):
        return ()
    source = step.action.known_source or "live source"
    return (f"{source} first", *pairs_of(base, procedure, step.action), f"{source} again")


def _else(
    off: Mapping[str, Sequence[str]], labels: Mapping[str, str], endings: Mapping[str, Goto], *, sure: bool
) -> Line:
    """Say in one word where every other answer leads, where it is one place.

    Args:
        sure: Whether who is not sure is named: where one goes on with "No", a hurried reader takes "not sure" for it.
    """
    if len(off) == 1 and NOT_SURE in next(iter(off.values())):
        return (Plain("Else, not sure " if sure else "Else "), *_to(next(iter(off)), labels, endings))
    return _off(off, labels, endings)


def _off(off: Mapping[str, Sequence[str]], labels: Mapping[str, str], endings: Mapping[str, Goto]) -> Line:
    line: list[Plain | Goto] = []
    for go, whens in off.items():
        if line:
            line.append(Plain("  "))
        names = [when for when in whens if when != NOT_SURE]
        when = ", ".join(names) or NOT_SURE
        when = when[:1].upper() + when[1:]
        line.append(Plain((OR_NOT_SURE.format(when) if NOT_SURE in whens and names else when) + " "))
        line += _to(go, labels, endings)
    return tuple(line)


def _to(go: str, labels: Mapping[str, str], endings: Mapping[str, Goto]) -> tuple[Plain | Goto, ...]:
    if go in endings:
        return (Plain("→ "), endings[go])
    return (Plain(f"→ {labels.get(go, go)}"),)


def _end(base: KnowledgeBase, step: ProcedureStep) -> Line:
    says = ENDS[step.action.end] if isinstance(step.action, act.End) else ENDS["handed-over"]
    following = _next(base, getattr(step.action, "next", ""), " ")
    # What was found is what the next procedure begins with: it needs no sentence of its own.
    found = isinstance(step.action, act.End) and step.action.end == "found"
    return (Plain("Found." if found and following else f"Ends: {says}"), *following)


def _without(base: KnowledgeBase, procedure: Procedure, step: ProcedureStep) -> Line:
    """Say where somebody stops who cannot go on with the next procedure."""
    # Who hands over stays and calls; who ends a search would stand there with the plant as it is.
    if not (isinstance(step.action, act.End) and step.action.next):
        return ()
    plants = (base.equipment(each) for each in procedure.equipment)
    stop = next((e for plant in plants if plant for e in plant.endings if e.id == STOP_HERE), None)
    return (Goto(stop.short or stop.means, ending_label(stop.id)),) if stop else ()


def gates_of(procedure: Procedure) -> tuple[ProcedureStep, ...]:
    """Return the steps of a procedure that no short form may be without: gates and proofs."""
    return tuple(
        step
        for step in procedure.steps
        if not (step.origin or OWN).ending and (role_of(step.action) in (Role.GATE, Role.PROVE) or step.ask)
    )


def _page_of(ending: str) -> str:
    return LEAVE if ending == LEAVE_NOW else ending_label(ending)


def endings(base: KnowledgeBase, plant: Equipment) -> tuple[Ticks, ...]:
    """Return the ways in which a job ends early, each once, from the plant's own lines."""
    return tuple(
        Ticks(
            ending.short or ending.means,
            tuple(_line(base, plant, line, ending) for line in ending.steps),
            ending_label(ending.id),
        )
        for ending in plant.endings
    )


def _line(base: KnowledgeBase, plant: Equipment, line: Mapping[str, Any], ending: Ending) -> Tick:
    """Say one line of an ending: the author's own as typed, a routine by what it comes to on every page."""
    names = {each.id: each.title for each in plant.sources}
    added = " ".join(
        str(more.get(key, "")) for more in line.get("add", {}).values() for key in ("do", "expect")
    ).strip()
    match line:
        case {"do": str(do)}:
            ways = _ways(plant, line, ending)
            return Tick(
                (*line_of(read(do)), *said(f" {line['wait']}." if "wait" in line else "")),
                answer=str(line.get("expect", "")),
                gate=str(line.get("ask", "")),
                otherwise=(*ways, *_next(base, str(line.get("next", "")), " " if ways else "")),
                page=(Goto("", LEAVE),) if ending.id == LEAVE_NOW else (),
            )
        case {"burner_off": far}:
            stop = plant.firing.stop
            valves = [v.handle or v.title for v in plant.fuel_valves if v.stops != "all-fuel"]
            shut = f" Shut {', '.join(valves)}." if far == "valves" and valves else ""
            how = line_of(read(stop.do)) if stop else said("Burner off.")
            return Tick((*how, *said(shut)), answer=added or (stop.expect if stop else ""))
        case {"lock_off": [*sources]}:
            off = [Goto(names.get(str(each), str(each)), energy_label(str(each))) for each in sources]
            commas = [span for each in off for span in (Plain(", "), each)][1:]
            return Tick((Plain("Shut or switch off, lock and tag: "), *commas), answer=added)
        case {"close": [*names_]}:
            closed = {v.id: f"shut the {v.handle or v.title}" for v in plant.fuel_valves}
            closed |= {c.id: f"close: {c.title}" for c in plant.covers}
            closed["all"] = "close every cover"
            every = "; ".join(closed.get(str(each), f"close {each}") for each in names_)
            return Tick(said(f"{every[:1].upper()}{every[1:]}."), answer=added)
        case {"put_back": _}:
            return Tick(
                said("Put back what you opened, clipped on, fitted or let start. Locks and tags stay.")
            )
    name = next((key for key in line if key in BY_NAME), "")
    return Tick((Plain(f"{BY_NAME[name].title if name else 'Stop and call'}."), Goto("", SAFE)), answer=added)


def _ways(plant: Equipment, line: Mapping[str, Any], ending: Ending) -> Line:
    """Say where the answers of an ending's own question lead, and where its last line does."""
    own = {str(each.get("id", "")): str(each.get("do", "")) for each in ending.steps}
    others = {each.id: each.short or each.means for each in plant.endings}

    def goes(name: str) -> Plain | Goto:
        if name in others:
            return Goto(others[name], _page_of(name))
        return Plain("go on" if name == "next" else own.get(name) or name)

    ways: list[Plain | Goto] = []
    for way in line.get("outcomes", ()):
        if "go" in way:
            ways += [Plain(f"{'  ' if ways else ''}{way['when']}: "), goes(str(way["go"]))]
    if "go" in line:
        ways += [Plain(f"{'  ' if ways else ''}→ "), goes(str(line["go"]))]
    return tuple(ways)


def _next(base: KnowledgeBase, procedure: str, between: str) -> Line:
    ref = Ref(Kind.PROCEDURE, procedure)
    return (Plain(f"{between}Next: "), Goto(base.title(ref), ref)) if procedure else ()
