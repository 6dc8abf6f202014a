"""Hand-made books for the guide's tests."""

from __future__ import annotations

from kbgen.compute.edition import Edition
from kbgen.ref import Kind, Ref
from kbgen.render.guide.paper import Paper
from kbgen.text import Code, Emphasis, Link, Listing, Paragraph, RichText, Strong, Words
from kbgen.views.blocks import (
    Bar,
    Bars,
    Block,
    Choice,
    Drawing,
    Fact,
    Facts,
    Folded,
    Goto,
    Item,
    Items,
    Mark,
    Notice,
    Picture,
    Plain,
    Prose,
    Signal,
    Step,
    Steps,
    Table,
)
from kbgen.views.page import Book, Page, Review, Section, Shop

SIGNS = (
    "⏚ bond, 24 V ⎓, ≥ 40 Ω, 40 \u2126, 2 µA, 2 \u03bcA, ½ turn, 72 °C, ☐ done, ⚠ hot, → next, "
    "± × − – — … “ ”"
)
LETTERS = "ñ ¿ ¡ é è ê ç œ Œ ä ö ü ß Ä ą ć ę ł ń ó ś ź ż Ł"
HOSTILE = (
    'Relay <img src=x onerror=alert(1)> & "K1" check',
    "Check relay {K1}",
    "Label shows {{ volts }} or {% if hot %} and {: .warn }",
    '--8<-- "mkdocs.yml"',
    "TB_1_2 | _NC_ contact | 24*2*3 | [1](2) | LWC__1__2",
    '3/4" pipe, 6\' 2" run | 1/2 open | (c) valve | a -- b',
    '#read("guide.typ") $x^2$ @ref <label> = head \\ # ~ `raw` // no',
)
LADDER = (
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 200 60"><g fill="none" stroke="currentColor">'
    '<path d="M10 10v40M190 10v40M10 30h80m0-8v16m20-16v16m0-8h80"/></g>'
    '<text x="86" y="16" font-size="9" fill="currentColor">LWC-1 ⏚</text></svg>'
)


def say(text: str) -> RichText:
    """One paragraph of plain words."""
    return (Paragraph((Words(text),)),)


POCKET = Paper("a6", 105, 148, 12, 8, 14, 12, 9, 8)
"""A small sheet: its edges come soon, and what is held together there is held together on every sheet."""


def shop(paper: str = "a6") -> Shop:
    return Shop(
        name="Ternhollow Plant Services",
        key="ternhollow",
        language="en",
        region="",
        paper=paper,
        notice="Local codes, the maker's instructions and licensed practice come first. "
        "This guide does not replace them.",
        call=(("Lead technician", "extension 12"), ("Gas emergency", "the number on the meter")),
    )


def caution(name: str, avoid: RichText, signal: Signal = Signal.WARNING) -> Notice:
    return Notice(signal, name, "The drum stays at pressure.", "Steam burns at once.", avoid)


def page(kind: Kind, name: str, title: str, *blocks: Block, **more: object) -> Page:
    return Page(
        ref=Ref(kind, name),
        title=title,
        kicker=str(kind).capitalize(),
        sections=(Section("main", "What it means", blocks),) if blocks else (),
        kind=kind,
        review=Review("JT", "2026-03-01", "2027-03-01"),
        **more,  # type: ignore[arg-type]
    )


def book(*pages: Page, paper: str = "a6", leave_now: bool = True) -> Book:
    listing = Page(
        ref="leave-now",
        title="Smell of gas, alarm, flooding: leave",
        kicker="Emergency",
        sections=(Section("do", "Now", (Items((Item((Plain("Leave the room."),)),), ordered=True),)),),
    )
    return Book(
        shop=shop(paper),
        edition=Edition("4f2a91c0", "2026-03-01"),
        pages=pages,
        listings=(listing,) if leave_now else (),
        menu=(),
    )


def steps(count: int, cautions: dict[int, tuple[Notice, ...]] | None = None) -> Steps:
    return Steps(
        tuple(
            Step(
                number=n,
                anchor=f"step-{n}",
                text=say(f"Instruction number {n}: turn the knob and wait until the pointer rests."),
                cautions=(cautions or {}).get(n, ()),
                expect="the pointer rests" if n % 4 == 0 else "",
                write_in="Volts at 3" if n % 7 == 0 else "",
                minutes="2 min" if n % 5 == 0 else "",
            )
            for n in range(1, count + 1)
        )
    )


def full() -> Book:
    """Every block, hostile texts, a long procedure."""
    plant = page(
        Kind.EQUIPMENT,
        "steam",
        "Steam boiler",
        Facts(
            (Fact("Supply", ((Plain("120 V AC"),),)), Fact("Places", ((Plain("front"),), (Plain("roof"),)))),
        ),
        Drawing(LADDER, "A ladder with one contact.", "Limits"),
        Bars("Of 3 jobs here", (Bar((Plain("First low water"),), 1, 3, 0.06, 0.79),)),
        Folded("All of it", (Items((Item((Plain("Read T20"),)),)),)),
    )
    low = page(
        Kind.DEVICE,
        "low-water",
        "First low water",
        Prose(
            (
                Paragraph(
                    (
                        Words("Proves the "),
                        Strong((Words("water level"),)),
                        Words(", see "),
                        Link((Words("prove it trips"),), "procedure:long"),  # type: ignore[arg-type]
                        Words(" and "),
                        Link((Words("a draft"),), "device:draft"),  # type: ignore[arg-type]
                        Words("; panel mark "),
                        Code("TB-7"),
                        Words(" is "),
                        Emphasis((Words("not"),)),
                        Words(" its terminal."),
                    )
                ),
                Listing(True, (say("first"), say("second")), 3),
                Listing(False, (say("a point"), say("another"))),
            )
        ),
        Table(
            "Readings to the return",
            ("Fault", "At 3, open meter", "At 4, low impedance", "Across LWC-1"),
            tuple(
                (
                    (Plain(f"contact {n} open and a rather long explanation of it"),),
                    (Mark("118 … 121 V"),),
                    (Plain("0 … 2 V"),),
                    (Plain("full supply, 118 … 121 V"),),
                )
                for n in range(1, 16)
            ),
        ),
        Table(
            "Far too many columns",
            tuple(f"Column heading {n}" for n in range(1, 10)),
            ((*((Plain(f"value {n} that_is_an_unbroken_word"),) for n in range(1, 10)),),) * 2,
        ),
        aliases=("LWCO", "low water cut-off"),
    )
    long = page(
        Kind.PROCEDURE,
        "long",
        "Prove the first low water trips",
        Steps(
            (
                Step(
                    1,
                    "step-1",
                    say("Measure between 3 and the return."),
                    cautions=(caution("Hot water and steam", say("Stand aside of the drain.")),),
                    expect="118 V to 121 V",
                    details=(
                        Fact(
                            "Leads",
                            (
                                (
                                    Mark("3"),
                                    Plain(" and return"),
                                ),
                            ),
                        ),
                        Fact("Meter", ((Plain("low impedance"),),)),
                    ),
                    write_in="Reading at 3",
                    question="Is it full?",
                    choices=(
                        Choice("Yes", Goto("step 2", None, "step-2")),
                        Choice("No", Goto("Make safe", Ref(Kind.PROCEDURE, "safe"))),
                        Choice("Not sure", Goto("step 25", None, "step-25")),
                    ),
                    state="isolated, proved dead",
                    minutes="3 min",
                    pictures=(Picture("panel.jpg", "The panel with its door open", "The panel"),),
                ),
                *steps(
                    25, {12: (caution("Capacitor stays charged", say("Wait five minutes."), Signal.DANGER),)}
                ).steps[1:],
            )
        ),
    )
    symptom = page(
        Kind.SYMPTOM,
        "limits",
        "Panel shows LIMITS NOT MADE",
        Prose(say(SIGNS)),
        Prose(say(LETTERS)),
        *(Prose(say(text)) for text in HOSTILE),
        Items(
            (
                Item(
                    (Goto("First low water", Ref(Kind.DEVICE, "low-water")),), say("Look at the gauge glass.")
                ),
            )
        ),
        *(caution(f"{signal} example", say("Keep away."), signal) for signal in Signal),
        Notice(Signal.WARNING, "Hot water and steam", "", "", (), Ref(Kind.CAUTION, "hot"), brief=True),
        marks=("LIMITS NOT MADE", "A-17"),
        aliases=(*HOSTILE, "won't light"),
        lead="One of the limit contacts is open.",
        equipment=("steam",),
    )
    return book(
        plant,
        low,
        long,
        symptom,
        page(Kind.SYMPTOM, "hostile", HOSTILE[0], marks=("F22", "<b>"), equipment=("steam",)),
        page(Kind.PROCEDURE, "safe", "Make safe and prove dead", steps(3)),
        page(Kind.CAUTION, "hot", "Hot water and steam", Prose(say("Stand aside."))),
        page(Kind.DEVICE, "draft", "Nobody approved this", draft=True),
        page(Kind.DEVICE, "small", "Of little weight", minor=True),
        *(
            page(Kind.TERM, f"term-{n}", f"Term number {n}", Prose(say("What it means. " * n)))
            for n in range(1, 13)
        ),
    )
