"""What an outcome may claim about the plant: the reader's word for what no step of the page brings about.

An outcome that claims something is followed only where it can be so.
"""

from __future__ import annotations

CLAIMS: dict[str, str] = {
    "nothing-altered": "no jumper, lifted wire, lead or other alteration is in, and no limit stands elsewhere than set",
    "trips-proved": "every device that was jumped, changed, rewired or set on this job has tripped since",
    "train-tight": "the gas train was not opened, or was closed and proved tight with gas",
    "not-reset": "nothing was reset on this job without its cause found",
    "covers-closed": "every cover is on, and nobody stands at one",
    "cycle-seen": "a full cycle was seen since the plant was last touched",
    "flue-gas-read": "the flue gas was read since gas or air was last adjusted",
    "gas-work-checked": "air supply and gas rate or working pressure were checked since the gas train was last opened",
    "not-tried": "nobody tried on this visit to start the burner without seeing it fire",
    "settings-noted": "every changed setting is written down",
    "all-on": "every source is on, every fuel valve open, and no lock is on",
    "people-told": "everybody whose plant stopped knows it",
}
"""Each word and what it says, in the order of the documentation."""
