"""Every rule, in one explicit list; what is not listed here does not exist."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from kbgen import load
from kbgen.ahead import ahead
from kbgen.compose.rules import RULES as ROUTINE_RULES
from kbgen.compute.walk import (
    alterations,
    altered,
    at_the_door,
    deciding,
    energies,
    firing,
    found_live,
    gas,
    going_on,
    hands,
    in_service,
    known_source,
    leaving,
    left_by_others,
    limits,
    near,
    ohms,
    readings,
    resets,
    supply,
)
from kbgen.compute.walk.explore import SENT_INTO_THE_MIDDLE
from kbgen.link import link, references
from kbgen.link.base import KnowledgeBase
from kbgen.link.kept import kept
from kbgen.load import characters, damaged, fault, letters, sheet, stops, torn, tree, values
from kbgen.load import names as file_names
from kbgen.load.discover import (
    MISPLACED_FILE,
    MISPLACED_FOLDER,
    NO_KNOWLEDGE_BASE,
    PHOTOS,
    SETTINGS,
    SETTINGS_NAME,
    SYMBOLIC_LINK,
    UNKNOWN_FOLDER,
    UNREADABLE_FILE,
)
from kbgen.load.scan import SECOND_DOCUMENT, YAML_DIRECTIVE
from kbgen.model.head import Acceptance, Signature
from kbgen.nearest import nearest
from kbgen.position import Spot
from kbgen.problems import Problem, Severity
from kbgen.rule import Family, Rule
from kbgen.rules import (
    age,
    circuit_parts,
    circuit_plant,
    circuit_values,
    circuits,
    contradictions,
    coverage,
    feeding,
    handling,
    language,
    left_over,
    links,
    machines,
    onward,
    pairs,
    photos,
    plant,
    plant_figures,
    printing,
    privacy,
    procedures,
    proofs,
    public,
    regions,
    resting,
    safety,
    sample,
    short,
    signed,
    style,
    verdicts,
    ways,
)
from kbgen.rules.material import Check, EntryCheck, Material
from kbgen.rules.words import beside, judge
from kbgen.rules.words import check as words
from kbgen.schemacheck import rules as fields

ACCEPTANCES = Family(
    "Acceptances",
    "An exception is written where it applies, with a reason and a name, and is counted.",
    "The acceptances of the entry, its review, and the problems found in it.",
)

ACCEPT_UNKNOWN_RULE = ACCEPTANCES.error(
    "accept-unknown-rule",
    "A misspelt acceptance accepts nothing and looks as if it did.",
    "accept:\n  - {rule: symptom-without-lookalike, reason: Nothing looks like it., by: MK}",
    "accept:\n  - {rule: symptom-without-look-alike, reason: Nothing looks like it., by: MK}",
)
ACCEPT_REFUSED = ACCEPTANCES.error(
    "accept-refused",
    "What can hurt somebody is mended, not signed for.",
    "accept:\n  - {rule: alteration-left, reason: We always do it., by: MK}",
    "# the jumper is taken out on every way out",
    safety=True,
)
ACCEPT_UNUSED = ACCEPTANCES.warning(
    "accept-unused",
    "An acceptance that outlives its reason hides the next real warning.",
    "accept:\n  - {rule: symptom-without-look-alike, reason: Nothing looks like it., by: MK}",
    "# deleted",
)

RULES: tuple[Rule, ...] = (
    *(NO_KNOWLEDGE_BASE, SETTINGS_NAME, UNKNOWN_FOLDER, MISPLACED_FOLDER),
    *(MISPLACED_FILE, file_names.FILE_NAME, file_names.FILE_NAME_CLASH, SYMBOLIC_LINK),
    *(UNREADABLE_FILE, load.FILE_TOO_LARGE, load.NOT_UTF_8, load.INTERNAL_ERROR, load.EMPTY_FILE),
    *(load.NOT_FIELDS, characters.FORBIDDEN_CHARACTER, characters.MERGE_CONFLICT, sheet.TAB),
    *(fault.INDENTATION, values.HASH_IN_TEXT, fault.COLON_IN_TEXT, values.FOLDED_LIST, stops.BLOCK_TEXT),
    *(fault.OPEN_QUOTE, fault.OPEN_BRACKET, values.TEXT_AFTER_VALUE, fault.MISSING_COLON),
    *(fault.LIST_BESIDE_FIELD, fault.RESERVED_SIGN, stops.UNKNOWN_ESCAPE, fault.NESTED_TOO_DEEPLY),
    *(SECOND_DOCUMENT, tree.REPEATED_FIELD, tree.FIELD_NAME, fault.YAML_ALIAS, fault.YAML_ANCHOR),
    *(values.ITEM_IN_TEXT, torn.TORN_ITEM, letters.ODD_LETTER, damaged.DAMAGED_SIGN),
    *(tree.YAML_MERGE, fault.YAML_TAG, YAML_DIRECTIVE, stops.UNREADABLE_YAML),
    *(fields.MISSING_FIELD, fields.MISSING_HEAD, fields.TWO_IN_ONE, fields.UNKNOWN_FIELD, fields.EMPTY_VALUE),
    *(fields.WRONG_VALUE, fields.WRONG_TYPE, fields.WRONG_FORM, fields.WRONG_QUANTITY, fields.WRONG_DATE),
    fields.WRONG_INTERVAL,
    *(fields.AMBIGUOUS_NUMBER, fields.OUT_OF_RANGE, fields.TOO_LONG, fields.TOO_SHORT, fields.TOO_FEW),
    *(
        fields.TOO_MANY,
        fields.REPEATED_ITEM,
        fields.SPACE_IN_LINE,
        fields.MARKUP_IN_LINE,
        fields.TEXT_CHANGED,
        fields.FIELD_IN_TEXT,
    ),
    *(references.UNKNOWN_REFERENCE, references.UNKNOWN_LINK, references.UNKNOWN_NAME),
    *(references.ID_USED_TWICE, link.UNKNOWN_PHOTO),
    *(photos.PHOTO_UNREADABLE, photos.PHOTO_ACTIVE, photos.PHOTO_PRIVATE_DATA),
    *(age.REVIEW_OVERDUE, age.DAY_TO_COME, age.WALK_OVERDUE),
    *(procedures.STEP_ID_TWICE, procedures.STEP_UNREACHABLE, procedures.QUESTION_WITHOUT_OUTCOMES),
    *(procedures.OUTCOMES_WITHOUT_QUESTION, procedures.QUESTION_NOT_TOTAL, procedures.PATH_WITHOUT_END),
    *(
        procedures.LOOP_WITHOUT_WAY_OUT,
        procedures.LOOP_WITHOUT_LIMIT,
        procedures.LOOP_STARTS_AGAIN,
        procedures.STEP_AFTER_END,
    ),
    ways.START_ONLY_CLAIMED,
    ways.EVACUATION_AS_END,
    onward.DOUBT_GOES_ON,
    links.LINK_ON_SOME_PLANT,
    *(onward.DANGER_GOES_ON, onward.FED_WITHOUT_WATER, feeding.FED_UNSEEN, feeding.FIRED_UNSEEN),
    at_the_door.DANGER_NOT_ASKED,
    *(supply.EVIDENCE_LOST, supply.LOCK_BEFORE_OFF, supply.PROOF_WITHOUT_LOCK, supply.PROOF_WITHOUT_IDENTITY),
    *(supply.PROOF_INCOMPLETE, supply.UNLOCK_WITHOUT_TELLING, supply.RESTORE_UNDER_LOCK),
    *(known_source.METER_NOT_PROVED, supply.TERMINALS_BY_OPERATOR),
    supply.PROOF_SHOWS_NOTHING,
    *(hands.CLIPPED_LIVE, hands.WORK_NOT_ISOLATED, hands.REPLACED_LIVE, hands.TRIED_NOT_LOCKED),
    *(hands.RENEWED_WITHOUT_CAUSE, hands.STARTED_HELD),
    *(verdicts.VERDICT_MISSING, verdicts.VERDICT_FOREIGN, verdicts.OUTCOME_LEADS_BADLY),
    *(verdicts.DOUBT_DECIDES, verdicts.DOUBT_UNNAMED, verdicts.FAILS_ALIKE),
    onward.ANSWERS_CROSSED,
    left_by_others.CLAIM_DENIED,
    *(ohms.OHMS_NOT_PROVED_DEAD, readings.VOLTS_WHILE_OFF, ohms.OHMS_DECIDE_NOTHING),
    ohms.OHMS_WHEN_LIVE,
    *(ohms.OHMS_ACROSS_LOAD, readings.AMMETER_ACROSS, readings.HELD_LEADS_WHILE_FIRING),
    *(readings.CLIPPED_ON_LIVE, readings.COVER_OPENS_CONTACT, readings.VALVE_OPENS_CONTACT),
    *(readings.OPEN_AT_REST, readings.READ_BEHIND_NOTHING),
    *(readings.LOW_IMPEDANCE_JUMPER, deciding.MIDDLE_READING_DECIDES, deciding.ZERO_WITHOUT_SUPPLY),
    *(readings.ACROSS_WITHOUT_UPSTREAM, readings.LIVE_READING_WITHOUT_CAUTION),
    *(safety.PERMITS_DEADLY_JUMPER, alterations.NEVER_JUMPED, alterations.JUMPER_NOT_ALLOWED),
    *(alterations.JUMPER_ENDS_UNKNOWN, alterations.JUMPER_NAMES_ANOTHER, alterations.JUMPER_SPANS_SEVERAL),
    *(alterations.ALTERATION_LIVE, altered.JUMPER_WITH_FUEL, altered.FIRE_WITH_ALTERATION),
    resets.TOO_MANY_STARTS,
    *(resets.START_WITHOUT_TELLING, resets.FAULTY_UNCHECKED),
    *(alterations.ALTERATION_NAME_TWICE, alterations.TRIP_PROVED_UNDER_JUMPER, firing.TRIP_PROVED_OFF),
    *(alterations.UNDONE_UNLOCKED, firing.TRIP_WITHOUT_FLAME),
    *(gas.GAS_WORK_UNLICENSED, gas.GAS_OPENED_UNDER_PRESSURE, gas.LEAK_CHECK_WHILE_OPEN),
    *(gas.LEAK_CHECK_WITHOUT_GAS, gas.PRESSURE_SHOWS_NOTHING),
    *(gas.GAS_ON_OPEN_TRAIN, gas.GAS_ON_LEAKING_TRAIN, gas.LEAK_CHECK_MISSING, leaving.GAS_LEFT_OPEN),
    leaving.GAS_LEFT_UNTESTED,
    *(
        left_by_others.LEFT_BY_OTHERS,
        left_by_others.CLAIMED_AWAY,
        left_by_others.DOUBT_CLAIMS,
        left_by_others.CLAIM_NOBODY_GIVES,
    ),
    *(resets.RESET_BEFORE_EVIDENCE, resets.RESET_WITHOUT_CAUSE, resets.SECOND_RESET, resets.ONE_SHOT_RESET),
    *(
        energies.OFF_TOO_EARLY,
        energies.RUN_ON_CUT,
        energies.OFF_WHILE_FIRING,
        energies.COVER_ON_LIVE,
        energies.START_NOT_TRIED,
        energies.OPENED_UNDER_PRESSURE,
        energies.NEVER_GAGGED,
    ),
    *(limits.SETTING_BY_ANOTHER, limits.SETTING_OF_ANOTHER_SIZE, limits.LIMIT_LET_THROUGH),
    *(limits.CONTROL_ABOVE_LIMIT, limits.HELD_TOO_LONG),
    *(limits.SETTING_NOBODY_CHANGES, firing.FIRING_WITHOUT_PURGE),
    firing.CANNOT_FIRE,
    *(
        firing.MOVES_WITH_HANDS_IN,
        firing.TRIP_PROVED_BY_ANOTHER,
        firing.FLUE_GAS_WITHOUT_FIRE,
        firing.FUEL_ONTO_FLAME,
        firing.FIRES_UNPROTECTED,
        firing.FIRES_SHORT_OF_AIR,
    ),
    *(near.HANDS_AT_WHAT_TURNS, near.FACE_AT_BURNER),
    found_live.LIVE_LEFT_OPEN,
    *(leaving.ALTERATION_LEFT, going_on.HAND_OVER_LOSES_ALTERATION, in_service.COVER_LEFT_OPEN),
    *(in_service.LOCK_LEFT_ON, in_service.LEFT_SHUT_OFF, leaving.OFF_WITHOUT_LOCK, leaving.LEFT_UNLOCKED),
    *(
        in_service.TRIP_NOT_PROVED,
        in_service.REAL_CAUSE_LEFT,
        in_service.LIMIT_LEFT_CHANGED,
        in_service.SETTING_NOT_NOTED,
    ),
    *(leaving.UNSAFE_NOT_SAID, leaving.LEAK_LEFT_SAFE, in_service.GAS_WORK_OWED),
    *(in_service.ANALYSER_MISSING, in_service.CYCLE_NOT_SEEN, in_service.OTHERS_NOT_INFORMED),
    *(leaving.FOUND_LEADS_NOWHERE, going_on.NEXT_NOT_READY, going_on.CALL_NOT_READY, SENT_INTO_THE_MIDDLE),
    *(leaving.LEFT_ABLE_TO_FIRE, hands.LEADS_LEFT_ON),
    safety.TOO_MANY_WAYS,
    *(resting.PROTECTS_NOTHING, resting.NOTHING_COUNTS),
    *(coverage.SYMPTOM_WITHOUT_FIRST_CHECK, coverage.SYMPTOM_WITHOUT_LOOK_ALIKE),
    *(coverage.DEVICE_NOBODY_TESTS, coverage.DEVICE_WITHOUT_INDEPENDENT_CHECK),
    *(coverage.DEVICE_WITHOUT_CAUSES, coverage.MANUAL_RESET_WITHOUT_PROCEDURE),
    *(coverage.RESET_WITHOUT_LOOKING, coverage.CAUTION_USED_NOWHERE, coverage.DISPLAY_NOBODY_EXPLAINS),
    *(coverage.SOURCE_WITHOUT_PROOF, coverage.START_NOBODY_BRINGS_ABOUT, coverage.TEST_WITHOUT_TRIP),
    *proofs.RULES,
    *signed.RULES,
    *(circuits.CIRCUIT_WITHOUT_LOAD, circuits.CIRCUIT_NOT_CLOSED, circuits.BRANCH_BYPASSES),
    *(circuits.POINT_TWICE, circuits.POINT_WITHOUT_PLACE, circuits.COVER_ELSEWHERE, circuits.LOADS_IN_SERIES),
    *(circuits.NOTHING_BETWEEN, circuit_values.IMPOSSIBLE_VALUE, circuit_values.THRESHOLD_OUT_OF_REACH),
    *(circuit_values.THRESHOLD_IN_DOUBT, circuit_values.DRAWS_TOO_MUCH, circuit_parts.WRONG_DEVICE),
    *(circuit_parts.CONTACT_NOT_SAID, circuit_parts.LINK_WITHOUT_OPTION, circuit_parts.OPTION_WITHOUT_LINK),
    *(circuit_parts.NEVER_FITTED, circuit_parts.CONTACT_TWICE, circuit_parts.FUSE_WITHOUT_RATING),
    *(circuit_parts.FUSE_IN_RETURN, circuit_plant.CONTACT_ELSEWHERE, circuit_plant.TERMINAL_IN_TWO_PLACES),
    *(circuit_plant.FIGURES_DIFFER, circuit_plant.DEVICE_IN_NO_CIRCUIT, circuit_plant.RELAY_WITHOUT_COIL),
    *(plant.STAGE_CONTRADICTS, plant.STRING_CANNOT_MAKE, plant.FIRING_WITHOUT_STRING, plant.OPENS_ELSEWHERE),
    *(plant.PHASES_NOT_SAID, plant_figures.TOLERANCE_WITHOUT_SENSE, plant_figures.SENSOR_TABLE),
    *(plant_figures.SETTING_OUT_OF_RANGE, plant_figures.TIMER_WITHOUT_DELAY),
    *(contradictions.CURRENT_CONTRADICTS, contradictions.READS_ABOVE_SUPPLY),
    *(contradictions.SETTING_CONTRADICTS, contradictions.DELAY_CONTRADICTS, sample.SAMPLE_TEXT),
    sample.PLACEHOLDER_LEFT,
    *(
        contradictions.VOLTAGE_CONTRADICTS,
        contradictions.SIGNAL_CONTRADICTS,
        contradictions.DANGER_LOWERED,
        contradictions.JUMPER_CONTRADICTS,
        pairs.PAIR_DIFFERS,
        pairs.SAID_TWICE,
    ),
    *machines.RULES,
    *(privacy.PRIVATE_MAIL, privacy.PRIVATE_TELEPHONE, privacy.PRIVATE_ADDRESS, privacy.PRIVATE_KEY),
    *(privacy.PRIVATE_PERSON, privacy.PRIVATE_VEHICLE, public.TOLD_IN_PUBLIC),
    *(language.DISPLAY_WRITTEN_TWO_WAYS, language.DISPLAY_NOT_LISTED, language.TITLE_TWICE),
    *(
        regions.WORD_OF_ANOTHER_REGION,
        regions.REGION_NOT_SAID,
        style.SENTENCE_TOO_LONG,
        style.CONDITION_LAST,
        style.WORD_OF_PROGRAMS,
        style.WORD_NOT_OF_THE_HOUSE,
    ),
    *(language.ALIAS_TWICE, printing.NO_SIGN_IN_PRINT),
    *(short.SHORT_LINE_TOO_LONG, short.SHORT_LINE_MISSING),
    *(printing.SIGN_NOT_PRINTABLE, printing.PICTURE_COARSE, printing.PICTURE_UNUSABLE),
    *(left_over.WEB_MARKUP, left_over.PROGRAM_REMAINS, left_over.GAP_NOT_FILLED, left_over.PARTED_WORD),
    *(left_over.QUOTING_IN_TEXT, left_over.REMARK_IN_TEXT),
    *(
        judge.WORDS_AGAINST_ACTION,
        judge.ACTION_NOT_TOLD,
        judge.ORDER_NOT_KNOWN,
        beside.WORDS_TELL_MORE,
        beside.WORDS_TELL_ALTERATION,
    ),
    *(judge.WORDS_AGAINST_VERDICT, words.DEED_NOT_SAID),
    *ROUTINE_RULES,
    *(handling.OFF_ORDER_INCOMPLETE, handling.OFF_ORDER_UNSAFE, handling.SOURCE_NOT_PROVABLE),
    *(handling.SUPPLY_POINT_NOT_PROVED, handling.STORED_ENERGY_STAYS, handling.NO_WORDS_FOR_IT),
    *(handling.HANDLE_NO_SWITCH, handling.HANDLE_OF_TWO, handling.FUEL_WITHOUT_VALVE),
    *(handling.DOOR_QUESTION_OPEN, handling.ENDING_UNSAFE, handling.NOBODY_IS_TOLD, handling.STOP_IS_START),
    *(ACCEPT_UNKNOWN_RULE, ACCEPT_REFUSED, ACCEPT_UNUSED),
)
BY_NAME: dict[str, Rule] = {rule.name: rule for rule in RULES}

PAGE_CHECKS: tuple[Check, ...] = (
    *procedures.PAGE_CHECKS,
    *verdicts.PAGE_CHECKS,
    *ways.PAGE_CHECKS,
    *onward.PAGE_CHECKS,
    *feeding.PAGE_CHECKS,
    *links.PAGE_CHECKS,
    *safety.PAGE_CHECKS,
    *resting.PAGE_CHECKS,
    *coverage.PAGE_CHECKS,
    *short.PAGE_CHECKS,
    *signed.PAGE_CHECKS,
)
"""Judge each procedure by itself: where one is changed, only that one is judged anew."""


ENTRY_CHECKS: tuple[EntryCheck, ...] = (
    *sample.ENTRY_CHECKS,
    *privacy.ENTRY_CHECKS,
    *style.ENTRY_CHECKS,
    *left_over.ENTRY_CHECKS,
    *pairs.ENTRY_CHECKS,
    *printing.ENTRY_CHECKS,
)
"""Judge each entry by itself, and ask the shop for nothing that often changes."""


def _entries(material: Material) -> Iterator[Problem]:
    yield from material.of_each("entries", ENTRY_CHECKS)


def _pages(material: Material) -> Iterator[Problem]:
    yield from material.of_pages("pages", PAGE_CHECKS)


CHECKS: tuple[Check, ...] = (
    _pages,
    _entries,
    *safety.CHECKS,
    *coverage.CHECKS,
    *proofs.CHECKS,
    *short.CHECKS,
    *circuits.CHECKS,
    *circuit_values.CHECKS,
    *circuit_parts.CHECKS,
    *circuit_plant.CHECKS,
    *plant.CHECKS,
    *plant_figures.CHECKS,
    *handling.CHECKS,
    *contradictions.CHECKS,
    *machines.CHECKS,
    *privacy.CHECKS,
    *language.CHECKS,
    *regions.CHECKS,
    *style.CHECKS,
    *left_over.CHECKS,
    *printing.CHECKS,
    *words.CHECKS,
    *signed.CHECKS,
)


class Accepted(NamedTuple):
    """Problems after the entries' own acceptances.

    Attributes:
        problems: What is left, and what is wrong with the acceptances themselves.
        suppressed: Number of warnings accepted with a reason.
    """

    problems: tuple[Problem, ...]
    suppressed: int


class _Wish(NamedTuple):
    """An acceptance and who reviewed the entry it stands in."""

    path: str
    acceptance: Acceptance
    review: tuple[Signature, ...]

    def may(self, rule: Rule) -> bool:
        """Return whether it may accept an error."""
        own = _letters(self.acceptance.by) in {_letters(each.by) for each in self.review}
        return rule.family.mistakable and not (rule.safety and own)


_BESIDE = frozenset({*signed.CHECKS, *words.CHECKS, _entries})
"""Checks that take about as long as the others, most of which walk."""


def run(material: Material) -> tuple[Problem, ...]:
    """Let every rule judge the knowledge base."""

    def judged(beside: bool) -> dict[Check, tuple[Problem, ...]]:
        return {check: _judged(check, material) for check in CHECKS if (check in _BESIDE) is beside}

    with ahead(material.store, lambda: judged(beside=True)):
        found = judged(beside=False)
    found |= judged(beside=True)
    return tuple(problem for check in CHECKS for problem in found[check])


def _judged(check: Check, material: Material) -> tuple[Problem, ...]:
    function = getattr(check, "__qualname__", "<no name>")
    name = ("rule", check.__module__, function)
    if "<" in function:
        # A function made inside another may hang on what its name does not say.
        return tuple(check(material))
    return kept(material.store, material.base, name, lambda: tuple(check(material)))


def accept(base: KnowledgeBase, problems: Iterable[Problem]) -> Accepted:
    """Take out the warnings that their entry accepts with a reason and a reviewer.

    An error is never accepted: what can hurt somebody is mended, not signed for. One that may be a false
    alarm, such as a mark that looks like a telephone number, is; where it protects a life, only by a second
    person, other than who reviewed the entry.

    Args:
        base: The knowledge base, for what its entries accept.
        problems: Everything found by any stage.
    """
    accepting = [
        (entry.path, each, entry.head.review) for entry in base.entries.values() for each in entry.head.accept
    ]
    accepting += [(SETTINGS, each, ()) for each in base.shop.accept]
    wanted = {(path, each.rule): _Wish(path, each, review) for path, each, review in accepting}
    used: set[tuple[str, str]] = set()
    left: list[Problem] = []
    suppressed = 0
    for problem in problems:
        # A picture cannot accept anything itself; the settings do.
        picture = problem.place.path.startswith(f"{PHOTOS}/")
        key = (SETTINGS if picture else problem.place.path, problem.rule)
        if key in wanted and (problem.severity is Severity.WARNING or wanted[key].may(BY_NAME[problem.rule])):
            used.add(key)
            suppressed += 1
        else:
            left.append(problem)
    left += [_useless(wish) for key, wish in wanted.items() if key not in used]
    return Accepted(tuple(left), suppressed)


def _letters(name: str) -> str:
    return "".join(letter for letter in name.casefold() if letter.isalnum())


def _useless(wish: _Wish) -> Problem:
    name, spot = wish.acceptance.rule, Spot(wish.path, (*wish.acceptance.route, "rule"))
    rule = BY_NAME.get(name)
    if rule is None:
        near = nearest(name, BY_NAME)
        hint = f"Did you mean `{near}`?" if near else "Write the name as the check prints it."
        return ACCEPT_UNKNOWN_RULE.at(spot, f"there is no rule `{name}`", hint)
    if rule.severity is Severity.ERROR and rule.family.mistakable and not wish.may(rule):
        by = Spot(wish.path, (*wish.acceptance.route, "by"))
        hint = "Let somebody else read these words and sign, or write them anew."
        return ACCEPT_REFUSED.at(
            by, f"`{wish.acceptance.by}` reviewed this entry and cannot accept `{name}` too", hint
        )
    if rule.severity is Severity.ERROR and not rule.family.mistakable:
        hint = "Mend what it says, and delete the acceptance."
        return ACCEPT_REFUSED.at(spot, f"`{name}` is an error; nobody can accept it", hint)
    return ACCEPT_UNUSED.at(spot, f"nothing here breaks `{name}`", "Delete the acceptance.")
