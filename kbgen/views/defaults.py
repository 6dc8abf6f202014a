"""Sentences that stand in every edition and cannot be emptied by a shop."""

from __future__ import annotations

from kbgen.text import RichText, read
from kbgen.views.notice import NOTICE

__all__ = ["EMERGENCY_KICKER", "LEAVE_NOW_STEPS", "LEAVE_NOW_TITLE", "LEAVE_NOW_WHEN", "NOTICE"]
LEAVE_NOW_TITLE = "Leave now: smell of gas, alarm, fire, flooding, shock"

LEAVE_NOW_WHEN = (
    "You smell gas or hear it escape.",
    "A gas or CO alarm sounds, or people have headaches, feel sick or dizzy.",
    "Something burns that should not, or there is smoke.",
    "Water stands near live parts, or steam or hot water escapes where you cannot stop it.",
    "Somebody has had an electric shock.",
)

LEAVE_NOW_STEPS: tuple[RichText, ...] = tuple(
    read(text)
    for text in (
        "Stop. Leave the job as it is, tools and covers included.",
        "Touch no switch, plug or bell. No flame, no spark, no telephone until you are outside.",
        "Somebody who still touches a live part: do not touch them. Only where no gas is about, cut the supply "
        "from a dry place; then help, and call.",
        "Warn everybody and leave by the shortest safe way. Leave doors open behind you if gas may "
        "be about; shut them if it burns.",
        "Shut the emergency gas valve only if you pass it on the way out and can reach it at once.",
        "Outside and well away: call the emergency services and the gas supplier.",
        "Let nobody go back in before the fire service or the gas supplier says so.",
        "Anyone who breathed CO or gas, or had a shock: medical help at once, even if they feel better. After "
        "CO or gas, fresh air first.",
        "Tell whoever takes over what you left behind: jumpers, lifted wires, open covers or joints. "
        "The next visit clears those first.",
    )
)

EMERGENCY_KICKER = "Emergency"
