"""The leave-now page begins with what to do; the number stands above it only where it holds everywhere."""

from __future__ import annotations

import pytest

from kbgen.model.shop import Emergency, ShopSettings, Site
from kbgen.views.leave_now import PARTS, leave_now_page

FIRST = "Smell of gas: go out with the tablet first."


@pytest.mark.parametrize(
    ("number", "sites", "said"),
    [
        ("", [], ""),
        ("", ["911"], ""),
        ("112", [], " Outside, call 112."),
        ("112", ["", "112"], " Outside, call 112."),
        ("911 or 112", ["911", "112", ""], " Outside, call 911 or 112."),
        ("112", ["", "911"], ""),
        ("1120", ["112"], ""),
    ],
)
def test_the_number_is_said_where_no_site_has_another(number: str, sites: list[str], said: str) -> None:
    settings = ShopSettings(
        shop="Test",
        key="test",
        emergency=Emergency(number=number),
        sites=tuple(Site(f"s{at}", f"Site {at}", emergency=each) for at, each in enumerate(sites)),
    )
    page = leave_now_page(settings)
    assert page.lead == FIRST + said
    assert [each.anchor for each in page.sections[: len(PARTS)]] == [part.kind for part in PARTS]


def test_who_breathed_chlorine_is_helped_as_first_aid_courses_say() -> None:
    """A pool heater stands beside chlorine: fresh air, upright and warm, medical help though they feel better."""
    gas = next(part for part in PARTS if part.kind == "gas")
    assert "biting chlorine" in gas.steps[0]
    (said,) = [each for each in gas.steps if "Breathed" in each]
    for word in ("chlorine", "fresh air", "upright", "warm", "medical help", "even if they feel better"):
        assert word in said
