"""The notice that stands on every page, on every sheet and below every verdict; no shop can empty it."""

from __future__ import annotations

NOTICE = (
    "These pages help people who are trained and licensed for the work. They do not replace the "
    "maker's instructions, local codes or a licensed person's judgement; where they differ, those "
    "hold. Fuel, steam and live circuits can kill: if you are not sure, stop, make safe and call."
)
