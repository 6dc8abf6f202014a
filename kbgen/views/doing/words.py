"""The sentences of the screens of step by step; the script says none of its own that is longer than a label."""

from __future__ import annotations

import json

WORDS = {
    "reach": "Read these in one reach, each to ",
    "others": "The others in any order. Touch no screen while a probe is on.",
    "out": "Hands and leads are out. Type them",
    "type": "Type what was read. What was not read stays empty.",
    "over": "More than this supply has. Hands and leads out.",
    "live": "Not dead, or the meter did not read. Dead is ",
    "marks": "Type at least two marks as they stand on the plant.",
    "different": "Not all the same. Touch nothing.",
    "read": "The time is over. What is read now, in ",
    "noWait": "In practice no time is waited for",
    "wait": "The clock alone proves nothing. It cannot be skipped: go on by leaving it safe.",
    "at lock": "Go there. Is the lock on, with your own tag, and is it off behind it?",
    "at off": "Go there. Is it still off?",
    "at shut": "Go there. Is it still shut?",
    "at guard": "Go there. Does the guard still stand?",
    "at cover": "Go there. Is it open as it was left, and nothing changed behind it?",
    "at in": "Go there. Does its tag hang, and is it as it was left?",
    "at lead": "Go there. Are the leads on as they were, and tight?",
    "still": "Go there. Is it as it was left?",
    "initials": "Type two to four letters for your initials.",
    "number": "Its number, as it stands on it",
    "after": "Another page comes first. It was not done on this job, or did not end so that this one may follow.",
    "practising": "You practise. Nothing of this stands on a plant.",
    "tags": "The tags on the plant are the truth. This screen is a copy.",
    "plant": "Say which plant and, where it is asked, its size.",
    "practise": "Practise it, away from the plant",
    "practice": "Nothing is done at a plant. Where volts are read, a practice meter shows them for a fault that is not told.",
    "again": "Somebody may have been here. Locks, covers and leads are looked at one by one. Dead is proved anew.",
    "goOn": "Go on, one by one at the plant",
    "own": "Go there. This lock is not yours. Hang your own lock and tag beside it. The first one comes off only then.",
    "unproved": "This page does not prove it. Leave it safe, and begin with the page that does.",
    "nothing": "Nothing is left to undo from this job.",
    "closing": "The tags on the plant stay. What is open stands on them, and in your record.",
    "tapped": "What you tapped is taken off this tablet 14 days after this, but never while something of it is still to undo.",
    "keep": "Close it, and keep what I tapped",
    "practised": "PRACTICE. Nothing was found or done at a plant.",
    "open": "Still to undo, or outstanding: ",
    "long": "This record is too long for one code. Save it as a file.",
    "record": "This is all of it. It stays on this tablet until you copy, save or print it. No names of customers belong here.",
    "cannot": "This answer and what was done before cannot both be right. Look again. Go back, or leave it safe.",
    "used": "This was done as often as it may be. Go back, or leave it safe.",
    "foreign": "More volts than this supply has: a wrong point, or a feed from elsewhere. Hands and leads out. Leave it safe, or go back and read the supply again.",
    "supply": "The supply does not read full. No zero on it counts, and hands stay out. Go back and read again, or leave it safe.",
    "lost": "It is not as it was left. Nothing here counts as off or dead. Leave it safe.",
    "full": "This could not be kept on the tablet, or another tab went on with it. Do not go on here. Work by the page, and look at the tags.",
    "names": "No names of people, no addresses",
    "leave": "Bring nothing back on. Leave every lock, tag and cover as it is. Shut and lock what you can reach without danger.",
    "tag": "Hang a tag that says what stands above. Call the lead technician, and stay until somebody answers.",
    "hangs": "The tag hangs. Close this page",
    "wrong": "What is wrong here? A word, or a photo's name.",
    "unsure": "Not sure? Then it is not so. Touch nothing more, and call the lead technician.",
    "back": "Going back undoes nothing on the plant.",
    "undone": "Is the plant as it was before this step?",
    "onNothing": "Practice: nothing of this stands on a plant",
    "holds": "What stands on the plant, and what is still to undo",
    "damaged": "What was kept of the last job cannot be read. It was set aside. Look at the tags: nothing is known to be off or dead.",
    "fault": "Which contact, wire or part, and in which state",
    "left": "What is still to undo, or outstanding",
    "found": "Say which plant, and what was found.",
}
"""By what they are for; ``window.kbDoWords`` in the script."""


def words_script() -> bytes:
    """Return what a page loads before its script."""
    data = json.dumps(WORDS, ensure_ascii=False, separators=(",", ":"))
    return f"window.kbDoWords = {data};\n".encode()
