"""Wordings by kind: verbs of the trade on both sides of the Atlantic, times the plant's own parts by any of their names.

Nothing here was taken from what the table tells; each list was written down from how people speak. Every second line of
a list is held out: the table is mended by what the others miss, and the held ones say what that was worth.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import NamedTuple

from tests.mutants.site import Site

SHUT = """
Shut {n}.
Close {n}.
Turn {n} off.
Shut off {n}.
Close off {n}.
Turn off {n}.
Shut {n} fully.
Close {n} all the way.
Screw {n} down.
Wind {n} shut.
Throw {n} closed.
Swing {n} crosswise to the pipe.
Put the handle of {n} across the pipe.
Turn the handle of {n} at right angles to the pipe.
Pull the lever of {n} across.
Turn {n} a quarter turn, across the pipe.
Bring {n} to the closed position.
Set {n} to SHUT.
Make sure that {n} gets shut.
Cut the gas off at {n}.
Kill the gas at {n}.
Stop the gas at {n}.
Isolate the gas at {n}.
Take the gas off at {n}.
{n} shut.
{n} to OFF.
Go and shut {n}.
You shut {n} now.
{n} is shut by the second person.
Have {n} shut.
"""

OPEN = """
Open {n}.
Open up {n}.
Crack {n} open.
Turn {n} on.
Turn on {n}.
Ease {n} open.
Slowly open {n}.
Wind {n} open.
Throw {n} open.
Swing {n} in line with the pipe.
Put the handle of {n} along the pipe.
Turn the handle of {n} parallel to the pipe.
Bring {n} to the open position.
Set {n} to OPEN.
Let the gas through at {n}.
Bring the gas back at {n}.
Put the gas on at {n}.
Restore the gas at {n}.
{n} open.
{n} to ON.
Go and open {n}.
You open {n} now.
{n} is opened by the second person.
Have {n} opened.
"""

OFF = """
Switch {n} off.
Switch off {n}.
Turn {n} off.
Turn off {n}.
Throw {n} to OFF.
Pull {n} down to OFF.
Knock {n} off.
Put {n} to 0.
Set {n} to OFF.
Flip {n} off.
Kill {n}.
Trip {n}.
De-energise {n}.
Isolate {n}.
Cut the power at {n}.
Kill the power at {n}.
Take the power off at {n}.
Make it dead at {n}.
Power down at {n}.
Shut {n} off.
{n} to OFF.
{n} off.
Go and switch {n} off.
Have {n} switched off.
"""

ON = """
Switch {n} on.
Switch on {n}.
Turn {n} on.
Turn on {n}.
Throw {n} to ON.
Push {n} up to ON.
Put {n} back in.
Put {n} to I.
Set {n} to ON.
Flip {n} on.
Energise {n}.
Re-energize {n}.
Put the power on at {n}.
Bring the power back at {n}.
Restore the power at {n}.
Give it power at {n}.
Power up at {n}.
Make {n} live.
{n} to ON.
{n} on.
Go and switch {n} on.
Have {n} switched on.
"""

UNCOVER = """
Open {n}.
Take {n} off.
Take off {n}.
Remove {n}.
Lift {n} off.
Unscrew {n}.
Swing {n} open.
Pull {n} open.
Undo {n}.
Slide {n} away.
Drop {n} down.
Prise {n} off.
Pop {n} off.
Get {n} off.
Loosen the screws and lay {n} aside.
Set {n} aside.
Unlatch {n}.
Have {n} taken off.
{n} off.
{n} open.
"""

COVER = """
Close {n}.
Shut {n}.
Put {n} on.
Put {n} back.
Put back {n}.
Refit {n}.
Replace {n}.
Screw {n} on.
Swing {n} shut.
Push {n} to.
Latch {n}.
Fasten {n}.
Reinstall {n}.
Button up {n}.
Hang {n} back in.
Slide {n} home.
Bolt {n} on.
Have {n} put on.
{n} on.
{n} shut.
"""

RESETS = """
Reset it.
Press reset.
Push the reset button in.
Press the red button.
Hit reset once.
Give it a reset.
Punch the reset.
Push in the red button until it stays.
Clear the lockout.
Clear the fault at the panel.
Rearm the limit.
Re-arm the cutoff.
Cancel the lockout.
Acknowledge the lockout.
Unlatch the lockout.
Do a reset.
Try one more reset.
Poke the reset pin in.
"""

STARTS = """
Start it up.
Fire it up.
Light it off.
Light the burner.
Get the burner going.
Give it a try start.
Bring the boiler on.
Bring it on line.
Kick the burner on.
Let it fire.
Run the burner up.
Turn the burner on.
Set the burner switch to ON.
Call for heat.
Turn the thermostat up until it calls.
Press START.
Restart it.
Put the burner back on.
"""

ALTERS = """
Bridge {a} and {b}.
Jump {a} to {b}.
Jumper {a} and {b} out.
Put a link in from {a} to {b}.
Loop {a} to {b}.
Strap {a} across to {b}.
Short {a} to {b}.
Tie {a} to {b}.
Bond {a} and {b}.
Clip a lead from {a} to {b}.
Clip a lead across {a} and {b}.
Lay a screwdriver across {a} and {b}.
Touch a wire to {a} and {b}.
Hold a bit of wire on {a} and {b}.
Hook a lead over {a} and {b}.
Stick a paperclip into {a} and {b}.
Twist the wires of {a} and {b} together.
Join {a} with {b}.
Feed {b} from {a}.
Take {b} straight off {a}.
Move the wire from {a} over to {b}.
Swap the wire from {a} to {b}.
Land the wire of {a} on {b}.
Make {a} and {b} common.
Put {a} and {b} under one screw.
Bypass the {d}.
Jump out the {d}.
Link the {d} out.
Take the {d} out of the circuit.
Cut the {d} out.
Knock out the {d}.
Loop out the {d}.
Put a shorting plug on the {d}.
Defeat the {d}.
Override the {d}.
Disable the {d}.
Block the {d}.
Gag the {d}.
Hold the {d} in.
Keep the {d} from tripping.
Cheat the {d}.
Spoof the {d}.
Simulate the {d}.
Hotwire the {d}.
Do without the {d} for now.
Leave the {d} out.
Run with the {d} bridged.
Run it on the jumper.
Jam the {d} with a match.
Wedge the {d}.
Tape the {d} down.
Tie the {d} back with wire.
Zip-tie the {d} closed.
Pin the {d}.
Weigh the {d} down.
Lean a broom on the {d}.
Put your thumb on the {d}.
Push the {d} in with a pen.
Press on the {d} while it starts.
Stick chewing gum on the {d}.
Put a magnet on the {d}.
Stuff a rag into the {d}.
Wrap foil round the {d}.
Bend the arm of the {d}.
File the pin of the {d}.
Turn the {d} all the way up.
Crank the {d} up to its stop.
Wind the screw of the {d} in.
Set the {d} higher.
Back the {d} off a turn.
Pull the wire off {a}.
Lift {a}.
Disconnect {a}.
Undo the wire on {a}.
Unland the wire at {a}.
Float the wire of {a}.
Cut the wire to {a}.
Snip the lead at {a}.
Pull the plug off the {d}.
Unplug the {d}.
Pull the hose off the {d}.
Slip the tube off the {d}.
Suck on the tube of the {d}.
Blow into the hose of the {d}.
Plug the port of the {d}.
Cap the line to the {d}.
Pinch the tube of the {d}.
Put a bigger fuse in.
Wrap the fuse in foil.
Put a nail in place of the fuse.
Put a resistor across {a} and {b}.
Put a resistor in for the sensor.
Push the contactor in.
Hold the relay down with your finger.
Wedge the relay in.
Tie the damper open.
Prop the flap up.
Hold the float up.
Put the switch on HAND and leave it there.
Shine a light into the scanner.
Hold a lighter in front of the scanner.
Cover the scanner.
Wire the safety valve down.
Screw the safety valve down.
Hang a weight on the lever of the safety valve.
Plug the safety valve.
"""

QUIET = """
Read the {d}.
Look at the {d}.
Wait until the {d} drops in.
Listen at the {d}.
Clip the black lead on {a}.
Put the red probe on {b}.
Touch {a} with the red probe.
Hold the probe on {a}, one hand in the pocket.
Measure from {a} to {b}.
Ohms from {a} to {b}.
Red on {a}, black on {b}.
Read {a} to {b}.
Compare {a} with {b}.
Follow the wire from {a} to {b} by eye.
Follow the cord from the wall to the plug.
Look for a wire between {a} and {b}.
Write down what {a} reads.
The {d} trips when it is too hot.
See whether the {d} is taped, wedged or bridged.
Feel whether the wire at {a} is tight.
Never bridge the {d}.
Nobody holds the {d} in.
Wipe the glass of the scanner.
Clean the tube of the {d}.
Tell the operator that the {d} stopped it.
Look that no wire hangs off {a}.
Tug gently at the wire on {a}.
Tighten the screw of {a}.
Hang your tag on the handle.
Lay the tools out on a rag.
Put the meter on the shelf.
Hang the lead tester round your neck.
Tie the ladder to the rail.
Lean the ladder against the wall.
Put the old gasket in the bag.
Shut the window.
Open the window and the hall door.
Switch your lamp on.
Close the book.
Push the chair away.
Take your gloves off.
Put your goggles on.
Take the key out of the lock.
Set the meter to volts.
Turn the meter off.
Turn the pages to the drawing.
Count the turns of the screw.
Photograph the {d}.
Ask who set the {d}.
Compare the {d} with its plate.
Check that {a} is tight and {b} is dry.
Point the lamp at the {d}.
Note the setting of the {d}.
Smell at the {d}.
Warm your hands.
Call the office and say that the {d} is broken.
Mark the {d} with chalk.
Keep clear of the {d}.
Stand beside the {d}, not in front of it.
Let the {d} cool for ten minutes.
"""


def lines(text: str) -> list[str]:
    """Return the sentences of a list."""
    return text.strip().splitlines()


_SYNONYMS = {
    "cock": ("valve", "tap", "shut-off", "stopcock"),
    "cover": ("lid", "access panel"),
    "cap": ("cover",),
}


def spoken(title: str) -> Iterator[str]:
    """Yield how people call what a title names: as it stands, with another word for its kind, and by where it is."""
    name, _, place = title.partition(",")
    name = name.lower()
    yield f"the {name}"
    for word, others in _SYNONYMS.items():
        if re.search(rf"\b{word}\b", name):
            yield from (f"the {re.sub(rf'{chr(92)}b{word}{chr(92)}b', other, name)}" for other in others)
    if place.strip().split(" ")[0] in ("last", "first"):
        yield f"the {place.strip()}"
    elif place:
        yield f"the {name.split()[-1]}{place}"


class Phrased(NamedTuple):
    """One step in the words of a list.

    Attributes:
        kind: The list, and what is wrong: ``opposite``, ``other``, ``none``; ``right`` for nothing.
        held: Whether its line is held out.
        step: The step.
    """

    kind: str
    held: bool
    step: dict[str, str]


_OPPOSITE = {"shut_valve": "open_valve", "isolate": "restore", "open_cover": "close_cover"}
_OPPOSITE |= {other: one for one, other in _OPPOSITE.items()}


def phrased(site: Site) -> Iterator[Phrased]:
    """Yield the steps of one plant in every wording: what does not go together, and what does (``right``, ``quiet``)."""
    plant = site.equipment
    for text, key, parts in (
        (SHUT, "shut_valve", plant.fuel_valves),
        (OPEN, "open_valve", plant.fuel_valves),
        (UNCOVER, "open_cover", plant.covers),
        (COVER, "close_cover", plant.covers),
    ):
        ids = [part.id for part in parts]
        for at, part in enumerate(parts):
            for name in spoken(part.title):
                yield from _about(text, key, name, part.id, ids[(at + 1) % len(ids)])
    electric = [source for source in plant.sources if source.electric]
    for text, key in ((OFF, "isolate"), (ON, "restore")):
        for source in electric:
            for mark in re.findall(r"\bQ\d\b", source.isolate)[:1]:
                others = [each.id for each in electric if mark not in each.isolate]
                yield from _about(text, key, mark, source.id, others[0] if others else source.id)
    for text, kind in ((RESETS, "reset"), (STARTS, "start"), (ALTERS, "alteration"), (QUIET, "quiet")):
        for turn, line in enumerate(lines(text)):
            for gap in site.gaps[turn % 3 :: 3][:3]:
                device = site.device(gap.device)
                called = device.head.title.lower() if device else "limit"
                do = line.format(a=gap.one, b=gap.other, d=called)
                yield Phrased(kind, turn % 2 == 1, {"do": do})


def _about(text: str, key: str, name: str, own: str, other: str) -> Iterator[Phrased]:
    for turn, line in enumerate(lines(text)):
        said = line.format(n=name)
        do, held = said[0].upper() + said[1:], turn % 2 == 1
        yield Phrased(f"{key}, opposite", held, {"do": do, _OPPOSITE[key]: own})
        yield Phrased(f"{key}, none", held, {"do": do})
        if other != own:
            yield Phrased(f"{key}, other", held, {"do": do, key: other})
        yield Phrased(f"{key}, right", held, {"do": do, key: own})
