"""Changes that hurt nobody: other words, other order of what hangs on nothing, more looks, longer waits."""

from __future__ import annotations

import re
from collections.abc import Iterator

from tests.bench.control.draft import Draft, Step
from tests.bench.control.kinds import Made, harmless
from tests.bench.control.plant import Page
from tests.bench.control.tools import acts, changed, copy_of, insert, insert_behind

CALM = ("Take your time.", "Stand on dry ground.", "Keep your sleeves buttoned.", "Have your flashlight at hand.")
SYNONYMS = (
    ("Put padlock and tag on", "Hang padlock and tag on"),
    ("Turn the burner switch to", "Set the burner switch to"),
    ("Turn the fan switch to", "Set the fan switch to"),
    ("Turn the heat switch to", "Set the heat switch to"),
    ("Shut the", "Close the"),
    ("Close the panel door", "Shut the panel door"),
    ("Open the panel door", "Swing the panel door open"),
    ("Look at the", "Have a look at the"),
    ("Read the", "Take a look at and read the"),
    ("Write it down.", "Note it in the record."),
    ("Wait until", "Stand by until"),
    ("Watch the", "Keep your eyes on the"),
    ("Call the", "Ring the"),
    ("Tell the", "Let know the"),
    ("Prove the control supply dead", "Prove with the meter that the control supply is dead"),
    ("Put the red probe on", "Set the red probe on"),
    ("Red probe on", "Put the red probe on"),
    ("Leads on", "Put the leads on"),
    ("Switch isolator `Q1` off", "Turn isolator `Q1` to off"),
    ("Switch isolator `Q2` off", "Turn isolator `Q2` to off"),
    ("Switch `Q1` on", "Turn `Q1` to on"),
    ("Switch `Q2` on", "Turn `Q2` to on"),
    ("Leave now.", "Get out now."),
    ("Stop at the door.", "Halt at the door."),
    ("Take your own padlock off", "Remove your own padlock from"),
)
TURNED = {
    "Smell of gas, an alarm, escaping steam or flooding?": "Is the air clean, with no alarm, no steam and no flooding?",
    "Smell of gas or fumes, headache, an alarm?": "Is the air clean, with no fumes, no headache and no alarm?",
    "Smell of gas, chlorine that bites the eyes, an alarm, or flooding?": "Is the air clean and the floor dry, with no alarm?",
    "Smell of gas, an alarm, smoke, a glow or a burning smell?": "Is the air clean, with no alarm, no smoke and no glow?",
    "Wind below 10 m/s, roof dry, no ice, second person below?": "Wind of 10 m/s or more, a wet or icy roof, or nobody below?",
    "Is the sight glass dark?": "Is there light in the sight glass?",
    "Is the sight glass dark now?": "Is there still light in the sight glass?",
    "Is the dot lit again?": "Is the dot dark?",
    "Is the dot lit?": "Is the dot dark?",
    "Are all of them yours, and does nobody else work here?": "Is any of them not yours, or does somebody else work here?",
    "Is water in sight?": "Is the water out of sight?",
    "Is everything back as it was, and every change of a setting written down?": "Is anything not back as it was, or a changed setting not written down?",
    "Is everything back as it was?": "Is anything not back as it was?",
    "Is it dry where you stand?": "Is it wet where you stand?",
    "Is Q1 or Q7 off?": "Are Q1 and Q7 both on?",
    "Is every lock yours, and does no tag forbid the supply?": "Is any lock not yours, or does a tag forbid the supply?",
    "Are all three locked, and are the locks yours?": "Is one of the three unlocked, or a lock not yours?",
    "Are both of you here, and does the bath attendant know?": "Is one of you missing, or does the bath attendant not know?",
    "Are both of you here, and has the shift lead said yes?": "Is one of you missing, or has the shift lead not said yes?",
    "Does the flag stay up?": "Does the flag fall?",
    "Does it stay in?": "Does it come out again?",
    "Is Q2 on and without a lock?": "Is Q2 off or locked?",
    "Is any of them off, shut or locked?": "Are all of them on, open and without a lock?",
    "Is the work finished and everything ready to close?": "Is anything unfinished or not ready to close?",
    "Can you mend it now?": "Must it wait for a part or a person?",
    "Is it below 45 °C?": "Is it 45 °C or more?",
    "Is it below 50 °C?": "Is it 50 °C or more?",
    "Is it below 40 °C?": "Is it 40 °C or more?",
    "Has the code gone?": "Does the code still stand?",
    "Is Q2 off, or the plant cock shut?": "Is Q2 on and the plant cock open?",
    "Is the plug locked?": "Is the plug free?",
    "Is the water at its normal level?": "Is the water below or above its normal level?",
    "Is the colleague here?": "Is the colleague missing?",
    "Does what you see agree with the record?": "Does anything you see differ from the record?",
    "Is it mended, with every wire on its terminal?": "Is it not mended, or a wire off its terminal?",
    "Is any other safety device still to be proved to trip?": "Has every safety device been proved to trip?",
    "Was the gas train opened on this job?": "Was the gas train left closed on this job?",
    "Is nothing of that left from earlier work?": "Is anything of that left from earlier work?",
    "Is the level right and steady?": "Is the level wrong or unsteady?",
}
ASKED = {
    "dead": "Did nothing show on any pair, and did the meter read on the known source both times?",
    "same": "Are they all the same?",
    "gone": "Is it gone?",
    "tight": "Is all of it tight?",
    "seen": "Did you see all of it?",
    "tripped": "Did it trip?",
    "within": "Is it within?",
    "no-pressure": "Is it at zero?",
}


def _some(page: Page) -> list[Step]:
    """Return every third step, others on each page."""
    return page.draft.steps[len(page.id) % 3 :: 3]


def _more_words(step: Step, said: str) -> str:
    return f"{step.data['do'].rstrip()} {said}"


@harmless("A calm word more in the instruction changes no deed")
def calm_word_added(page: Page) -> Iterator[Made]:
    for number, step in enumerate(_some(page)):
        said = CALM[number % len(CALM)]
        yield changed(page, step, f"'{said}' added", do=_more_words(step, said))


@harmless("The same deed in other words")
def same_deed_in_other_words(page: Page) -> Iterator[Made]:
    for step in page.draft:
        for old, new in SYNONYMS:
            if step.data["do"].startswith(old):
                yield changed(page, step, f"'{new}'", do=step.data["do"].replace(old, new, 1))


@harmless("What is expected is said more fully")
def expectation_added(page: Page) -> Iterator[Made]:
    for step in _some(page):
        old = step.data.get("expect", "")
        yield changed(page, step, "expect", expect=f"{old} Nothing strange is to be heard.".strip())


@harmless("A reason is given")
def reason_added(page: Page) -> Iterator[Made]:
    for step in _some(page):
        if "why" not in step.data:
            yield changed(page, step, "why", why="So that the next one can follow what was done")


@harmless("Something more is noted")
def note_added(page: Page) -> Iterator[Made]:
    for step in _some(page):
        if "note_down" not in step.data and step.act != "end":
            yield changed(page, step, "note_down", note_down="Time of day")


@harmless("It may take longer")
def more_minutes(page: Page) -> Iterator[Made]:
    for step in _some(page):
        yield changed(page, step, "minutes", minutes="6 min")


@harmless("Names of steps are nothing to the plant")
def step_renamed(page: Page) -> Iterator[Made]:
    for step in page.draft:
        if step.named and step.key not in page.draft.entered:
            new = page.draft.copy()
            name = f"{step.key}-here"
            new.lead(step.key, name)
            new[step.key].key = name
            own = new[name]
            if own.data.get("next_step") == step.key:
                own.data["next_step"] = name
            yield new, step, f"called {name}"


@harmless("Another name on the tag, everywhere")
def alteration_renamed(page: Page) -> Iterator[Made]:
    for name in sorted({str(step.data["name"]) for step in acts(page, "fit")}):
        new = page.draft.copy()
        for step in new:
            if step.data.get("name") == name:
                step.data["name"] = f"{name}-x"
            if step.is_("undo", name):
                step.data["undo"] = f"{name}-x"
        yield new, name, f"called {name}-x"


def _plain(step: Step) -> bool:
    return not step.ways and not step.data.get("cautions")


@harmless("Neither hangs on the other")
def independent_neighbours_changed_round(page: Page) -> Iterator[Made]:
    for step in page.draft:
        if not _plain(step) or not step.next:
            continue
        then = page.draft[step.next]
        alone = len(page.draft.before(then.key)) == 1 and then.next and _plain(then)
        same = step.act == then.act and step.act in ("close_cover", "inspect", "cap", "shut_valve", "record")
        if alone and same and then.key not in page.draft.entered:
            yield page.draft.behind(step.key, then.key), step, f"changed round with {then.key}"


@harmless("Two sources are locked off in the other order, each whole")
def pairs_of_isolating_changed_round(page: Page) -> Iterator[Made]:
    for step in acts(page, "isolate"):
        run = page.draft.run(step.key)[:4]
        four = [page.draft[key] for key in run]
        kinds = [each.act for each in four]
        alone = all(len(page.draft.before(each.key)) == 1 for each in four[1:])
        fans = {page.plant.kind(str(each.value)) for each in four} <= {"electric", "foreign-fed"}
        if kinds == ["isolate", "lock", "isolate", "lock"] and alone and fans and all(map(_plain, four)) and four[3].next:
            new = page.draft.copy()
            for key in (four[1].key, four[0].key):
                new.put_behind(four[3].key, new.take_out(key, name_stays=False))
            if not {each.key for each in four} & page.draft.entered:
                yield new, step, f"behind {four[2].value}"


@harmless("Water or steam comes back before or after the other; nothing fires yet")
def pairs_of_restoring_changed_round(page: Page) -> Iterator[Made]:
    for step in acts(page, "unlock"):
        four = [page.draft[key] for key in page.draft.run(step.key)[:4]]
        kinds = [each.act for each in four]
        quiet = {page.plant.kind(str(each.value)) for each in four} <= {"water", "pressure", "foreign-fed"}
        alone = all(len(page.draft.before(each.key)) == 1 for each in four[1:])
        if kinds == ["unlock", "restore", "unlock", "restore"] and quiet and alone and all(map(_plain, four)):
            new = page.draft.copy()
            for key in (four[1].key, four[0].key):
                new.put_behind(four[3].key, new.take_out(key, name_stays=False))
            yield new, step, f"behind {four[2].value}"


@harmless("The proof is asked in words; each answer leads where its verdict led")
def verdict_asked_in_words(page: Page) -> Iterator[Made]:
    for step in page.draft:
        bare = step.ways and all("when" not in way.data for way in step.ways)
        good = step.ways[0].word if step.ways else ""
        if bare and good in ASKED and len(step.ways) == 2 and "ask" not in step.data:
            for unsure in (False, True):
                new = page.draft.copy()
                own = new[step.key]
                own.data["ask"] = ASKED[good]
                own.ways[0].data["when"], own.ways[1].data["when"] = "Yes", "No"
                if unsure:
                    last = own.ways[1]
                    own.ways.append(type(last)(last.word, last.to, {"when": "Not sure"}))
                yield new, step, "asked in words" + " with not sure" * unsure


@harmless("The question is turned round, and its answers with it")
def question_turned_round(page: Page) -> Iterator[Made]:
    for step in page.draft:
        asked = TURNED.get(str(step.data.get("ask")))
        said = [str(way.data.get("when")) for way in step.ways]
        if asked and said[:2] in (["Yes", "No"], ["No", "Yes"]):
            new = page.draft.copy()
            new[step.key].data["ask"] = asked
            first, second = new[step.key].ways[:2]
            first.data["when"], second.data["when"] = second.data["when"], first.data["when"]
            yield new, step, asked


@harmless("The answers stand in another order")
def answers_in_another_order(page: Page) -> Iterator[Made]:
    for step in page.draft:
        if len(step.ways) > 1 and all("when" in way.data for way in step.ways):
            new = page.draft.copy()
            new[step.key].ways.reverse()
            yield new, step, "answers reversed"


@harmless("No and not sure lead to the same step anyhow")
def no_and_not_sure_in_one(page: Page) -> Iterator[Made]:
    for step in page.draft:
        said = {str(way.data.get("when")): way for way in step.ways}
        one, two = said.get("No"), said.get("Not sure")
        if one and two and (one.to, one.word) == (two.to, two.word) and "Yes" in said:
            new = page.draft.copy()
            new[step.key].ways = [way for way in new[step.key].ways if way.data.get("when") != "Not sure"]
            next(way for way in new[step.key].ways if way.data["when"] == "No").data["when"] = "No or not sure"
            yield new, step, "no or not sure"


@harmless("One look more")
def inspect_added(page: Page) -> Iterator[Made]:
    for number, step in enumerate(_some(page)):
        part = ("Floor and walls", "Lamps of the panel", "Clock on the wall")[number % 3]
        yield insert(page, step, f"inspect {part} before it", {"do": f"Look at it: {part.lower()}.", "inspect": part})


@harmless("A line for the record, without a deed")
def line_for_the_record_added(page: Page) -> Iterator[Made]:
    for step in _some(page):
        yield insert(page, step, "a note before it", {"do": "Write the time of day in the record.", "note_down": "Time"})


@harmless("One telling more")
def people_told_once_more(page: Page) -> Iterator[Made]:
    for step in acts(page, "inform"):
        yield insert(page, step, "told twice", dict(step.data))


@harmless("Done or looked at twice, nothing changes between")
def done_twice(page: Page) -> Iterator[Made]:
    twice = ("record", "identify", "prove_dead", "prove_gone", "shut_valve", "close_cover", "stop_demand", "lock", "inspect", "leak_check")
    for step in acts(page, *twice):
        if step.on and (not step.ways or all("at_most" not in way.data for way in step.ways)):
            new = page.draft.copy()
            new.put_behind(step.key, copy_of(step, new))
            yield new, step, "done twice"


@harmless("The same reading is taken a second time before it counts")
def second_reading(page: Page) -> Iterator[Made]:
    for step in acts(page, "measure"):
        if step.ways and step.on and not any("at_most" in way.data for way in step.ways):
            new = page.draft.copy()
            second = copy_of(step, new)
            new.put_behind(step.key, second)
            yield new, step, "read twice"


@harmless("Longer is as safe")
def longer(page: Page) -> Iterator[Made]:
    for step in acts(page, "wait", "watch"):
        key = "wait" if step.act == "wait" else "for"
        found = re.fullmatch(r"(\d+) (s|min|h)", str(step.data.get(key, "")))
        if found and step.value not in ("volts", "display"):
            time = f"{int(found[1]) + 2} {found[2]}"
            yield changed(page, step, f"{key} {time}", **{key: time})


@harmless("Shorter is as safe where a button is held")
def held_shorter(page: Page) -> Iterator[Made]:
    for step in acts(page, "hold"):
        yield changed(page, step, "3 min", for_="3 min")


@harmless("Fewer tries")
def fewer_tries(page: Page) -> Iterator[Made]:
    for step in page.draft:
        for number, way in enumerate(step.ways):
            if str(way.data.get("at_most", "1")) not in ("1", ""):
                new = page.draft.copy()
                new[step.key].ways[number].data["at_most"] = "1"
                yield new, step, "at most once"


@harmless("The same things in another order, or one more")
def list_in_another_order(page: Page) -> Iterator[Made]:
    for step in acts(page, "leak_check", "record", "unclip", "prove_dead"):
        key = "between" if step.act == "prove_dead" else step.act
        if len(step.data.get(key, ())) > 1:
            yield changed(page, step, f"{key} reversed", **{key: list(reversed(step.data[key]))})
    for step in acts(page, "record"):
        if "settings" not in step.value:
            yield changed(page, step, "settings too", record=[*step.value, "settings"])


@harmless("Said where it goes on, which is where it goes anyhow")
def branch_moved_to_the_end(page: Page) -> Iterator[Made]:
    for number, step in enumerate(page.draft.steps[1:], start=1):
        ends = step.act in ("end", "hand_over") and not step.next and number < len(page.draft.steps) - 1
        if ends:
            new = page.draft.copy()
            moved = new[step.key]
            new.steps.remove(moved)
            new.steps.append(moved)
            yield new, step, "stands last on the page"


@harmless("More is said about the page")
def page_says_more(page: Page) -> Iterator[Made]:
    says: dict[str, object] = {
        "aliases": [*page.data.get("aliases", ()), f"the page {page.id} again"],
        "tools": [*page.data.get("tools", ()), "Flashlight"],
        "close_up": [*page.data.get("close_up", ()), "The record is signed"],
        "permission": "The people of the house know of it",
        "second_person": "true",
        "purpose": f"{page.data.get('purpose', '')}\n\nRead it once before you begin.".strip(),
        "title": f"{page.data['title']}, step by step",
        "meter": "CAT III 300 V or better, fused leads, and a proving unit with a fresh battery",
    }
    for key, value in says.items():
        new: Draft = page.draft.copy()
        new.data[key] = value
        yield new, key, key
