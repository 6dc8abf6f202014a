"""The leave-now page: what to do first, by what has happened. Built in; a shop adds to it and takes nothing away.

First aid follows the plain advice that first-aid courses give everywhere: cool running water for 20 minutes on a
burn, resuscitation with a defibrillator after a shock, nobody pulled by hand off what is live or turning; after
breathed gas, CO or chlorine, fresh air, call for help, keep upright and warm.
"""

from __future__ import annotations

from dataclasses import dataclass

from kbgen.model.shop import ShopSettings
from kbgen.text import read
from kbgen.views.blocks import Item, Items, SiteFacts, Sites
from kbgen.views.compose import fact, facts, items, prose, section, sections
from kbgen.views.page import Page, Section

LEAVE_NOW = "leave-now"
TITLE = "Leave now: gas, fire, shock, somebody hurt, steam, water"
KICKER = "Emergency"


@dataclass(frozen=True, slots=True)
class Part:
    """What to do about one kind of danger.

    Attributes:
        kind: As in the search's table of danger words; the anchor on the page.
        title: Its heading.
        act: The first act, one short sentence; shown on the search's own row too.
        steps: What follows, in order.
    """

    kind: str
    title: str
    act: str
    steps: tuple[str, ...]


PARTS = (
    Part(
        "gas",
        "Gas or CO",
        "Go out with the tablet first. Then type or call.",
        (
            "Gas, a hiss, biting chlorine or an unknown smell: touch no switch, plug, bell or lighter. Use no telephone inside.",
            "Everybody out first: warn, take along, leave doors open.",
            "CO alarm or headache, no gas: burner off only if you pass it.",
            "Shut the gas shut-off only if you pass it on the way out.",
            "Outside and well away, call the emergency number and the gas supplier.",
            "Breathed gas, CO or chlorine: fresh air, upright and warm, then medical help, even if they feel better.",
            "If somebody does not breathe: resuscitate outside, and send for a defibrillator.",
            "Let nobody go back in before the fire service or the gas supplier says so.",
        ),
    ),
    Part(
        "fire",
        "Fire, smoke, explosion",
        "Warn everybody and go out. Shut doors behind you.",
        (
            "Press the emergency stop or fire alarm only if you pass it on the way out.",
            "Shut the gas shut-off only if you pass it on the way out.",
            "Stay low under smoke. Use no lift.",
            "Outside, call the emergency number. Count heads at the muster point.",
            "If clothes burn: stop, lie down, roll. Then cool the burn with running water for 20 minutes.",
            "Let nobody go back in before the fire service says so.",
        ),
    ),
    Part(
        "shock",
        "Electric shock",
        "Do not touch or pull anybody who may still touch a live part.",
        (
            "Cut the supply from a dry place: isolator, breaker or plug. Where gas is about, go out and call instead.",
            "When the supply is off, call the emergency number. Send somebody for the defibrillator.",
            "If the person does not breathe normally: resuscitate at once. Use the defibrillator as it tells you.",
            "If the person breathes but does not wake: lay them on their side and watch their breathing.",
            "Medical help after every shock, even if the person feels well.",
            "Nobody switches that plant on again. Lock it and tag it.",
        ),
    ),
    Part(
        "burn",
        "Burn or scald",
        "Get away from the heat. Cool running water on the burn for 20 minutes.",
        (
            "If steam or hot water still comes, leave first. Cool outside.",
            "Take off rings and clothes around the burn, but nothing that sticks to the skin.",
            "Put on no ice, cream or powder. Then cover it loosely with clean film or a clean cloth.",
            "A chemical in the eye or on the skin: rinse with running water for 20 minutes.",
            "Call the emergency number for a face, hand, large or deep burn, or a burn from a shock.",
        ),
    ),
    Part(
        "hurt",
        "Somebody hurt or trapped",
        "Look whether you are safe. Then call the emergency number.",
        (
            "Where the air may be bad, such as a pit, flue or vessel: stay out. Call, and wait for rescuers.",
            "Press the emergency stop where something turns or holds somebody. Do not pull by hand.",
            "Do not move somebody who fell, unless fire or gas leaves no choice.",
            "If the person does not breathe normally: resuscitate. Send somebody for the defibrillator.",
            "Press hard on a bleeding wound with a clean cloth, and hold it.",
            "Stay with them. Send somebody to the door to lead the rescuers in.",
        ),
    ),
    Part(
        "water",
        "Steam or water escapes",
        "Leave. Do not look for the leak.",
        (
            "Steam from a small hole is not seen and cuts. Stay away from the noise.",
            "Press the emergency stop at the door only if you pass it on the way out.",
            "Do not step into water near sockets or panels. Touch no panel with wet feet or hands.",
            "Outside, call the emergency number, then whoever can switch the building's supply off.",
            "A scald: cool running water for 20 minutes.",
        ),
    ),
    Part(
        "pressure",
        "Pressure past the mark, or no water in the glass",
        "Leave now. Press the emergency stop at the door on the way.",
        (
            "This holds when pressure is above the safety valve's setting, or rises with the fire out.",
            "It holds when the flame stays with the gas cock shut.",
            "It holds when a hot boiler fires and shows no water in its glass.",
            "Look at nothing more. Lift no safety valve. Drain nothing. Feed no water.",
            "Take everybody out of the room, and of the rooms beside and above it.",
            "Outside, call the emergency number. Nobody goes back before the boiler is cold.",
        ),
    ),
    Part(
        "stop",
        "It fires and does not stop",
        "One act: burner switch off, then the gas cock if it is on your way.",
        (
            "If the flame is then out, stay at the door and open the page of what you saw.",
            "If the flame stays, or you did not see it in time: leave. Press the emergency stop at the door.",
            "Above the safety valve's setting or with no water in the glass: leave at once, touch nothing.",
            "Outside, call the emergency number. Then the lead technician.",
        ),
    ),
    Part(
        "help",
        "You need help",
        "Go where it is safe. Then call the emergency number.",
        (
            "An alarm that rings and you do not know why: go out, with everybody.",
            "Say where you are, what happened, how many are hurt. Hang up last.",
            "Send somebody to the gate to lead them in.",
        ),
    ),
)

_AFTER = (
    "Tell whoever takes over what you left behind: jumpers, lifted wires, open covers or joints. "
    "The next visit clears those first."
)


def leave_now_page(settings: ShopSettings) -> Page:
    """Make the page."""
    return Page(
        ref=LEAVE_NOW,
        title=TITLE,
        kicker=KICKER,
        lead=" ".join(filter(None, ("Smell of gas: go out with the tablet first.", _outside(settings)))),
        sections=sections(
            *[_part(part) for part in PARTS],
            _where(settings),
            section("after", "When it is over", items([_AFTER])),
            section("here", "In our shop", prose(settings.emergency.first)),
            section("call", "Call", facts(*[fact(call.who, call.reach) for call in settings.call])),
        ),
    )


def _part(part: Part) -> Section | None:
    steps = [read(f"**{part.act}**"), *map(read, part.steps)]
    return section(part.kind, part.title, Items(tuple(Item((), step) for step in steps), ordered=True))


def sites_of(settings: ShopSettings) -> Sites:
    """Return what belongs to each place: shown for the site that was chosen today, a line to fill in without one."""
    number = settings.emergency.number
    sites = tuple(
        SiteFacts(
            site.id,
            site.title,
            (
                ("Emergency number", site.emergency or number),
                ("Address", site.address),
                ("Muster point", site.muster),
                ("Gas shut-off", site.gas_shut_off),
                ("Keys", site.keys),
            ),
        )
        for site in settings.sites
    )
    return Sites(sites, number)


def _outside(settings: ShopSettings) -> str:
    """Return which number to call, where it holds for every site; the page begins with the steps, not with the sites."""
    number = settings.emergency.number
    same = all(set(site.emergency.split()) <= set(number.split()) for site in settings.sites)
    return f"Outside, call {number}." if number and same else ""


def _where(settings: ShopSettings) -> Section | None:
    sites = sites_of(settings)
    return section("where", "Where you are", sites) if sites.sites or sites.number else None
