"""What it means when a scheme of proofs asks for less."""

from __future__ import annotations

from collections.abc import Callable

from kbgen.every import Every, EveryError, read_every
from kbgen.review.change import Weight


def by_licence(of_licence: Weight, of_operator: Weight) -> Callable[[str], Weight]:
    """Weigh who may prove it: a licence more asks for more, the operator for none."""
    return lambda text: of_operator if "operator" in text else of_licence


def rarer_is_worse(before: str, after: str) -> Weight:
    """Weigh how often something is proved; what falls due with a season is no count of days."""
    one, other = _interval(before), _interval(after)
    if one is None or other is None or one.at_season_start != other.at_season_start:
        return Weight.UNDECIDED
    return (
        Weight.LESS_SAFE if other.days > one.days else Weight.SAFER if other.days < one.days else Weight.WORDS
    )


def shorter_log_is_worse(before: str, after: str) -> Weight:
    """Weigh how long a log is kept."""
    weight = rarer_is_worse(before, after)
    return {Weight.LESS_SAFE: Weight.SAFER, Weight.SAFER: Weight.LESS_SAFE}.get(weight, weight)


def _interval(text: str) -> Every | None:
    try:
        return read_every(text)
    except EveryError:
        return None
