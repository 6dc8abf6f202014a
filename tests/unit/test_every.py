"""Intervals of a shop's scheme: read as typed, or refused with what to type."""

from __future__ import annotations

import pytest

from kbgen.every import EveryError, read_every


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("day", "Every day"),
        ("1 week", "Every week"),
        ("6 months", "Every 6 months"),
        ("2 Years", "Every 2 years"),
        ("Season  start", "At the start of the season"),
    ],
)
def test_what_a_scheme_says_is_understood(text: str, said: str) -> None:
    assert read_every(text).said == said
    assert read_every(text).text == text


def test_intervals_have_an_order() -> None:
    texts = ["1 day", "1 week", "1 month", "6 months", "1 year"]
    days = [read_every(text).days for text in texts]
    assert days == sorted(set(days))


@pytest.mark.parametrize(
    ("text", "message", "hint"),
    [
        ("6 moths", "`moths` is no part of the calendar", "Did you mean `6 months`?"),
        ("seasn start", "`seasn start` is no interval", "Did you mean `season start`?"),
        ("often", "`often` is no part of the calendar", "Write a number and day, week, month or year"),
        ("6", "`6` is no interval", "Write a number and"),
        ("0 days", "`0 days` cannot be meant", "Give 1 day to 20 years."),
        ("30 years", "`30 years` cannot be meant", "Give 1 day to 20 years."),
        ("1.5 years", "`1.5 years` is no interval", "Write a number and"),
        ("-1 year", "`-1 year` is no interval", "Write a number and"),
    ],
)
def test_what_is_not_understood_is_refused_with_what_to_type(text: str, message: str, hint: str) -> None:
    with pytest.raises(EveryError) as found:
        read_every(text)
    assert found.value.message == message
    assert found.value.hint.startswith(hint)


@pytest.mark.parametrize(
    ("text", "day", "then"),
    [
        ("1 month", "2026-01-31", "2026-02-28"),
        ("1 year", "2024-02-29", "2025-02-28"),
        ("3 months", "2026-11-30", "2027-02-28"),
        ("2 weeks", "2026-12-24", "2027-01-07"),
        ("season start", "2026-01-01", ""),
    ],
)
def test_the_day_it_falls_due_again(text: str, day: str, then: str) -> None:
    assert read_every(text).after(day) == then
