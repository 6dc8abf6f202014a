"""A hand-made book with every block and every text that has ever broken a Markdown site.

Everything in it is invented. It is content for the renderers' tests, not a write-up to work by.
"""

from __future__ import annotations

from kbgen.compute.edition import Edition
from kbgen.ref import Kind, Ref
from kbgen.search import SearchDocument, build_index, export
from kbgen.text import Break, Code, Emphasis, Inline, Link, Listing, Paragraph, RichText, Strong, Words
from kbgen.views.blocks import (
    Bar,
    Bars,
    Block,
    Choice,
    Drawing,
    Fact,
    Facts,
    Fits,
    Folded,
    Goto,
    Item,
    Items,
    Line,
    Mark,
    Notice,
    Only,
    Picture,
    Plain,
    Prose,
    Signal,
    Step,
    Steps,
    Table,
)
from kbgen.views.page import Book, Choosing, Page, Review, Section, Shop

HOSTILE = (
    'Relay <img src=x onerror=alert(1)> & "K1" check',
    "Check relay {K1}",
    "Label shows {{ volts }} or {% if hot %} and {: .warn } {# gone #}",
    '--8<-- "mkdocs.yml"',
    "TB_1_2 and _NC_ contact and 24*2*3 and [1](2) and LWC__1__2",
    '3/4" pipe, 6\' 2" run, 1/2 open, (c) valve, a -- b ...',
    "!!! warning",
    "&amp; &lt;b&gt; &#96; &nbsp; stay as typed",
    "`code` and ```\nfence\n``` and ~~~ tilde",
    "# not a heading",
    "line one\n\nline three after an empty one",
    "a\ttab",
    "</div></section></article><script>alert(2)</script><!-- open",
    "¿µΩ≥½°C → ☐ ⚠ 🔥 Prüfen",
    "<!-- a --> <?php ?> <![CDATA[x]]>",
    "http://example.invalid/ and www.example.invalid and me@example.invalid",
    "- not a list\n1. nor this\n> nor a quotation\n    nor code",
    "*[HTML]: abbreviation [^1] [TOC] $x$ :fire: ==marked== ++key++",
)

PLANT = Ref(Kind.EQUIPMENT, "boiler-x")
SYMPTOM = Ref(Kind.SYMPTOM, "limits-not-made")
DEVICE = Ref(Kind.DEVICE, "low-water")
PROCEDURE = Ref(Kind.PROCEDURE, "find-open-contact")
CAUTION = Ref(Kind.CAUTION, "live-string")
TERM = Ref(Kind.TERM, "lockout")
SHORT = Ref(Kind.TERM, "one-paragraph")
HOSTILE_PAGE = Ref(Kind.TERM, "hostile")

PIXEL = bytes.fromhex(
    "89504e470d0a1a0a0000000d49484452000000010000000108000000003a7e9b55"
    "0000000a49444154789c63680000008200814dd043f40000000049454e44ae426082"
)

LADDER = """<svg xmlns="http://www.w3.org/2000/svg" width="720" height="120" viewBox="0 0 720 120"
 fill="none" stroke="currentColor" stroke-width="2">
  <path d="M20 10v100M700 10v100M20 60h120M140 40v40M170 40v40M170 60h200M370 40v40M400 40v40M400 60h300"/>
  <text x="130" y="30" fill="currentColor" stroke="none" font-size="16">TB-3</text>
  <text x="350" y="30" fill="currentColor" stroke="none" font-size="16">TB-4 &amp; TB-5</text>
</svg>"""


def say(*inlines: Inline | str) -> RichText:
    """One paragraph."""
    return (Paragraph(tuple(Words(each) if isinstance(each, str) else each for each in inlines)),)


def plain(text: str) -> Line:
    """A line of plain words."""
    return (Plain(text),)


def goto(ref: Ref, label: str) -> Line:
    """A line that is one link."""
    return (Goto(label, ref),)


LIVE = Notice(
    Signal.DANGER,
    "Live limit string",
    "The string carries 120 V while you measure.",
    "It can kill.",
    say("Clip the leads on dead, keep hands clear, use fused leads."),
    CAUTION,
)
HOT = Notice(
    Signal.WARNING, "Hot casing", "The casing stays hot for an hour.", "It burns skin.", say("Wear gloves.")
)
EDGE = Notice(
    Signal.CAUTION, "Sharp edge", "Panel edges are sharp.", "They cut.", say("Use the handle."), brief=True
)
SEAL = Notice(
    Signal.NOTICE, "Door seal", "The seal tears when pulled cold.", "", say("Warm it first."), CAUTION, True
)


def _review(due: str = "2027-03-01") -> Review:
    return Review("MK", "2026-03-01", due)


def _symptom() -> Page:
    return Page(
        SYMPTOM,
        "Limits not made",
        "Symptom",
        (
            Section(
                "meaning",
                "What it means",
                (
                    Prose(
                        (
                            *say(
                                "One contact of the ",
                                Strong((Words("limit string"),)),
                                " is open: see ",
                                Link((Words("low water"),), DEVICE),
                                ", terminal ",
                                Code("TB-3"),
                                ".",
                                Break(),
                                Emphasis((Words("Open is not faulty."),)),
                            ),
                            Listing(
                                True, (say("first"), (*say("second"), Listing(False, (say("nested"),)))), 3
                            ),
                        )
                    ),
                ),
            ),
            Section("normal", "Is it normal?", (Prose(say("Yes, for 30 s after every start.")),)),
            Section("safe", "Make it safe", (LIVE, HOT, EDGE, SEAL)),
            Section(
                "first",
                "What to test first",
                (
                    Items(
                        (
                            Item(goto(DEVICE, "Low-water cutoff"), say("Look at the gauge glass.")),
                            Item((Plain("Reset popped on "), Goto("low water", DEVICE), Plain("?"))),
                            Item(goto(PROCEDURE, "Find the open contact")),
                        ),
                        tappable=True,
                    ),
                    Items((Item(plain("Gauge glass")), Item((Mark("TB-3"), Plain(" made")))), ordered=True),
                    Items((Item(plain("Popped button")),)),
                ),
            ),
            Section(
                "readings",
                "Readings",
                (
                    Facts(
                        (
                            Fact("Supply", (plain("120 V AC"), plain("grounded return"))),
                            Fact("Terminals", ((Mark("TB-3"), Plain(" to "), Mark("TB-9")),)),
                            Fact(
                                "Named on",
                                (goto(DEVICE, "Low-water cutoff"), goto(PROCEDURE, "Find the open contact")),
                            ),
                            Fact(
                                "Our jobs",
                                (
                                    (Plain("2026-01-07 "), Goto("Float stuck", DEVICE)),
                                    (Plain("2026-02-11 "), Goto("Probe furred", DEVICE), Plain(", hot")),
                                ),
                            ),
                            Fact("", (plain("A line without a label"),)),
                        )
                    ),
                    Table(
                        "Expected readings to the return",
                        ("Fault", "TB-3", "TB-4", "Meter in low impedance, after lifting nothing"),
                        (
                            (
                                goto(DEVICE, "Low water open"),
                                plain("114–126 V"),
                                plain("0–9 V"),
                                plain("0 V"),
                            ),
                            (
                                plain("No supply"),
                                plain("0 V"),
                                plain("0 V"),
                                (Goto("Find it", PROCEDURE), Mark("B25")),
                            ),
                        ),
                    ),
                    Drawing(
                        LADDER, "Two contacts in a row between TB-3 and TB-5.", "Limit string, size SB-1"
                    ),
                    Picture("glass.png", 'Gauge glass, "half" full', "The water line in the glass"),
                ),
            ),
        ),
        aliases=("string open", "no limits"),
        marks=("LIMITS NOT MADE", "A-17"),
        lead="The controller waits because a safety contact is open.",
        review=_review(),
        kind=Kind.SYMPTOM,
        equipment=("boiler-x",),
        former_ids=("limit-open",),
    )


def _steps(count: int) -> Steps:
    cautions: dict[int, tuple[Notice, ...]] = {
        1: (LIVE,),
        4: (HOT, EDGE),
        12: (SEAL,),
        20: (EDGE,),
        25: (LIVE,),
    }
    special = {
        2: Step(
            2,
            "step-2",
            say("Measure from ", Code("TB-3"), " to the return."),
            expect="114 V to 126 V",
            details=(
                Fact("Leads", ((Mark("TB-3"), Plain(" and "), Mark("N")),)),
                Fact("Meter", (plain("volts AC"),)),
            ),
            write_in="TB-3 to return, volts",
            question="What does the meter read?",
            choices=(
                Choice("Full", Goto("step 3", None, "step-3")),
                Choice("Zero", Goto("step 25", None, "step-25")),
                Choice("Not sure", Goto("Leave now", "leave-now")),
            ),
            state="isolated, proved dead",
            minutes="2 min",
        ),
        3: Step(
            3,
            "step-3",
            say("Look into the glass."),
            pictures=(Picture("glass.png", "Gauge glass"),),
            then=Goto("step 5", None, "step-5"),
        ),
    }
    steps = []
    for number in range(1, count + 1):
        end = "Left safe and tagged" if number == count else ""
        steps.append(
            special.get(number)
            or Step(number, f"step-{number}", say(f"Do thing {number}."), cautions.get(number, ()), end=end)
        )
    return Steps(tuple(steps))


def _entry(ref: Ref, title: str, kicker: str, *blocks: Block, **rest: object) -> Page:
    sections = (Section("text", "What it is", blocks),)
    return Page(ref, title, kicker, sections, kind=ref.kind, review=_review(), **rest)  # type: ignore[arg-type]


def _hostile() -> Page:
    lines = tuple(Item(plain(text), say(text)) for text in HOSTILE)
    first = HOSTILE[0]
    fits = Fits(("x-1",), ("fan",), (), first)
    return _entry(
        HOSTILE_PAGE,
        first,
        "Term",
        Prose(tuple(Paragraph((Words(text),)) for text in HOSTILE)),
        Items(lines),
        Items(lines, tappable=True),
        Facts(tuple(Fact(text, (plain(text), (Mark(text),))) for text in HOSTILE)),
        Table(first, (first, "`~`"), ((plain(first), plain(HOSTILE[8])),)),
        Notice(Signal.WARNING, first, HOSTILE[6], HOSTILE[4], say(HOSTILE[2])),
        Picture("glass.png", first, first),
        Drawing(LADDER, first, first),
        Bars(first, (Bar(plain(first), 1, 3, 0.06, 0.79),)),
        Folded(first, (Items((Item(plain(first)),)),)),
        Only(fits, (Prose(say(first)),)),
        Table(HOSTILE[1], (first,), ((plain(first),),), (fits,)),
        choosing=Choosing("boiler-x", (("x-1", first), ("x-2", "`~`")), (("fan", first),), fits),
        aliases=HOSTILE[1:4],
        marks=(HOSTILE[0], "UP\nDOWN"),
        lead=HOSTILE[9],
        draft=True,
    )


def _listing(ref: str, title: str, *pages: Page) -> Page:
    rows = tuple(Item((Goto(page.title, page.ref),)) for page in pages)
    return Page(ref, title, "All entries", (Section("list", title, (Items(rows, tappable=True),)),))


def web_book(extra_terms: int = 0) -> Book:
    """The book; ``extra_terms`` adds that many one-paragraph entries."""
    pages = (
        _entry(PLANT, "Boiler X", "Plant", Prose(say("An invented boiler."))),
        _symptom(),
        _entry(
            DEVICE, "Low-water cutoff", "Device", Prose(say("Opens at low water.")), equipment=("boiler-x",)
        ),
        _entry(PROCEDURE, "Find the open contact", "Procedure", _steps(25), draft=True),
        _entry(CAUTION, "Live limit string", "Caution", LIVE),
        _entry(TERM, "Lockout", "Term", Prose(say("Not the padlock."))),
        _entry(SHORT, "One paragraph", "Term", Prose(say("One paragraph and nothing more."))),
        _hostile(),
        *(
            _entry(
                Ref(Kind.TERM, f"term-{n}"), f"Term {n}", "Term", Prose(say(f"Word {n} of a generated list."))
            )
            for n in range(extra_terms)
        ),
    )
    kinds = [kind for kind in Kind if any(page.kind is kind for page in pages)]
    listings = tuple(
        _listing(f"{kind.folder}/index", kind.plural, *(page for page in pages if page.kind is kind))
        for kind in kinds
    )
    leave = Page(
        "leave-now",
        "Leave now",
        "Emergency",
        (Section("gas", "Smell of gas", (LIVE, Prose(say("Leave. Switch nothing. Call from outside.")))),),
    )
    return Book(
        Shop(
            "Test & Sons <Plant>",
            "test-sons",
            "en",
            "mixed",
            "a6",
            "Local codes, the maker's instructions and licensed practice come first.",
            (("Lead technician", "MK, extension 12"),),
        ),
        Edition("3f2a9c1d", "2026-03-01"),
        pages,
        (leave, *listings),
        tuple(Goto(kind.plural, f"{kind.folder}/index") for kind in kinds),
    )


def _search_index() -> bytes:
    documents = [
        SearchDocument(
            page.ref.kind,
            page.ref.id,
            page.title,
            f"{page.ref.kind.folder}/{page.ref.id}.html",
            page.equipment,
            page.marks,
            page.aliases,
            "",
            page.lead,
            page.draft,
        )
        for page in web_book().pages
        if isinstance(page.ref, Ref)
    ]
    return export(build_index(documents)).encode()


FILES: dict[str, bytes] = {"photos/glass.png": PIXEL, "assets/search-index.js": _search_index()}
