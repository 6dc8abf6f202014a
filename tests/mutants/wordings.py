"""Sentences that tell somebody to do what no action does, and sentences that only speak of it.

Blanks are filled from the plant: ``{one}`` and ``{other}`` are neighbouring terminals, ``{device}`` the device
between them, ``{valve}`` a fuel valve, ``{mark}`` the mark of an isolator.
"""

from __future__ import annotations

ALTERATIONS = """
Bridge {one} and {other} with a wire.
Connect {one} to {other} with a piece of wire.
Put a jumper across {one} and {other}.
Jumper {one} to {other}.
Fit a temporary link between {one} and {other}.
Place a paperclip over {one} and {other}.
Short {one} to {other} with a screwdriver.
Short out the {device}.
Link out the {device}.
Bypass the {device} for the test.
Run a lead from {one} to {other}.
Use a short lead to join {one} and {other}.
Join {one} and {other}.
Clip a croc lead across the {device}.
Jump the {device} for a moment.
With a wire from {one} to {other} try it once more.
Touch {one} and {other} together with a screwdriver.
Temporarily connect {one} with {other}.
Take a piece of wire and hold it across {one} and {other}.
Wedge the contactor in.
Tape the switch down.
Tape the plunger in.
Put tape over the lever of the switch.
Stick a strip of tape on the plunger.
Tie the flap open.
Tie up the vane with string.
Prop the flap open with a stick.
Plug the sensing tube with a cork.
Gag the safety valve.
Hold the contactor in by hand.
Hold the relay in with a screwdriver.
Push the armature in by hand.
Keep the reset button pressed in.
Jam the button with a peg.
Lift the wire at {one}.
Disconnect the wire from {one}.
Take the wire off {one}.
Pull the tube off the switch.
Defeat the {device}.
Override the {device}.
Fool the scanner with a lighter.
Put a magnet on the switch.
Hold a magnet against the contact.
Fix the lever with a cable tie.
Wire {one} and {other} together.
Slip a wedge under the button.
Replace the fuse by a piece of wire.
You may bridge the {device} for a minute.
The colleague holds the contactor in.
{one} and {other} are bridged with a wire for this test.
{one} and {other} must be bridged first.
It helps to bridge {one} and {other}.
Try it with {one} and {other} bridged.
By bridging {one} and {other} you can tell.
Have somebody hold the contactor in.
If it still does not start, put a wire across {one} and {other}.
First bridge {one} and {other}, then go on.
Leave the jumper in until Monday.
Go on with the jumper in place.
Do not forget to bridge {one} and {other}.
"""

DEEDS = """
Press the red reset button.
Reset the controller.
Clear the lockout.
Press RESET once more.
Light the burner again.
Relight the pilot.
Start the burner.
Open the {valve}.
Turn the gas on.
Shut the {valve}.
Close the {valve}, handle across the pipe.
Switch {mark} off.
Turn {mark} on again.
Put your padlock on {mark}.
Take the padlock off.
Loosen the union of the gas line.
Then open the {valve} a little.
Now switch {mark} on.
"""

HARMLESS = """
Never bridge {one} and {other}.
Do not put a wire across {one} and {other}.
No jumper, no tape, no wedge.
Nobody bridges the {device}.
A bridged contact hides the fault.
Somebody had bridged {one} and {other}.
Look for a wire across {one} and {other}.
Is there a wire across {one} and {other}?
Was the contactor held in by hand?
Never tape, wedge or tie a switch.
A wedge under the button is a jumper.
Whoever bridges a contact kills somebody.
A wire left across a limit has burned rooms down.
Do not hold the contactor in by hand.
The {device} must never be bridged.
It is forbidden to bridge the {device}.
Nothing may be wedged, taped or tied up.
The switch was taped when we came.
A low-impedance meter across a contact is a jumper.
Check that no wire lies across {one} and {other}.
Call the lead technician instead of bridging it.
Touch nothing, wedge nothing, bridge nothing.
Keep hands and leads away from the belt.
A loose wire bridges two terminals in the wet.
Why is bridging forbidden here?
Do not let anybody hold the relay in.
Resist the wish to jump the {device}.
See that no wedge holds the float.
The {valve} stays as it is.
Do not open the {valve}.
Never press the reset button twice.
Is the {valve} shut?
The burner starts by itself.
Somebody has reset it before.
Look whether the {valve} is shut.
Leave {mark} off.
Nobody switches {mark} on.
Touch no button and no lock.
The {valve} was found open.
Count your padlocks.
"""


def lines(text: str) -> list[str]:
    """Return the sentences of a list."""
    return text.strip().splitlines()
