"""Rules about the shape of a procedure: every step reachable, every question total, every loop ends."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from kbgen.compute.walk.outcomes import missing
from kbgen.model.action import End, Fit, HandOver, Reset, StartDemand
from kbgen.model.answers import answers, words_for
from kbgen.model.procedure import ProcedureStep
from kbgen.nearest import one_of
from kbgen.position import Spot
from kbgen.problems import Problem, Related
from kbgen.rule import Family
from kbgen.rules.material import Check, Material

PROCEDURES = Family(
    "Procedures",
    "Plain practice for written work instructions: one start, known ends, no open question.",
    "The steps as typed, and where each of them leads.",
    follows_names=True,
)


STEP_ID_TWICE = PROCEDURES.error(
    "step-id-twice",
    "Two steps of one name: the reader is sent to the wrong one.",
    "- id: stop\n  do: Press the stop button.\n- id: stop\n  do: Shut the cock.",
    "- id: stop\n  do: Press the stop button.\n- id: shut-cock\n  do: Shut the cock.",
)


def _ids_twice(material: Material) -> Iterator[Problem]:
    for entry, procedure in material.pages():
        first: dict[str, ProcedureStep] = {}
        for number, step in enumerate(procedure.steps, start=1):
            if not step.id:
                continue
            earlier = first.setdefault(step.id, step)
            if earlier is not step:
                yield STEP_ID_TWICE.at(
                    Spot(entry.path, (*step.route, "id")),
                    f"step {number} is called `{step.id}` like a step above it",
                    "Give it another id, and look at what leads here.",
                    Related(Spot(entry.path, (*earlier.route, "id")), "the other step of that name"),
                )


STEP_UNREACHABLE = PROCEDURES.error(
    "step-unreachable",
    "Somebody wrote this step for a reason, and nobody will ever be sent to it.",
    "- do: Note the display.\n  go: finish\n- do: Look into the gauge glass.\n"
    "- id: finish\n  do: Close the panel.",
    "- do: Note the display.\n- do: Look into the gauge glass.\n- id: finish\n  do: Close the panel.",
)


def _unreachable(material: Material) -> Iterator[Problem]:
    for entry, procedure in material.pages():
        graph = material.graph(entry, procedure)
        if not graph.whole:
            continue
        reachable = graph.reachable
        for index, step in enumerate(procedure.steps):
            # Of several lost steps in a row the first is the cause.
            if index in reachable or (index and index - 1 not in reachable):
                continue
            yield STEP_UNREACHABLE.at(
                Spot(entry.path, (*step.route, "do")),
                f"nothing leads to step {index + 1}",
                "Let an outcome or `go` lead to it, or delete it.",
            )


QUESTION_WITHOUT_OUTCOMES = PROCEDURES.error(
    "question-without-outcomes",
    "The reader answers the question and is told nothing.",
    "- do: Read X3:5 to N.\n  ask: Does it read full voltage?",
    "- do: Read X3:5 to N.\n  ask: Does it read full voltage?\n  outcomes:\n"
    "    - {when: Full, go: next-point}\n    - {when: Nothing, go: found}\n"
    "    - {when: In between or not sure, go: repeat-low}",
)
OUTCOMES_WITHOUT_QUESTION = PROCEDURES.error(
    "outcomes-without-question",
    "A choice whose question is not written is answered by guessing.",
    "- do: Look into the glass.\n  outcomes:\n    - {when: 'Yes', go: refill}\n"
    "    - {when: 'No', go: stop}\n    - {when: Not sure, go: stop}",
    "- do: Look into the glass.\n  ask: Does water stand above the lower mark?\n  outcomes:\n"
    "    - {when: 'Yes', go: go-on}\n    - {when: 'No', go: stop}\n    - {when: Not sure, go: stop}",
)


def _questions(material: Material) -> Iterator[Problem]:
    for entry, procedure in material.pages():
        for number, step in enumerate(procedure.steps, start=1):
            spot = Spot(entry.path, (*step.route, "ask" if step.ask else "outcomes"))
            if step.ask and not step.outcomes and not step.ways:
                yield QUESTION_WITHOUT_OUTCOMES.at(
                    spot,
                    f"step {number} asks and lists no outcome",
                    "List every outcome under `outcomes`, Not sure included, each with the step it leads to.",
                )
            elif step.outcomes and not step.ask:
                yield OUTCOMES_WITHOUT_QUESTION.at(
                    spot, f"step {number} lists outcomes and asks nothing", "Write the question under `ask`."
                )


QUESTION_NOT_TOTAL = PROCEDURES.error(
    "question-not-total",
    "Who gets the one outcome that is not listed stands in front of open plant and improvises.",
    "ask: Does water stand above the lower mark?\noutcomes:\n  - {when: 'Yes', go: go-on}\n"
    "  - {when: 'No', go: stop}",
    "ask: Does water stand above the lower mark?\noutcomes:\n  - {when: 'Yes', go: go-on}\n"
    "  - {when: 'No', go: stop}\n  - {when: Not sure, go: stop}",
    safety=True,
)


def _totals(material: Material) -> Iterator[Problem]:
    for entry, procedure in material.pages():
        for number, step in enumerate(procedure.steps, start=1):
            asked = answers(step)
            lacking = missing(asked, words_for(step)) if asked else []
            if lacking:
                words = one_of(f"`{each}`" for each in lacking)
                yield QUESTION_NOT_TOTAL.at(
                    Spot(entry.path, (*step.route, "outcomes" if step.outcomes else asked[0].verdict)),
                    f"step {number} does not say what follows on {words}",
                    "Add the outcome; when in doubt it leads to the safe side.",
                )


PATH_WITHOUT_END = PROCEDURES.error(
    "path-without-end",
    "The reader does not know in what state to leave the plant.",
    "- do: Close the panel door.",
    "- do: Close the panel door.\n"
    "- do: Tell the shift lead that the boiler is back.\n  end: returned-to-service",
    safety=True,
)


def _endings(material: Material) -> Iterator[Problem]:
    for entry, procedure in material.pages():
        graph = material.graph(entry, procedure)
        if not graph.whole:
            continue
        for index in graph.falls_off:
            if index in graph.reachable:
                yield PATH_WITHOUT_END.at(
                    Spot(entry.path, (*procedure.steps[index].route, "do")),
                    f"after step {index + 1} nothing follows, and it does not say how the procedure ends",
                    "Add a step with `end:` that says how it ends, or lead on with `go:`.",
                )


LOOP_WITHOUT_WAY_OUT = PROCEDURES.error(
    "loop-without-way-out",
    "Whoever is sent round and round in the end jumps something.",
    "- id: again\n  do: Press RESET.\n  go: again",
    "- do: Press RESET, once.\n- do: Leave the fuel shut and locked.\n  end: left-safe",
    safety=True,
)


def _loops(material: Material) -> Iterator[Problem]:
    for entry, procedure in material.pages():
        graph = material.graph(entry, procedure)
        if not graph.whole or graph.falls_off:
            continue
        caught = sorted(graph.reachable - graph.can_end)
        if caught:
            yield LOOP_WITHOUT_WAY_OUT.at(
                Spot(entry.path, (*procedure.steps[caught[0]].route, "do")),
                f"from step {caught[0] + 1} no way leads to an end",
                "Give one of the questions an outcome that stops: left safe and tagged, or handed over.",
            )


LOOP_WITHOUT_LIMIT = PROCEDURES.warning(
    "loop-without-limit",
    "A way back up without a number invites one try more, and the longest time stays unknown.",
    "outcomes:\n  - {when: 'No', go: try-again}",
    "outcomes:\n  - {when: 'No', go: try-again, at_most: 2}",
)


def _unlimited(material: Material) -> Iterator[Problem]:
    for entry, procedure in material.pages():
        for step, edges in zip(procedure.steps, material.graph(entry, procedure).edges, strict=True):
            for edge in edges:
                if edge.answer is None or edge.at_most or procedure.steps[edge.target].route > step.route:
                    continue
                yield LOOP_WITHOUT_LIMIT.at(
                    Spot(entry.path, answers(step)[edge.answer].route),
                    f"this leads back up to step {edge.target + 1} as often as it likes",
                    "Say with `at_most` how often it may be taken; then the longest time is known too.",
                )


LOOP_STARTS_AGAIN = PROCEDURES.on(
    "Burner safeguard standards: limited trials for ignition; every try leaves gas in the furnace."
).error(
    "loop-starts-again",
    "Start after start, each with gas that did not light: the one that lights at last lights all of it.",
    "- id: try\n  do: Start.\n  start_demand: Burner on\n- ask: Did it light?\n  outcomes:\n    - {when: 'No', go: try}",
    "- id: try\n  do: Start.\n  start_demand: Burner on\n- ask: Did it light?\n  outcomes:\n"
    "    - {when: 'No', go: try, at_most: 2}",
    rests_on="The starts on a loop, and `at_most` of the way back.",
    safety=True,
)


def _started_again(material: Material) -> Iterator[Problem]:
    """Yield starts, resets and alterations that a loop repeats oftener than the shop lets it."""
    most = material.base.shop.most_starts
    for entry, procedure in material.pages():
        graph = material.graph(entry, procedure)
        # A way that may be taken seldom enough ends the loop; a colleague who takes over begins a visit.
        free = replace(
            graph,
            edges=tuple(
                ()
                if isinstance(step.action, HandOver)
                else tuple(edge for edge in edges if not 0 < edge.at_most <= most)
                for step, edges in zip(procedure.steps, graph.edges, strict=True)
            ),
        )
        again = (index for index in sorted(graph.reachable) if free.comes_back(index))
        found = next(
            (i for i in again if isinstance(procedure.steps[i].action, StartDemand | Reset | Fit)), None
        )
        if found is not None:
            yield LOOP_STARTS_AGAIN.at(
                Spot(entry.path, (*procedure.steps[found].route, "do")),
                f"a loop leads back to step {found + 1}, which starts, resets or alters the plant once more every time",
                f"Give the way back `at_most`, {most} at the highest.",
            )


STEP_AFTER_END = PROCEDURES.error(
    "step-after-end",
    "A step that ends and goes on is read as whichever suits.",
    "- do: Hang the tag.\n  end: left-safe\n  go: restart",
    "- do: Hang the tag.\n  end: left-safe",
)


def _after_end(material: Material) -> Iterator[Problem]:
    for entry, procedure in material.pages():
        for number, step in enumerate(procedure.steps, start=1):
            if isinstance(step.action, End) and (step.go or step.outcomes):
                yield STEP_AFTER_END.at(
                    Spot(entry.path, (*step.route, "go" if step.go else "outcomes")),
                    f"step {number} ends the procedure and leads on as well",
                    "Take one of the two out.",
                )


PAGE_CHECKS: tuple[Check, ...] = (
    _ids_twice,
    _unreachable,
    _questions,
    _totals,
    _endings,
    _loops,
    _unlimited,
    _started_again,
    _after_end,
)
