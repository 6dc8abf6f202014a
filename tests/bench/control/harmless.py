"""Changes that hurt nobody: other words, other order of what hangs on nothing, more looks, longer waits."""

from __future__ import annotations

from collections.abc import Iterator

from tests.bench.control.draft import Draft, Step
from tests.bench.control.kinds import Made, harmless
from tests.bench.control.plant import Page
from tests.bench.control.tools import acts, changed, every_third

CALM = (
    "Take your time.",
    "Stand on dry ground.",
    "Keep your sleeves buttoned.",
    "Have your flashlight at hand.",
)
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


def _more_words(step: Step, said: str) -> str:
    return f"{step.data['do'].rstrip()} {said}"


@harmless("A calm word more in the instruction changes no deed")
def calm_word_added(page: Page) -> Iterator[Made]:
    for number, step in enumerate(every_third(page)):
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
    for step in every_third(page):
        old = step.data.get("expect", "")
        yield changed(page, step, "expect", expect=f"{old} Nothing strange is to be heard.".strip())


@harmless("A reason is given")
def reason_added(page: Page) -> Iterator[Made]:
    for step in every_third(page):
        if "why" not in step.data:
            yield changed(page, step, "why", why="So that the next one can follow what was done")


@harmless("Something more is noted")
def note_added(page: Page) -> Iterator[Made]:
    for step in every_third(page):
        if "note_down" not in step.data and step.act != "end":
            yield changed(page, step, "note_down", note_down="Time of day")


@harmless("It may take longer")
def more_minutes(page: Page) -> Iterator[Made]:
    for step in every_third(page):
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
    # A page that is done by another, or sent to with it in, is written out there under the old name.
    others = [step for other in page.shop.pages.values() if other is not page for step in other.draft]
    elsewhere = {str(step.data.get("name", step.data.get("undo", ""))) for step in others}
    for name in sorted({str(step.data["name"]) for step in acts(page, "fit")} - elsewhere):
        new = page.draft.copy()
        for step in new:
            if step.data.get("name") == name:
                step.data["name"] = f"{name}-x"
            if step.is_("undo", name):
                step.data["undo"] = f"{name}-x"
        yield new, name, f"called {name}-x"


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
