"""Rules about the shape of a procedure: every step reachable, every question total, every loop ends."""

from __future__ import annotations

from collections.abc import Iterator

from kbgen.compute.walk.graph import make_graph
from kbgen.compute.walk.outcomes import missing
from kbgen.model.action import End, Measure, Watch
from kbgen.model.entry import Entry
from kbgen.model.procedure import Procedure, ProcedureStep
from kbgen.nearest import one_of
from kbgen.position import Spot
from kbgen.problems import Problem, Related, Severity, error, warning
from kbgen.rules.record import Material, Rule

_WORDS = {
    "yes": "Yes",
    "no": "No",
    "full": "Full",
    "none": "Nothing",
    "some": "In between",
    "not-sure": "Not sure",
}


def _procedures(material: Material) -> Iterator[tuple[Entry, Procedure]]:
    return material.base.of(Procedure)


def _ids_twice(material: Material) -> Iterator[Problem]:
    for entry, procedure in _procedures(material):
        first: dict[str, ProcedureStep] = {}
        for number, step in enumerate(procedure.steps, start=1):
            if not step.id:
                continue
            earlier = first.setdefault(step.id, step)
            if earlier is not step:
                yield error(
                    "step-id-twice",
                    Spot(entry.path, (*step.route, "id")),
                    f"step {number} is called `{step.id}` like a step above it",
                    "Give it another id, and look at what leads here.",
                    Related(Spot(entry.path, (*earlier.route, "id")), "the other step of that name"),
                )


def _unreachable(material: Material) -> Iterator[Problem]:
    for entry, procedure in _procedures(material):
        graph = make_graph(procedure, entry.ref.id)
        if not graph.whole:
            continue
        reachable = graph.reachable
        for index, step in enumerate(procedure.steps):
            # Of several lost steps in a row the first is the cause.
            if index in reachable or (index and index - 1 not in reachable):
                continue
            yield error(
                "step-unreachable",
                Spot(entry.path, (*step.route, "do")),
                f"nothing leads to step {index + 1}",
                "Let an outcome or `go` lead to it, or delete it.",
            )


def _questions(material: Material) -> Iterator[Problem]:
    for entry, procedure in _procedures(material):
        for number, step in enumerate(procedure.steps, start=1):
            spot = Spot(entry.path, (*step.route, "ask" if step.ask else "outcomes"))
            if step.ask and not step.outcomes:
                yield error(
                    "question-without-outcomes",
                    spot,
                    f"step {number} asks and lists no outcome",
                    "List every outcome under `outcomes`, Not sure included, each with the step it leads to.",
                )
            elif step.outcomes and not step.ask:
                yield error(
                    "outcomes-without-question",
                    spot,
                    f"step {number} lists outcomes and asks nothing",
                    "Write the question under `ask`.",
                )


def _totals(material: Material) -> Iterator[Problem]:
    for entry, procedure in _procedures(material):
        for number, step in enumerate(procedure.steps, start=1):
            if not step.outcomes:
                continue
            lacking = missing(step.outcomes, reading=_reads_voltage(step))
            if lacking:
                words = one_of(f"`{_WORDS[each]}`" for each in lacking)
                yield error(
                    "question-not-total",
                    Spot(entry.path, (*step.route, "outcomes")),
                    f"step {number} does not say what follows on {words}",
                    "Add the outcome; when in doubt it leads to the safe side.",
                )


def _reads_voltage(step: ProcedureStep) -> bool:
    action = step.action
    return (isinstance(action, Measure) and action.measure == "volts") or (
        isinstance(action, Watch) and action.watch == "volts"
    )


def _endings(material: Material) -> Iterator[Problem]:
    for entry, procedure in _procedures(material):
        graph = make_graph(procedure, entry.ref.id)
        if not graph.whole:
            continue
        for index in graph.falls_off:
            if index in graph.reachable:
                yield error(
                    "path-without-end",
                    Spot(entry.path, (*procedure.steps[index].route, "do")),
                    f"after step {index + 1} nothing follows, and it does not say how the procedure ends",
                    "Add a step with `end:` that says how it ends, or lead on with `go:`.",
                )


def _loops(material: Material) -> Iterator[Problem]:
    for entry, procedure in _procedures(material):
        graph = make_graph(procedure, entry.ref.id)
        if not graph.whole or graph.falls_off:
            continue
        caught = sorted(graph.reachable - graph.can_end)
        if caught:
            yield error(
                "loop-without-way-out",
                Spot(entry.path, (*procedure.steps[caught[0]].route, "do")),
                f"from step {caught[0] + 1} no way leads to an end",
                "Give one of the questions an outcome that stops: left safe and tagged, or handed over.",
            )


def _unlimited(material: Material) -> Iterator[Problem]:
    for entry, procedure in _procedures(material):
        for step, edges in zip(procedure.steps, make_graph(procedure, entry.ref.id).edges, strict=True):
            for edge in edges:
                if edge.outcome is None or edge.at_most or procedure.steps[edge.target].route > step.route:
                    continue
                yield warning(
                    "loop-without-limit",
                    Spot(entry.path, (*step.outcomes[edge.outcome].route, "go")),
                    f"this leads back up to step {edge.target + 1} as often as it likes",
                    "Say with `at_most` how often it may be taken; then the longest time is known too.",
                )


def _after_end(material: Material) -> Iterator[Problem]:
    for entry, procedure in _procedures(material):
        for number, step in enumerate(procedure.steps, start=1):
            if isinstance(step.action, End) and (step.go or step.outcomes):
                yield error(
                    "step-after-end",
                    Spot(entry.path, (*step.route, "go" if step.go else "outcomes")),
                    f"step {number} ends the procedure and leads on as well",
                    "Take one of the two out.",
                )


_PLAIN = "Plain practice for written work instructions: one start, known ends, no open question."

RULES: tuple[Rule, ...] = (
    Rule(
        name="step-id-twice",
        family="Procedures",
        severity=Severity.ERROR,
        why="Two steps of one name: the reader is sent to the wrong one.",
        before="- id: stop\n  do: Press the stop button.\n- id: stop\n  do: Shut the cock.",
        after="- id: stop\n  do: Press the stop button.\n- id: shut-cock\n  do: Shut the cock.",
        rests_on=_PLAIN,
        check=_ids_twice,
    ),
    Rule(
        name="step-unreachable",
        family="Procedures",
        severity=Severity.ERROR,
        why="Somebody wrote this step for a reason, and nobody will ever be sent to it.",
        before="- do: Note the display.\n  go: finish\n- do: Look into the gauge glass.\n- id: finish\n  do: Close the panel.",
        after="- do: Note the display.\n- do: Look into the gauge glass.\n- id: finish\n  do: Close the panel.",
        rests_on=_PLAIN,
        check=_unreachable,
    ),
    Rule(
        name="question-without-outcomes",
        family="Procedures",
        severity=Severity.ERROR,
        why="The reader answers the question and is told nothing.",
        before="- do: Read X3:5 to N.\n  ask: Does it read full voltage?",
        after="- do: Read X3:5 to N.\n  ask: Does it read full voltage?\n  outcomes:\n"
        "    - {when: Full, go: next-point}\n    - {when: Nothing, go: found}\n"
        "    - {when: In between or not sure, go: repeat-low}",
        rests_on=_PLAIN,
        check=_questions,
    ),
    Rule(
        name="outcomes-without-question",
        family="Procedures",
        severity=Severity.ERROR,
        why="A choice whose question is not written is answered by guessing.",
        before="- do: Look into the glass.\n  outcomes:\n    - {when: 'Yes', go: refill}\n    - {when: 'No', go: stop}\n    - {when: Not sure, go: stop}",
        after="- do: Look into the glass.\n  ask: Does water stand above the lower mark?\n  outcomes:\n    - {when: 'Yes', go: go-on}\n    - {when: 'No', go: stop}\n    - {when: Not sure, go: stop}",
        rests_on=_PLAIN,
    ),
    Rule(
        name="question-not-total",
        family="Procedures",
        severity=Severity.ERROR,
        why="Who gets the one outcome that is not listed stands in front of open plant and improvises.",
        before="ask: Does water stand above the lower mark?\noutcomes:\n  - {when: 'Yes', go: go-on}\n  - {when: 'No', go: stop}",
        after="ask: Does water stand above the lower mark?\noutcomes:\n  - {when: 'Yes', go: go-on}\n  - {when: 'No', go: stop}\n  - {when: Not sure, go: stop}",
        rests_on=_PLAIN,
        check=_totals,
        safety=True,
    ),
    Rule(
        name="path-without-end",
        family="Procedures",
        severity=Severity.ERROR,
        why="The reader does not know in what state to leave the plant.",
        before="- do: Close the panel door.",
        after="- do: Close the panel door.\n- do: Tell the shift lead that the boiler is back.\n  end: returned-to-service",
        rests_on=_PLAIN,
        check=_endings,
        safety=True,
    ),
    Rule(
        name="loop-without-way-out",
        family="Procedures",
        severity=Severity.ERROR,
        why="Whoever is sent round and round in the end jumps something.",
        before="- id: again\n  do: Press RESET.\n  go: again",
        after="- do: Press RESET, once.\n- do: Leave the fuel shut and locked.\n  end: left-safe",
        rests_on=_PLAIN,
        check=_loops,
        safety=True,
    ),
    Rule(
        name="loop-without-limit",
        family="Procedures",
        severity=Severity.WARNING,
        why="A way back up without a number invites one try more, and the longest time stays unknown.",
        before="outcomes:\n  - {when: 'No', go: try-again}",
        after="outcomes:\n  - {when: 'No', go: try-again, at_most: 2}",
        rests_on=_PLAIN,
        check=_unlimited,
    ),
    Rule(
        name="step-after-end",
        family="Procedures",
        severity=Severity.ERROR,
        why="A step that ends and goes on is read as whichever suits.",
        before="- do: Hang the tag.\n  end: left-safe\n  go: restart",
        after="- do: Hang the tag.\n  end: left-safe",
        rests_on=_PLAIN,
        check=_after_end,
    ),
)
