"""A procedure to be changed: its plain data, and the few moves that all changes are made of."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from kbgen.model.answers import answers, doubts, question
from kbgen.model.build import build
from kbgen.model.procedure import ProcedureStep
from kbgen.model.verdicts import ALL, WORDS

Step = dict[str, Any]
_YES = {row.passing for row in ALL if not row.reads}
_NO = {row.words[-1] for row in ALL if not row.reads} - {"real"}
_KEPT = {"id", "do", "why", "expect", "minutes", "cautions", "photos", "note_down", "ask", "outcomes", "go"}


class Draft:
    """One procedure of a knowledge base, copied.

    Its answers are spelt out: every outcome has ``go``, ``is`` for its verdict word, and doubt is an outcome of
    its own where the page adds it. ``typed`` writes it as an author would.
    """

    def __init__(self, name: str, data: dict[str, Any]) -> None:
        self.name = name
        self.data: dict[str, Any] = _copied(data)
        self._fresh = 0

    @classmethod
    def of(cls, name: str, data: dict[str, Any]) -> Draft:
        """Make a draft of a procedure as an author typed it."""
        return cls(name, {**data, "steps": [_spelt_out(step) for step in data["steps"]]})

    def typed(self) -> dict[str, Any]:
        """Return its data with verdict words as keys."""
        steps = []
        for step in self.steps:
            new = dict(step)
            if "outcomes" in step:
                new["outcomes"] = [
                    {
                        (each.get("is") or "go") if key == "go" else key: v
                        for key, v in each.items()
                        if key != "is"
                    }
                    for each in step["outcomes"]
                ]
            steps.append(new)
        return {**self.data, "steps": steps}

    def copy(self) -> Draft:
        """Copy it, for a change of its own."""
        return Draft(self.name, self.data)

    @property
    def steps(self) -> list[Step]:
        """Its steps."""
        return self.data["steps"]

    def having(self, key: str, *values: str) -> list[int]:
        """Return the steps with an action of this head, of these values only where some are given."""
        return [i for i, step in enumerate(self.steps) if key in step and (not values or step[key] in values)]

    def forget(self, *indices: int) -> Draft:
        """Leave the words of steps and take away what they do."""
        for index in indices:
            self.steps[index] = {key: value for key, value in self.steps[index].items() if key in _KEPT}
            for outcome in self.steps[index].get("outcomes", ()):
                outcome.pop("is", None)
        return self

    def before(self, index: int, *steps: Step) -> Draft:
        """Put steps before a step; whoever was led to it passes them first."""
        new = [dict(step) for step in steps]
        if "id" in self.steps[index]:
            new[0]["id"] = self.steps[index].pop("id")
        self.steps[index:index] = new
        return self

    def name_of(self, index: int) -> str:
        """Return the id of a step, giving it one."""
        if "id" not in self.steps[index]:
            self._fresh += 1
            self.steps[index]["id"] = f"new-{self._fresh}"
        return self.steps[index]["id"]

    def ask_before(self, index: int, question: str, leads_to: str, *, in_danger: bool = False) -> Draft:
        """Put a question before a step; its yes and its doubt lead elsewhere."""
        danger = {"danger": True} if in_danger else {}
        here = self.name_of(index)
        self.steps[index]["id"] = f"{here}-then"
        self.steps.insert(
            index,
            {
                "id": here,
                "do": "Look up.",
                "ask": question,
                "outcomes": [
                    {"when": "No", "go": f"{here}-then"},
                    {"when": "Yes", "go": leads_to, **danger},
                    {"when": "Not sure", "go": leads_to, **danger},
                ],
            },
        )
        return self

    def outcome(self, index: int, meaning: str) -> dict[str, str] | None:
        """Return the outcome of a step with a meaning: ``yes``, ``no``, ``none``, ``some``, ``not-sure``."""
        for outcome in self.steps[index].get("outcomes", ()):
            if doubts(outcome["when"]):
                means = "not-sure" if outcome["when"] == "Not sure" else ""
            else:
                word = outcome.get("is", outcome["when"].casefold())
                means = "yes" if word in _YES else "no" if word in _NO else word
            if means == meaning:
                return outcome
        return None

    def start_from(self, *starts: str) -> Draft:
        """Let it begin with the plant as found but for these facts; without some it had, no page comes before it."""
        if not set(self.starts()) <= set(starts):
            self.data.pop("after", None)
        self.data["starts"] = list(starts)
        return self

    def starts(self) -> list[str]:
        """What it begins with."""
        return list(self.data.get("starts", ()))

    def chain(self, index: int) -> Iterator[int]:
        """Yield the steps from one on, as long as no question is asked."""
        where = {step["id"]: i for i, step in enumerate(self.steps) if "id" in step}
        for _ in self.steps:
            yield index
            step = self.steps[index]
            if "outcomes" in step or "end" in step or "hand_over" in step:
                return
            index = where[step["go"]] if "go" in step else index + 1
            if index >= len(self.steps):
                return

    def following(self, index: int) -> set[int]:
        """Return the steps that can come after one."""
        where = {step["id"]: i for i, step in enumerate(self.steps) if "id" in step}
        found: set[int] = set()
        waiting = [index]
        while waiting:
            at = waiting.pop()
            step = self.steps[at]
            if "end" in step or "hand_over" in step:
                continue
            goes = [outcome["go"] for outcome in step.get("outcomes", ())] or [step.get("go", "")]
            targets = {where[go] if go else at + 1 for go in goes}
            new = {target for target in targets if target < len(self.steps)} - found
            found |= new
            waiting += new
        return found

    def before_it(self, index: int, *steps: int) -> bool:
        """Whether one of some steps can come before another."""
        return any(index in self.following(step) for step in steps)

    def find(self, step_id: str) -> int:
        """Return the step of an id."""
        return next(i for i, step in enumerate(self.steps) if step.get("id") == step_id)


def _spelt_out(data: dict[str, Any]) -> Step:
    step = build(ProcedureStep, data)
    asked = answers(step)
    if not asked:
        return data
    own = iter(data.get("outcomes", ()))
    outcomes: list[Step] = []
    for answer in asked:
        said = next(own, {}).get("when") or answer.when.removesuffix(", or not sure")
        said, also = _without_doubt(said)
        one = {"when": said, "go": answer.go}
        one |= {"is": answer.verdict} if answer.verdict else {}
        one |= {"at_most": answer.at_most} if answer.at_most else {}
        one |= {"danger": True} if answer.danger else {}
        outcomes.append(one | ({"claims": list(answer.claims)} if answer.claims else {}))
        if also or (answer.doubt and not doubts(said)):
            outcomes.append({**one, "when": "Not sure"})
    kept = {key: value for key, value in data.items() if key not in WORDS}
    return {**kept, "ask": question(step), "outcomes": outcomes}


def _without_doubt(said: str) -> tuple[str, bool]:
    """Return the answer before "or not sure", and whether that was there: an author may type both as one."""
    first = said.removesuffix(" or not sure").removesuffix(",")
    return first, first != said


def _copied(data: Any) -> Any:
    """Copy plain data; ``copy.deepcopy`` keeps books that plain data has no use for and takes ten times as long."""
    if isinstance(data, dict):
        return {key: _copied(value) for key, value in data.items()}
    return [_copied(each) for each in data] if isinstance(data, list) else data
