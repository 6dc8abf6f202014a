"""What is not changed stays as it is typed: comments, order, quotes, breaks, line ends."""

from __future__ import annotations

import random
import re

import pytest

from kbgen.load.tree import Tree
from kbgen.model.verdicts import WORDS
from tests.unit.migrate.pages import left, migrated, step


def test_comments_beside_what_goes_keep_their_place():
    old = """\
        prove_dead: control  # Q2
        # why two
        ask: Is it dead?  # the usual
        minutes: 3 min
        outcomes:  # both
          # good
          - {when: Yes, go: lift}  # on

          - {when: No, go: safe}
          # nobody is sure
          - {when: Not sure, go: safe}  # out
        # end
        why: It was live.
        """
    assert step(old) == (
        "prove_dead: control  # Q2\n"
        "# why two\n"
        "# the usual\n"
        "minutes: 3 min\n"
        "# both\n"
        "  # good\n"
        "dead: lift  # on\n"
        "\n"
        "live: safe\n"
        "  # nobody is sure\n"
        "  # out\n"
        "# end\n"
        "why: It was live.\n"
    )


def test_order_and_quotes_stay():
    old = 'prove_trip: water\nask: Dark?\noutcomes:\n- {go: "on", when: \'Yes\'}\n- { when : No , go : "stop" }\n- {go: "stop", "when": "Not sure"}\n'
    assert step(old) == (
        "prove_trip: water\nask: Dark?\noutcomes:\n- {tripped: \"on\", when: 'Yes'}\n"
        '- { when : No , not-tripped : "stop" }\n'
    )
    assert (
        step('check_real: water\noutcomes:\n- {"when": Yes, "go": a}\n- {when: No or not, go: b}\n')
        is not None
    )


def test_outcomes_as_blocks():
    old = """\
        measure: volts
        ask: What does it read after 10 s?
        outcomes:
          - when: Full
            go: a  # made
          - is: none
            when: 0 V
            go: b
          - when: 5 V
            is: some  # weak
            go: c
          -   when: Not sure
              go: c
        """
    assert step(old) == (
        "measure: volts\nask: What does it read after 10 s?\noutcomes:\n"
        "  - when: Full\n    full: a  # made\n"
        "  - when: 0 V\n    none: b\n"
        "  - when: 5 V\n    # weak\n    some: c\n"
    )


def test_blocks_that_say_nothing_more_shrink():
    old = "identify: Plates\nask: |\n  Are they all\n  the same?\noutcomes:\n  - when: Yes\n    go: a\n  - when: No\n    go: b  # wrong\n  - when: Not sure\n    go: b\n"
    assert step(old) == "identify: Plates\nsame: a\ndifferent: b  # wrong\n"


def test_a_comment_inside_what_would_go_keeps_it():
    inside = "identify: Plates\nask: Is it the same?\noutcomes:\n  - when: Yes\n    # the good one\n    go: a\n  - {when: No, go: b}\n  - when: Not sure  # ask\n    go: b\n"
    assert step(inside) == (
        "identify: Plates\nask: Is it the same?\noutcomes:\n  - when: Yes\n    # the good one\n    same: a\n"
        "  - {when: No, different: b}\n  - when: Not sure  # ask\n    different: b\n"
    )
    folded = "prove_dead: control\nask: >  # the usual\n  Is it dead?\noutcomes: [{when: Yes, go: a}, {when: No or not sure, go: b}]\n"
    assert step(folded) == folded.replace("Yes, go", "Yes, dead").replace("sure, go", "sure, live")


def test_comments_inside_brackets_and_behind_a_first_field_keep_what_they_stand_in():
    brackets = "prove_dead: q\nask: Is it dead?\noutcomes: [\n  # good\n  {when: Yes, go: a},\n  {when: No or not sure, go: b}]\n"
    assert step(brackets) == brackets.replace("Yes, go", "Yes, dead").replace("sure, go", "sure, live")
    first = "inspect: G\nask: What?\noutcomes:\n  - is: other\n    # red\n    when: Red\n    go: a\n  - {when: B, go: b}\n"
    assert [line for line, _ in left(first)] == [4]


def test_folded_questions_end_where_they_end():
    old = "prove_dead: control\nask: >\n  Is it\n  dead?\n\n# next\noutcomes:\n  - {when: Yes, go: a}\n  - {when: No, go: b}\n  - {when: Not sure, go: b}\nminutes: 1 min\n"
    assert step(old) == "prove_dead: control\n\n# next\ndead: a\nlive: b\nminutes: 1 min\n"
    plain = old.replace(">\n  Is it\n  dead?", "Is it\n  dead?")
    assert step(plain) == step(old)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        (
            "outcomes: [{when: Yes, go: a}, {when: No, go: b}, {when: Not sure, go: b}]",
            "outcomes: [{when: Yes, tripped: a}, {when: No, not-tripped: b}]",
        ),
        (
            "outcomes: [{when: Not sure, go: b}, {when: Yes, go: a}, {when: No, go: b}]  # all",
            "outcomes: [{when: Yes, tripped: a}, {when: No, not-tripped: b}]  # all",
        ),
        (
            "outcomes: [\n  {when: Yes, go: a},  # good\n  {when: Not sure, go: b},\n  {when: No,\n   is: no,\n   go: b},\n]",
            "outcomes: [\n  {when: Yes, tripped: a},  # good\n  {when: No,\n   not-tripped: b},\n]",
        ),
        (
            "outcomes: [\n  {when: Yes, go: a}, {when: No, go: b},  # bad, and so on\n  {when: Not sure, go: b}\n]",
            "outcomes: [\n  {when: Yes, tripped: a}, {when: No, not-tripped: b},  # bad, and so on\n]",
        ),
        (
            "outcomes: [{when: Yes, go: a}, {when: No, go: b},\n  {when: Not sure, # ask\n   go: b}]",
            "outcomes: [{when: Yes, tripped: a}, {when: No, not-tripped: b},\n  {when: Not sure, # ask\n   not-tripped: b}]",
        ),
        (
            "outcomes:\n  - {when: Yes, go: a, is: yes}\n  - {is: no, when: 'No, # 1', go: b}\n  - {when: Not sure, go: b}",
            "outcomes:\n  - {when: Yes, tripped: a}\n  - {when: 'No, # 1', not-tripped: b}",
        ),
    ],
)
def test_outcomes_in_brackets(old, new):
    assert step(f"prove_trip: water\nask: Dark?\n{old}\n") == f"prove_trip: water\nask: Dark?\n{new}\n"


def test_brackets_that_say_nothing_more_shrink_to_lines():
    old = "prove_dead: control\nask: Is it dead?\noutcomes: [{when: Yes, go: a},\n  {when: No or not sure, go: b}]  # both\nwhy: So.\n"
    assert step(old) == "prove_dead: control\ndead: a\nlive: b  # both\nwhy: So.\n"


def test_a_step_in_brackets_stays_in_brackets():
    old = "steps:\n  - {id: x, do: 'Prove, it.', prove_dead: q, ask: 'Is it dead?', outcomes: [{when: Yes, go: a}, {when: No or not sure, go: b}]} # last\n"
    new, done = migrated(old)
    assert new == "steps:\n  - {id: x, do: 'Prove, it.', prove_dead: q, dead: a, live: b} # last\n"
    assert [(each.line, each.kind) for each in done.changes] == [(2, "shrunk")]
    last = "steps: [{do: Prove it., prove_dead: q, outcomes: [{when: No or not sure, go: b}, {when: Yes, go: a}], ask: Is it dead?}]\n"
    assert migrated(last)[0] == "steps: [{do: Prove it., prove_dead: q, live: b, dead: a}]\n"


PAGE = """\
# head
title: "T"   \r
steps:\r
  - do: é 😀 ☃  # 😀
    prove_trip: water\t
    ask: Dark?
    outcomes:   \r
      - {when: Yes, go: a}\r
      - {when: No, go: b}
      - {when: Not sure, go: b}\r
\r
  - {do: A., inspect: Glass, ask: What?, outcomes: [{when: R, is: other, go: a}, {when: B, go: b}]}"""


def test_line_ends_blanks_and_wide_signs_stay():
    expected = (
        PAGE.replace("Yes, go", "Yes, tripped")
        .replace("No, go", "No, not-tripped")
        .replace("      - {when: Not sure, go: b}\r\n", "")
        .replace("is: other, ", "")
    )
    assert migrated(PAGE)[0] == expected


def test_a_file_with_crlf_throughout_gets_no_other_line_ends():
    old = "steps:\r\n  - do: A.\r\n    identify: P\r\n    ask: Is it the same?\r\n    outcomes: [{when: Yes, go: a}, {when: No or not sure, go: b}]\r\n"
    new, _ = migrated(old)
    assert new == "steps:\r\n  - do: A.\r\n    identify: P\r\n    same: a\r\n    different: b\r\n"


def _made(pick: random.Random) -> str:
    """Write a page of steps, typed in every way."""
    heads = [
        "prove_dead: q",
        "measure: volts",
        "measure: ohms",
        "observe: purge",
        "check_real: w",
        "inspect: G",
    ]
    asks = [
        "Is it dead?",
        "What does the meter read?",
        "'Is it: so?'",
        ">\n      Is it\n      dead?\n",
        "Is it\n      dead?",
    ]
    whens = [
        "Yes",
        "No",
        "Not sure",
        "Full",
        "None",
        "In between",
        "No or not sure",
        "'A, # b'",
        '"Yes, 5 V"',
    ]
    lines = ["title: T", "steps:"]
    for _ in range(pick.randint(1, 4)):
        lines += ["  - do: Do it." + pick.choice(["", "  # c1"]), f"    {pick.choice(heads)}"]
        if pick.random() < 0.9:
            lines.append(f"    ask: {pick.choice(asks)}" + pick.choice(["", "  "]))
        items = []
        for when in pick.sample(whens, pick.randint(2, 4)):
            fields = [f"when: {when}", f"go: {pick.choice(['a', 'b', 'on'])}"]
            if pick.random() < 0.3:
                fields.append(
                    f"is: {pick.choice(['yes', 'no', 'full', 'none', 'some', 'other', 'not-sure'])}"
                )
            if pick.random() < 0.1:
                fields.append("at_most: 2")
            pick.shuffle(fields)
            items.append(fields)
        style = pick.randint(0, 2)
        if style == 0:
            gap = pick.choice([", ", ",\n       ", " ,  # c2\n      "])
            lines.append(f"    outcomes: [{gap.join('{' + ', '.join(each) + '}' for each in items)}]")
        else:
            lines.append("    outcomes:" + pick.choice(["", "  # c3"]))
            for each in items:
                if pick.random() < 0.2:
                    lines.append("      # c4")
                if style == 1:
                    lines.append("      - {" + ", ".join(each) + "}" + pick.choice(["", "  # c5"]))
                else:
                    lines += [
                        f"      {'  ' if at else '- '}{one}" + pick.choice(["", "  # c6"])
                        for at, one in enumerate(each)
                    ]
        if pick.random() < 0.3:
            lines.append("    why: So.")
    return pick.choice(["\n", "\r\n"]).join(lines) + pick.choice(["", "\n"])


@pytest.mark.parametrize("seed", range(300))
def test_any_page_keeps_its_comments_reads_as_yaml_and_changes_once(seed):
    old = _made(random.Random(seed))
    assert not Tree(old).faults
    new, done = migrated(old)
    assert not Tree(new).faults
    assert re.findall(r"# c\d", new) == re.findall(r"# c\d", old)
    assert not any("could not be changed" in each.says for each in done.left)
    again, told = migrated(new)
    assert again == new
    assert not told.changes
    assert told.left == done.left
    assert [_targets(each) for each in Tree(new).data["steps"]] == [
        _targets(each) for each in Tree(old).data["steps"]
    ]


def _targets(step):
    """Return every step that a step leads to."""
    words = ("go", *WORDS)
    return {each[word] for each in (step, *step.get("outcomes", ())) for word in words if word in each}
