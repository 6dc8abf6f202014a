"""The sentences of the screens of step by step; the script says none of its own that is longer than a label."""

from __future__ import annotations

import json

WORDS = {
    "readTheseIn": "Read these in one reach, each to ",
    "theOthersIn": "The others in any order. Touch no screen while a probe is on.",
    "handsAndLeads": "Hands and leads are out. Type them",
    "typeWhatWas": "Type what was read. What was not read stays empty.",
    "moreThanThis": "More than this supply has. Hands and leads out.",
    "notDeadOr": "Not dead, or the meter did not read. Dead is ",
    "typeAtLeast": "Type at least two marks as they stand on the plant.",
    "notAllThe": "Not all the same. Touch nothing.",
    "theTimeIs": "The time is over. What is read now, in ",
    "inPracticeNo": "In practice no time is waited for",
    "theClockAlone": "The clock alone proves nothing. It cannot be skipped: go on by leaving it safe.",
    "goThereIs": "Go there. Is the lock on, with your own tag, and is it off behind it?",
    "goThereDoes": "Go there. Does the guard still stand?",
    "goThereIsIt": "Go there. Is it open as it was left, and nothing changed behind it?",
    "goThereDoesIts": "Go there. Does its tag hang, and is it as it was left?",
    "goThereAre": "Go there. Are the leads on as they were, and tight?",
    "goThereIsItAs": "Go there. Is it as it was left?",
    "typeTwoTo": "Type two to four letters for your initials.",
    "itsNumberAs": "Its number, as it stands on it",
    "anotherPageComes": "Another page comes first. It was not done on this job, or did not end so that this one may follow.",
    "youPractiseNothing": "You practise. Nothing of this stands on a plant.",
    "theTagsOn": "The tags on the plant are the truth. This screen is a copy.",
    "sayWhichPlant": "Say which plant and, where it is asked, its size.",
    "practiseItAway": "Practise it, away from the plant",
    "nothingIsDone": "Nothing is done at a plant. Where volts are read, a practice meter shows them for a fault that is not told.",
    "somebodyMayHave": "Somebody may have been here. Locks, covers and leads are looked at one by one. Dead is proved anew.",
    "goOnOne": "Go on, one by one at the plant",
    "goThereThis": "Go there. This lock is not yours. Hang your own lock and tag beside it. The first one comes off only then.",
    "thisPageDoes": "This page does not prove it. Leave it safe, and begin with the page that does.",
    "nothingIsLeft": "Nothing is left to undo from this job.",
    "theTagsOnThe": "The tags on the plant stay. What is open stands on them, and in your record.",
    "whatYouTapped": "What you tapped is taken off this tablet 14 days after this, but never while something of it is still to undo.",
    "closeItAnd": "Close it, and keep what I tapped",
    "practiceNothingWas": "PRACTICE. Nothing was found or done at a plant.",
    "stillToUndo": "Still to undo, or outstanding: ",
    "thisRecordIs": "This record is too long for one code. Save it as a file.",
    "thisIsAll": "This is all of it. It stays on this tablet until you copy, save or print it. No names of customers belong here.",
    "thisAnswerAnd": "This answer and what was done before cannot both be right. Look again. Go back, or leave it safe.",
    "thisWasDone": "This was done as often as it may be. Go back, or leave it safe.",
    "moreVoltsThan": "More volts than this supply has: a wrong point, or a feed from elsewhere. Hands and leads out. Leave it safe, or go back and read the supply again.",
    "theSupplyDoes": "The supply does not read full. No zero on it counts, and hands stay out. Go back and read again, or leave it safe.",
    "itIsNot": "It is not as it was left. Nothing here counts as off or dead. Leave it safe.",
    "thisCouldNot": "This could not be kept on the tablet, or another tab went on with it. Do not go on here. Work by the page, and look at the tags.",
    "noNamesOf": "No names of people, no addresses",
    "bringNothingBack": "Bring nothing back on. Leave every lock, tag and cover as it is. Shut and lock what you can reach without danger.",
    "hangATag": "Hang a tag that says what stands above. Call the lead technician, and stay until somebody answers.",
    "theTagHangs": "The tag hangs. Close this page",
    "whatIsWrong": "What is wrong here? A word, or a photo's name.",
    "notSureThen": "Not sure? Then it is not so. Touch nothing more, and call the lead technician.",
    "goingBackUndoes": "Going back undoes nothing on the plant.",
    "isThePlant": "Is the plant as it was before this step?",
    "practiceNothingOf": "Practice: nothing of this stands on a plant",
    "whatStandsOn": "What stands on the plant, and what is still to undo",
    "whatWasKept": "What was kept of the last job cannot be read. It was set aside. Look at the tags: nothing is known to be off or dead.",
    "whichContactWire": "Which contact, wire or part, and in which state",
    "whatIsStill": "What is still to undo, or outstanding",
    "sayWhichPlantAnd": "Say which plant, and what was found.",
}
"""By a name, its first words; ``window.kbDoWords`` in the script."""


def words_script() -> bytes:
    """Return what a page loads before its script."""
    data = json.dumps(WORDS, ensure_ascii=False, separators=(",", ":"))
    return f"window.kbDoWords = {data};\n".encode()
