"""A page as a graph of steps that can be changed and written again."""

from __future__ import annotations

import copy
import json
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from typing import Any, Self

import yaml

from kbgen.model.action import TABLE
from kbgen.model.verdicts import WORDS

Data = dict[str, Any]
ACTIONS = tuple(about.name for about in TABLE.values())
PASSING = frozenset("same dead gone tight tripped cause-mended seen full no-pressure within".split())
LAST = ("end", "hand_over")


class Quoted(str):
    """A scalar that stood in quotes, so that it is no number when written again."""

    __slots__ = ()


class _Loader(getattr(yaml, "CBaseLoader", yaml.BaseLoader)):  # type: ignore[misc]
    def construct_scalar(self, node: yaml.ScalarNode) -> str:
        said = str(node.value)
        # What is bare has no style, or an empty one where libyaml reads it.
        return Quoted(said) if node.style else said


def read(text: str) -> Data:
    """Read a file of the knowledge base, every scalar as typed."""
    return yaml.load(text, Loader=_Loader)


def written(data: Any) -> str:
    """Return data as JSON, which is YAML too; what was a bare number stays one."""
    if isinstance(data, dict):
        return "{" + ", ".join(f"{json.dumps(key)}: {written(value)}" for key, value in data.items()) + "}"
    if isinstance(data, list | tuple):
        return "[" + ", ".join(map(written, data)) + "]"
    bare = not isinstance(data, Quoted) and re.fullmatch(r"true|false|\d+(\.\d+)?", data)
    return str(data) if bare else json.dumps(str(data), ensure_ascii=False)


@dataclass
class Way:
    """One answer: its verdict word, where it leads, what else stands with it."""

    word: str
    to: str
    data: Data = field(default_factory=dict)


@dataclass
class Step:
    """One step; ``next`` leads on where no answer does."""

    key: str
    data: Data
    ways: list[Way] = field(default_factory=list)
    next: str = ""
    named: bool = False

    @property
    def act(self) -> str:
        """Its action, or nothing."""
        return next((name for name in ACTIONS if name in self.data), "")

    @property
    def value(self) -> Any:
        """What stands behind the head key of its action."""
        return self.data.get(self.act, "")

    def is_(self, act: str, value: object = None) -> bool:
        """Whether it is this action, of this thing."""
        return self.act == act and (value is None or self.value == value)

    @property
    def asks(self) -> bool:
        """Whether the person answers something."""
        return bool(self.ways)

    @property
    def on(self) -> str:
        """Where it goes when all is well."""
        if not self.ways:
            return self.next
        return next((way.to for way in self.ways if way.word in PASSING), self.ways[0].to)

    @property
    def targets(self) -> list[str]:
        """Every step that may follow."""
        return list(
            dict.fromkeys([way.to for way in self.ways] if self.ways else [self.next] * bool(self.next))
        )


def _same(way: Way) -> Way:
    return Way(way.word, way.to, dict(way.data))


class Draft:
    """The steps of a page, their order and where each leads."""

    def __init__(self, data: Data, entered: frozenset[str] = frozenset()) -> None:
        self.data: Data = {key: value for key, value in data.items() if key != "steps"}
        self.entered = entered
        self.added = 0
        self.steps: list[Step] = []
        given = data["steps"]
        keys = [said.get("id", f"step-{number + 1}") for number, said in enumerate(given)]
        for number, said in enumerate(given):
            rest = {k: v for k, v in said.items() if k not in ("id", "go", "outcomes", *WORDS)}
            below = keys[number + 1] if number + 1 < len(keys) else ""
            step = Step(keys[number], rest, named="id" in said)
            for outcome in said.get("outcomes", ()):
                word = next((word for word in WORDS if word in outcome), "")
                more = {k: v for k, v in outcome.items() if k not in ("go", word)}
                step.ways.append(Way(word, outcome[word] if word else outcome.get("go", below), more))
            step.ways += [Way(word, said[word]) for word in WORDS if word in said]
            if not step.ways and step.act not in LAST:
                step.next = said.get("go", below)
            self.steps.append(step)

    def copy(self) -> Self:
        """Return a draft that can be changed by itself."""
        new = copy.copy(self)
        new.data = dict(self.data)
        new.steps = [
            replace(step, data=dict(step.data), ways=[_same(way) for way in step.ways]) for step in self
        ]
        return new

    def __getitem__(self, key: str) -> Step:
        return next(step for step in self.steps if step.key == key)

    def __iter__(self) -> Iterator[Step]:
        return iter(self.steps)

    def has(self, key: str) -> bool:
        """Whether a step of that key is there."""
        return any(step.key == key for step in self.steps)

    def before(self, key: str) -> list[Step]:
        """Return the steps that lead to a step."""
        return [step for step in self.steps if key in step.targets]

    def run(self, key: str) -> list[str]:
        """Return the way from a step when all is well, up to its end or its first repeat."""
        seen: list[str] = []
        while key and key not in seen:
            seen.append(key)
            key = self[key].on
        return seen

    def run_with(self, key: str) -> list[str]:
        """Return the first good way that a step lies on: from the top, or from an answer that is not good."""
        tops = [self.steps[0].key]
        tops += [way.to for step in self.steps for way in step.ways if way.to != step.on]
        tops += sorted(self.entered & {step.key for step in self.steps})
        return next((run for top in dict.fromkeys(tops) if key in (run := self.run(top))), self.run(key))

    def could_be(
        self, key: str, on: Callable[[Step], bool], off: Callable[[Step], bool], *, at_first: bool
    ) -> bool:
        """Whether something may be so when a step is reached: made so, or so at first, and not ended since."""
        seen: set[str] = set()
        todo = [key]
        while todo:
            here = todo.pop()
            if here == self.steps[0].key and at_first:
                return True
            for step in self.before(here):
                if step.key in seen:
                    continue
                seen.add(step.key)
                if on(step):
                    return True
                if not off(step):
                    todo.append(step.key)
        return False

    def leads_to(
        self, key: str, harm: Callable[[Step], bool], barrier: Callable[[Step], bool] = lambda _: False
    ) -> bool:
        """Whether a harm can follow a step before something that keeps it off."""
        seen: set[str] = set()
        todo = list(self[key].targets)
        while todo:
            here = todo.pop()
            if here in seen:
                continue
            seen.add(here)
            step = self[here]
            if harm(step):
                return True
            if not barrier(step):
                todo += step.targets
        return False

    def lead(self, old: str, new: str) -> None:
        """Lead everything that led to one step to another."""
        for step in self.steps:
            if step.next == old:
                step.next = new
            for way in step.ways:
                if way.to == old:
                    way.to = new

    def _lead_on(self, step: Step, new: str) -> None:
        old = step.on
        if not step.ways:
            step.next = new
        for way in step.ways:
            if way.to == old:
                way.to = new

    def take_out(self, key: str, *, name_stays: bool = True) -> Step:
        """Take a step out; what led to it leads on to what follows it when all is well."""
        step = self[key]
        after = step.on
        assert after, "the last step of a way cannot be left out"
        self.lead(key, after)
        self.steps.remove(step)
        if name_stays and key in self.entered and after not in self.entered:
            self.lead(after, key)
            self[after].named, self[after].key = True, key
        return step

    def put_behind(self, key: str, step: Step) -> None:
        """Put a step behind another, on the good way."""
        there = self[key]
        self._lead_on(step, there.on) if step.ways else setattr(step, "next", there.on)
        self._lead_on(there, step.key)
        self.steps.insert(self.steps.index(there) + 1, step)

    def put_before(self, key: str, step: Step) -> None:
        """Put a step before another, on every way that leads to it."""
        self.lead(key, step.key)
        self._lead_on(step, key) if step.ways else setattr(step, "next", key)
        self.steps.insert(self.steps.index(self[key]), step)

    def new(self, **data: Any) -> Step:
        """Return a step that stands nowhere yet."""
        self.added += 1
        named = {key.removesuffix("_"): value for key, value in data.items()}
        return Step(f"added-{self.added}", named)

    def behind(self, key: str, other: str) -> Draft:
        """Return a draft with a step moved behind a later one."""
        new = self.copy()
        new.put_behind(other, new.take_out(key, name_stays=False))
        return new

    def ahead(self, key: str, other: str) -> Draft:
        """Return a draft with a step moved before an earlier one."""
        new = self.copy()
        new.put_before(other, new.take_out(key, name_stays=False))
        return new

    def without(self, *keys: str) -> Draft:
        """Return a draft in which steps are left out."""
        new = self.copy()
        # From below: a step that is entered from another page leaves its name to the one that follows.
        for key in [step.key for step in reversed(self.steps) if step.key in keys]:
            new.take_out(key)
        return new

    def page(self) -> Data:
        """Return the page as data, without steps that nothing leads to."""
        live, todo = set(), [self.steps[0].key, *(e for e in self.entered if self.has(e))]
        while todo:
            key = todo.pop()
            if key not in live:
                live.add(key)
                todo += self[key].targets
        steps = [step for step in self.steps if step.key in live]
        told: list[Data] = []
        wanted: set[str] = set()
        for step, below in zip(steps, [*steps[1:], None], strict=True):
            said: Data = {}
            spoken = [way for way in step.ways if "when" in way.data]
            wanted.update(way.to for way in step.ways)
            if spoken:
                said["outcomes"] = [{**way.data, way.word or "go": way.to} for way in spoken]
            said.update({way.word: way.to for way in step.ways if "when" not in way.data})
            if step.next and (below is None or below.key != step.next):
                said["go"] = step.next
                wanted.add(step.next)
            told.append({**step.data, **said})
        for step, said in zip(steps, told, strict=True):
            if step.named or step.key in wanted:
                said["id"] = step.key
        return {**self.data, "steps": told}
