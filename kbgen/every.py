"""How often something is done, by the calendar: ``3 months``, ``day``, ``season start``.

No interval stands here. What is due when is the shop's own scheme, as its entries say it.
"""

from __future__ import annotations

import calendar
import re
from dataclasses import dataclass
from datetime import date, timedelta

from kbgen.nearest import nearest, one_of
from kbgen.problems import shown

SEASON_START = "season start"
_DAYS = {"day": 1.0, "week": 7.0, "month": 365.25 / 12, "year": 365.25}
_MOST = 20 * _DAYS["year"]
"""No proof and no log is asked for less often than a plant is replaced."""
_FORM = re.compile(r"(?:([0-9]{1,6})\s*)?([^\W\d_]+)")


class EveryError(ValueError):
    """Text that is no interval.

    Attributes:
        message: What is wrong.
        hint: What to type instead.
    """

    def __init__(self, message: str, hint: str) -> None:
        super().__init__(message)
        self.message = message
        self.hint = hint


@dataclass(frozen=True, slots=True)
class Every:
    """An interval of the calendar.

    Attributes:
        count: How many of the unit; 0 at the start of a season.
        unit: ``day``, ``week``, ``month`` or ``year``; empty at the start of a season.
        text: As typed.
    """

    count: int
    unit: str
    text: str

    @property
    def at_season_start(self) -> bool:
        """Whether it falls due with the season and not with the calendar."""
        return not self.unit

    @property
    def days(self) -> float:
        """Its length in mean days, for putting intervals in order; a season counts as a year."""
        return self.count * _DAYS[self.unit] if self.unit else _DAYS["year"]

    @property
    def said(self) -> str:
        """What a heading says.

        >>> read_every("1 week").said, read_every("6 months").said, read_every("season start").said
        ('Every week', 'Every 6 months', 'At the start of the season')
        """
        if not self.unit:
            return "At the start of the season"
        return f"Every {self.unit}" if self.count == 1 else f"Every {self.count} {self.unit}s"

    def after(self, day: str) -> str:
        """Return the day it falls due again, both in ISO 8601; empty at the start of a season, which has no day.

        >>> read_every("1 month").after("2026-01-31"), read_every("2 weeks").after("2026-02-20")
        ('2026-02-28', '2026-03-06')
        """
        if not self.unit:
            return ""
        if self.unit in ("day", "week"):
            days = self.count * (7 if self.unit == "week" else 1)
            return (date.fromisoformat(day) + timedelta(days=days)).isoformat()
        return months_after(day, self.count * (12 if self.unit == "year" else 1))


def months_after(day: str, months: int) -> str:
    """Return a day some months later, both in ISO 8601.

    The last day of a shorter month stands in for a day it does not have: a month after 31 January is 28 February.
    """
    start = date.fromisoformat(day)
    year, month = divmod(start.year * 12 + start.month - 1 + months, 12)
    last = min(start.day, calendar.monthrange(year, month + 1)[1])
    return date(year, month + 1, last).isoformat()


def read_every(text: str) -> Every:
    """Read an interval.

    Raises:
        EveryError: With a message and a hint when the text is none.
    """
    plain = " ".join(text.split())
    if plain.casefold() == SEASON_START:
        return Every(0, "", text)
    found = _FORM.fullmatch(plain)
    if found is None:
        near = nearest(plain, [SEASON_START])
        raise EveryError(f"`{shown(text)}` is no interval", f"Did you mean `{near}`?" if near else _HINT)
    count, word = int(found[1] or 1), found[2].casefold()
    unit = word if word in _DAYS else word.removesuffix("s")
    if unit not in _DAYS:
        near = nearest(word, [*_DAYS, *(f"{each}s" for each in _DAYS)])
        asked = f"Did you mean `{count} {near}`?" if near else _HINT
        raise EveryError(f"`{shown(found[2])}` is no part of the calendar", asked)
    made = Every(count, unit, text)
    if not 0 < made.days <= _MOST:
        raise EveryError(f"`{shown(text)}` cannot be meant", "Give 1 day to 20 years.")
    return made


_HINT = f"Write a number and {one_of(list(_DAYS))}, such as `6 months`, or `{SEASON_START}`."
