"""The leaves that are the same for every plant: leave now, records, combustion and gas, whom to call."""

from __future__ import annotations

from collections.abc import Iterator

from kbgen.model.equipment import Equipment
from kbgen.model.shop import ShopSettings
from kbgen.text import Listing, RichText
from kbgen.views.blocks import Line
from kbgen.views.booklet.leaf import Fill, Grid, Part, Warn, Words
from kbgen.views.booklet.plant import WHEN_IT_FAILS
from kbgen.views.booklet.say import said
from kbgen.views.compose import line_of
from kbgen.views.leave_now import PARTS

FIRST_AID = ("shock", "burn", "hurt")
"""Parts of the leave-now page that are printed whole: who helps has no hands free for a tablet."""
NO_SIGNAL = "No signal: call from"
"""Where a fixed telephone is, or a signal, away from the plant: found out before it is needed."""
_EMPTY = ((), (), (), ())


def leave_now(shop: ShopSettings) -> Iterator[Part]:
    """Say what comes first in each danger, with lines for the place where the plant stands."""
    yield Warn(said("Leave. Take everyone with you. Call from outside."))
    gas = next(part for part in PARTS if part.kind == "gas")
    yield Words(
        f"{gas.title}, or a smell nobody knows: out first, then call", tuple(said(each) for each in gas.steps)
    )
    others = [part for part in PARTS if part is not gas and part.kind not in FIRST_AID]
    yield Words("Else", tuple(said(f"{part.title}: {part.act}") for part in others))
    number = shop.emergency.number
    yield Fill(
        (f"Emergency number{f' ({number})' if number else ''}", "Address", "Muster point", "Gas shut-off")
    )


USE = (
    "Find what the panel shows; turn to the page in the black box.",
    "Tick a square when it is done and the answer behind ✓ was seen.",
    "Another answer leads where its arrow points. Not sure is never yes.",
    "A procedure without a page: with the tablet or the binder. Without both: leave it locked and call.",
)


def _items(text: RichText) -> Iterator[Line]:
    """Yield the items of a text's lists, and its paragraphs, each as a line."""
    for block in text:
        if isinstance(block, Listing):
            for item in block.items:
                yield line_of(item)
        else:
            yield line_of((block,))


def first_aid() -> Iterator[Part]:
    """Say the first aid in full, what holds when a tablet goes dark, and how the booklet is used."""
    for part in PARTS:
        if part.kind in FIRST_AID:
            yield Words(part.title, (said(part.act), *(said(each) for each in part.steps)), ordered=True)
    yield Words("When the tablet fails", tuple(said(each) for each in WHEN_IT_FAILS), ordered=True)
    yield Words("How this booklet is used", tuple(said(each) for each in USE))


def records(plant: Equipment) -> Iterator[Part]:
    """Make sheets to write on: readings, locks, alterations, call-outs."""
    yield Grid("Readings", ("Time", "At", "Volts", "Low-Z"), (20, 34, 24, 22), (_EMPTY,) * 12, high=True)
    locks = tuple((said(source.title), (), (), ()) for source in plant.sources)
    yield Grid(
        "Locks and tags",
        ("Energy", "Lock, by", "On", "Off"),
        (46, 26, 14, 14),
        (*locks, *(_EMPTY,) * 3),
        high=True,
    )
    yield Grid(
        "Alterations, every one",
        ("No., what, where", "By", "In", "Out"),
        (52, 16, 16, 16),
        (_EMPTY,) * 5,
        high=True,
    )
    yield Grid(
        "Call-outs", ("Date", "Shown, found", "Done", "By"), (18, 36, 34, 12), (_EMPTY,) * 5, high=True
    )


def burning() -> Iterator[Part]:
    """Make the sheet for flue gas and gas rate, with the arithmetic that goes with it."""
    yield Warn(said("Adjusted only by the licensed gas technician, to the plate and the maker's figures."))
    rows = tuple(
        (said(name), (), (), ()) for name in ("O₂, CO₂ %", "CO ppm", "Flue, room", "Gas at burner", "Draft")
    )
    yield Grid("Flue gas", ("", "Plate says", "Low fire", "High fire"), (25, 25, 25, 25), rows, high=True)
    times = (10, 20, 30, 60, 120)
    rate = tuple(
        (said(f"{each} s"), said(f"{3600 / each:g} ft³/h"), said(f"{360 / each:g} m³/h")) for each in times
    )
    yield Grid("Gas rate", ("One round of the dial", "of 1 ft³", "of 0.1 m³"), (36, 32, 32), rate)
    yield Words(
        "",
        (
            said("Other dial: its volume × 3600, divided by the seconds. All other appliances off."),
            said("1 in wc = 2.49 mbar = 249 Pa.  1 psi = 27.7 in wc = 68.9 mbar."),
            said("°F = °C × 1.8 + 32.  1 ft³ = 0.0283 m³.  1 kW = 3412 Btu/h."),
        ),
    )


def whom_to_call(shop: ShopSettings) -> Iterator[Part]:
    """Say whom to call, with lines for those of the place."""
    if shop.emergency.first:
        yield Words("In our shop", tuple(_items(shop.emergency.first)))
    rows = tuple((said(call.who), said(call.reach)) for call in shop.call)
    if rows:
        yield Grid("", ("Who", "How"), (42, 58), rows)
    yield Fill(
        (
            "Gas supplier",
            "Licensed gas",
            "Licensed electrician",
            "Maker",
            "Insurer, inspector",
            "Site, keys",
            NO_SIGNAL,
            "Defibrillator",
        )
    )
