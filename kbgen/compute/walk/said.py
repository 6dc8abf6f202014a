"""What only the words of a step tell, and the walk must know: who is told, who is sent where, whose hands are near."""

from __future__ import annotations

import re
from functools import cache

_HELPER = r"(?:helper|colleague|workmate|mate|assistant|apprentice|second (?:person|technician)|other (?:person|technician))s?"
_EVERYBODY = re.compile(
    rf"\b(?:every(?:body|one)|all|any(?:body|one)|whoever|both|people|staff|crew|bathers|{_HELPER})\b",
    re.IGNORECASE,
)
_THERE = re.compile(
    r"\b(?:at|in|near|round|around|beside) the (?:boiler|dryer|heater|unit|plant|machine|room|workshop|laundry|roof|outlet)\b",
    re.IGNORECASE,
)
_LEADS = re.compile(r"\b(?:lead|manager|office|owner|supervisor)\b", re.IGNORECASE)
_HELPS = re.compile(rf"\b{_HELPER}\b", re.IGNORECASE)
_AT_OFF = re.compile(r"\b(?:off|stop)\W*$", re.IGNORECASE)
_SENTENCE = re.compile(r"(?<=[.;:!?])\s+")
_INSIDE = re.compile(
    r"\b(?:in|into|inside|behind|through|down|up)\s+(?:the|its|a)\s+(?:[\w-]+\s+){0,2}"
    r"(?:ducts?|drum|hood|housing|furnace|firebox|flue|stack|chimney|burner|throat|unit|chamber|wheel|belt|fan|manhole|handhole|"
    r"boiler|outlet|inlet|intake|shaft|panel)\b|\bat the (?:belt|wheel|drum|impeller|fan wheel)\b",
    re.IGNORECASE,
)
_WORKS = re.compile(
    r"\b(?:arms?|hands?|heads?|fingers|shoulders?|rods?|brush(?:es|ing)?|reach(?:es|ing)?|crawl(?:s|ing)?|climb(?:s|ing)?|"
    r"kneel(?:s|ing)?|lie(?:s)?|sweep(?:s|ing)?|clean(?:s|ing)?|stays?|stands?|holds?|looks? into|works?|pull(?:s|ing)?)\b",
    re.IGNORECASE,
)
_HANDS_ON = re.compile(
    r"\b(?:clean|brush|sweep|scrape|grease|oil|wipe|rake|scrub|vacuum|dust)(?:s|es|ing)?\s+(?:out\s+)?(?:the\s+|its\s+)?"
    r"(?:(?!from\b|round\b|outside\b)[\w-]+\s+){0,3}?"
    r"(?:collar|ducts?|drum|hood|housing|furnace|firebox|flue|stack|chimney|burner|throat|chamber|wheel|belt|fan|impeller|shaft)\b",
    re.IGNORECASE,
)
_OUT = re.compile(
    r"\b(?:not|never|nobody|no one|none|out of|clear of|away from|comes? (?:back|out|down|up)\.?$|(?:is|are) (?:back|out|clear|down))\b",
    re.IGNORECASE,
)
_IS_BACK = re.compile(
    rf"\b{_HELPER}\b[^.;]*\b(?:back|out|clear|away|off|down|beside you|with you)\b|"
    rf"\b(?:call|fetch|bring|get|see)\b[^.;]*\b{_HELPER}\b[^.;]*\b(?:back|out|clear|away|off|down)\b|"
    r"\b(?:nobody|no one)\b[^.;]*\b(?:in|at|near|inside)\b",
    re.IGNORECASE,
)


@cache
def tells_everybody(says: str) -> bool:
    """Return whether what an `inform` says reaches who stands at the plant, and not an office alone.

    >>> tells_everybody("Everybody at the boiler"), tells_everybody("Painters in the workshop")
    (True, True)
    >>> tells_everybody("Shift lead"), tells_everybody("Shift lead at the laundry")
    (False, False)
    """
    return _EVERYBODY.search(says) is not None or (
        _THERE.search(says) is not None and _LEADS.search(says) is None
    )


def sends_helper(says: str) -> bool:
    """Return whether somebody else is sent to work inside of the plant, where a start would reach them.

    >>> sends_helper("Your helper brushes on from there, arm and rod in the duct.")
    True
    >>> sends_helper("Your helper stays out of the duct.")
    False
    >>> sends_helper("Tell the colleague at the back that he may clean collar and fan now.")
    True
    """
    return _HELPS.search(says) is not None and any(
        _HELPS.search(part) and _goes_in(part) and not _OUT.search(part) for part in _SENTENCE.split(says)
    )


def _goes_in(part: str) -> bool:
    inside = _WORKS.search(part) is not None and _INSIDE.search(part) is not None
    return inside or _HANDS_ON.search(part) is not None


@cache
def stands_at_off(tried: str) -> bool:
    """Return whether a control that was worked stands at off again.

    >>> stands_at_off("Burner switch to ON, then OFF"), stands_at_off("Burner switch")
    (True, False)
    """
    return _AT_OFF.search(tried) is not None


def helper_is_back(says: str) -> bool:
    """Return whether a step sees to it that who was sent is out again."""
    return not sends_helper(says) and _IS_BACK.search(says) is not None


_NOT = re.compile(r"\b(?:not|never|nobody|without|cannot|instead of|before you)\b[^.;]*$", re.IGNORECASE)
_CLEAR = re.compile(r"\b(?:clear|away|off|out|back|distance)\b", re.IGNORECASE)
_NOT_AT = (
    r"(?!['’]s\b|\s+(?:glass|door|panel|housing|casing|case|cover|guard|sensor|motor|switch|relay|light|lamp|screen|inlet|outlet|"
    r"side|end|contactor|starter|isolator|overload|speed|shroud|room|box|frame|bearing|load|programme)s?\b)"
)
_TURNS = (
    rf"(?:discs?|disks?|belts?|pulleys?|sheaves?|wheels?|impellers?|shafts?|rotors?|couplings?|flywheels?|idlers?|fans?|"
    rf"blowers?|spindles?)\b{_NOT_AT}"
)
_DRUM = rf"drum\b{_NOT_AT}"
_AT = r"(?:at|on|against|to|into|onto|over|under|behind|between|near|beside|in|round|around|past|along|from|off|out of)"
_ITS = rf"(?:(?:the|its|your|a|that|each|this)\s+(?:(?!{_AT}\b)[\w-]+\s+){{0,2}}?)?"
_PART = rf"{_ITS}(?:{_TURNS}|{_DRUM})"
_SEES_ONLY = r"and|then|while|until|so|nobody|look|watch|see|read|stroboscope|strobe|lamp|torch|flashlight|camera|mirror"
_TOOL = r"hands?|fingers?|thumb|palm|rag|cloth|blade|feeler(?:\s+gauge)?|gauge|stick|brush|chalk"
_HANDS_AT = re.compile(
    # What is held or put there; a load goes into a drum by its door, which stops it.
    rf"\b(?:hold|put|press|lay|reach|lean|stick|poke|slide|slip|push|set|bring|rub|place|insert|guide|dab|smear|drip|mark|"
    rf"pull|pick|pluck|scrape|wipe|brush|sweep)\b(?P<what>(?:\s+(?!(?:{_SEES_ONLY})\b)[\w.,'’-]+){{0,8}}?)\s+"
    rf"(?:{_AT}\s+{_ITS}{_TURNS}|(?!in\b|into\b|out of\b){_AT}\s+{_ITS}{_DRUM})|"
    # What is touched outright.
    rf"\b(?:touch|feel|grip|grab|wipe|brush|oil|grease|steady|catch|scrape|pinch)\s+{_PART}|"
    rf"\b(?:stop|slow|brake|turn|hold)\s+{_PART}[^.;]*\b(?:by hand|with (?:your|a|the) (?:\w+ )?(?:hand|glove|rag|stick|foot))|"
    rf"\b(?:{_TOOL})\s+(?:\w+\s+)?(?:at|on|against|between|into|onto|in)\s+{_PART}|"
    # What is felt under a hand.
    rf"\b{_TURNS}[^.;]*\bunder\s+(?:the|your|a)\s+(?:thumb|fingers?|hand|palm)\b",
    re.IGNORECASE,
)


@cache
def hands_at_what_turns(says: str) -> str:
    """Return the words by which hands, or what they hold, go to a part that turns; empty for none.

    >>> hands_at_what_turns("Hold the 2 mm blade at the disc.")
    'Hold the 2 mm blade at the disc'
    >>> hands_at_what_turns("The belt gives by its width under the thumb.")
    'belt gives by its width under the thumb'
    >>> hands_at_what_turns("Never reach past the belt."), hands_at_what_turns("Hold a lamp at the drum glass.")
    ('', '')
    """
    for found in _HANDS_AT.finditer(says):
        if not _NOT.search(says[: found.start()]) and not _CLEAR.search(found["what"] or ""):
            return found.group()
    return ""


_FACE = re.compile(
    r"\b(?:go|come|get|move|bend|lean|kneel)\b[^.;]*\b(?:close|near|right up|down)\b[^.;]*\b(?:eyes?|face|head)\b|"
    r"\b(?:eyes?|face|head|nose)\b\s+(?:close|near|right|down|directly|straight)?\s*(?:up\s+)?"
    r"(?:to|at|in|into|over|before|against|in front of)\s+(?:the|its)\s+(?:[\w-]+\s+){0,2}"
    r"(?:burner|sight glass|sight tube|tube|flap|port|hood|furnace|firebox|throat|opening|peephole|spy hole|electrode)\b|"
    r"\b(?:lean|bend|look|peep|peer)s?\s+in\b(?!\s+from\b|\s+the (?:record|book|log|list|panel|table))|\b(?:peep|peer)\b|"
    r"\b(?:flap|port|hood|burner door)\b[^.;]*\b(?:open|up|off)\b[^.;]*\blook\b|"
    r"\bopen (?:the|its) (?:[\w-]+ )?(?:flap|port|hood|burner door)\b[^.;]*\blook\b|"
    r"\blook\s+(?:straight\s+|right\s+|down\s+|up\s+)?in(?:to)?\b\s+(?:at\s+|through\s+)?(?:the|its)\s+(?:open\s+)?"
    r"(?:burner|hood|furnace|firebox|throat|opening|combustion chamber)\b",
    re.IGNORECASE,
)
_ASIDE = re.compile(r"\bfrom the side\b|\bto the side\b|\bfrom (?:a )?distance\b|\bmirror\b", re.IGNORECASE)


@cache
def face_at_burner(says: str) -> str:
    """Return the words by which a face goes to the burner; empty for none.

    >>> face_at_burner("Go close with the eye to see the spark.")
    'Go close with the eye'
    >>> face_at_burner("Look at the flame through the sight glass, from the side.")
    ''
    """
    for part in _SENTENCE.split(says):
        found = _FACE.search(part)
        if found and not _ASIDE.search(part) and not _NOT.search(part[: found.start()]):
            return found.group()
    return ""


_NO_FUEL = re.compile(
    r"\b(?:no|without any) (?:gas|fuel|flame|fire) can\b|\bthere is no (?:gas|fuel)\b|"
    r"\b(?:it|burner|nothing|pilot) (?:cannot|can not|can['’]t|can never) (?:light|fire|burn|ignite)\b|"
    r"\bnothing can (?:light|fire|burn|ignite|come)\b|\bso (?:that )?no (?:flame|fire|gas) (?:comes|can)\b",
    re.IGNORECASE,
)


@cache
def relies_on_no_fuel(says: str) -> str:
    """Return the words that rely on no flame being possible; empty for none.

    >>> relies_on_no_fuel("The firing valve is shut, so that no flame can come")
    'so that no flame can'
    """
    found = _NO_FUEL.search(says)
    return found.group() if found else ""


_TO_VOLTS = re.compile(
    r"\b(?:to|on|at|into)\s+(?:its\s+|the\s+)?(?:volts?|V)\b|\bvolts? range\b|\b(?:off|away from|out of)\s+ohms\b|"
    r"\b(?:meter|tester)\b[^.;]*\b(?:off|away|to OFF)\b|\b(?:take|pull|unplug)\b[^.;]*\bleads?\b[^.;]*\b(?:off|out)\b",
    re.IGNORECASE,
)


@cache
def turns_to_volts(says: str) -> bool:
    """Return whether a step turns a meter away from ohms, or parts it from its leads.

    >>> turns_to_volts("Turn the meter to volts AC."), turns_to_volts("Lay the meter on the ledge.")
    (True, False)
    """
    return _TO_VOLTS.search(says) is not None
