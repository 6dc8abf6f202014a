"""What the table of actions tells apart, done wrong: names in every field, verdicts, proofs before hands."""

from __future__ import annotations

from collections.abc import Iterator

from kbgen.model.action import TABLE
from kbgen.model.takes import Names
from kbgen.model.verdicts import ALL
from tests.mutants.draft import Draft, Step
from tests.mutants.kinds import Kinds
from tests.mutants.moves import undead
from tests.mutants.site import Site

KINDS = Kinds()

_ROWS = {row.name: row for row in TABLE.values()}
# Other pages and steps are followed, not named on the plant; a part may be said in any words.
_ELSEWHERE = {Names.PROCEDURE, Names.STEP, Names.PART, Names.PAIR}


def _named(step: Step) -> Iterator[tuple[str, Names]]:
    """Yield the fields of a step's action that name something."""
    for head in step.keys() & _ROWS.keys():
        for key, takes in _ROWS[head].takes.items():
            if key in step and takes.names and takes.names not in _ELSEWHERE:
                yield key, takes.names


def _with(draft: Draft, index: int, key: str, name: str) -> Draft:
    changed = draft.copy()
    old = changed.steps[index][key]
    changed.steps[index][key] = [name, *old[1:]] if isinstance(old, list) else name
    return changed


def _first(value: object) -> str:
    return str(value[0] if isinstance(value, list) else value)


@KINDS.add(
    "A name with one letter too many is nothing on the plant, and what is said of it counts for nothing."
)
def misspelt_name(site: Site, draft: Draft) -> Iterator[Draft]:
    met = set()
    for index, step in enumerate(draft.steps):
        for key, _ in _named(step):
            name = _first(step[key])
            if (key, name) not in met:
                met.add((key, name))
                yield _with(draft, index, key, f"{name}x")


@KINDS.add("The same word stands for something else on another plant.")
def name_of_another_plant(site: Site, draft: Draft) -> Iterator[Draft]:
    plant = site.equipment
    other = next(name for name in site.families if name != site.name)
    strange = site.of_family(other)
    own = {*(each.id for each in (*plant.sources, *plant.covers, *plant.fuel_valves, *plant.zones))}
    for index, step in enumerate(draft.steps):
        for key, names in _named(step):
            foreign = {
                Names.SOURCE: [each.id for each in strange.equipment.sources],
                Names.ELECTRIC: strange.electric,
                Names.COVER: [each.id for each in strange.equipment.covers],
                Names.VALVE: [each.id for each in strange.equipment.fuel_valves],
                Names.DEVICE: strange.devices,
            }.get(names, [])
            own_names = own.union(site.devices)
            for name in [each for each in foreign if each not in own_names][:1]:
                yield _with(draft, index, key, name)


def _proofs(draft: Draft) -> Iterator[tuple[int, str, str]]:
    """Yield steps whose passing verdict and last one lead different ways, with both words."""
    for index, step in enumerate(draft.steps):
        goes: dict[str, set[str]] = {}
        for outcome in step.get("outcomes", ()):
            goes.setdefault(outcome.get("is", ""), set()).add(outcome["go"])
        for row in ALL:
            one, other = row.passing, row.words[-1]
            if one in goes and other in goes and not row.reads and goes[one] != goes[other]:
                yield index, one, other


@KINDS.add("The verdict that passes leads where the other one should, and the other one goes on.")
def verdicts_crossed(site: Site, draft: Draft) -> Iterator[Draft]:
    for index, one, other in _proofs(draft):
        changed = draft.copy()
        for outcome in changed.steps[index]["outcomes"]:
            outcome["is"] = {one: other, other: one}.get(outcome.get("is", ""), outcome.get("is", ""))
        yield changed


@KINDS.add("An answer without a verdict: nobody knows what it proves.")
def verdict_left_out(site: Site, draft: Draft) -> Iterator[Draft]:
    for index, one, _ in _proofs(draft):
        changed = draft.copy()
        for outcome in changed.steps[index]["outcomes"]:
            if outcome.get("is") == one:
                del outcome["is"]
        yield changed


@KINDS.add("Nobody says what to do when the proof fails.")
def failing_answer_left_out(site: Site, draft: Draft) -> Iterator[Draft]:
    for index, _, other in _proofs(draft):
        changed = draft.copy()
        kept = [each for each in changed.steps[index]["outcomes"] if each.get("is") != other]
        changed.steps[index]["outcomes"] = kept
        yield changed


_HANDS = [row.name for row in TABLE.values() if row.hands]


@KINDS.add("Hands go in, and the proofs before them are only words.")
def proofs_before_hands_forgotten(site: Site, draft: Draft) -> Iterator[Draft]:
    proofs = [*draft.having("prove_dead"), *draft.having("prove_gone")]
    for head in _HANDS:
        hands = draft.having(head)
        if head != "measure" and hands and draft.before_it(hands[0], *proofs):
            yield undead(draft.copy()).forget(*proofs)
