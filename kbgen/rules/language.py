"""Rules about words: what is one thing is written one way."""

from __future__ import annotations

import re
import unicodedata
from collections import defaultdict
from collections.abc import Iterator

from kbgen.model.equipment import Equipment
from kbgen.model.symptom import Symptom
from kbgen.nearest import nearest
from kbgen.position import Spot
from kbgen.problems import Problem, Related
from kbgen.rule import Family
from kbgen.rules.material import Check, Material

LANGUAGE = Family(
    "Language",
    "One thing, one name: technical writing and search.",
    "Titles, names and texts, letter by letter.",
)
DISPLAY_WRITTEN_TWO_WAYS = LANGUAGE.warning(
    "display-written-two-ways",
    "Somebody compares the panel with the page letter by letter and takes it for another fault.",
    "displays: [E-31]  # and E31 in another symptom",
    "displays: [E-31]  # in both",
)


def _displays(material: Material) -> Iterator[Problem]:
    """Compare the displays of each family, and of the symptoms about it, by letters and digits only."""
    for entry, plant in material.base.of(Equipment):
        first: dict[str, tuple[str, Spot]] = {}
        uses = [(display.shows, Spot(entry.path, (*display.route, "shows"))) for display in plant.displays]
        uses += [
            (shown, Spot(other.path, ("displays", index)))
            for other, symptom in material.base.of(Symptom)
            if entry.ref.id in symptom.equipment
            for index, shown in enumerate(symptom.displays)
        ]
        for shown, spot in uses:
            earlier, where = first.setdefault(_bare(shown), (shown, spot))
            if earlier != shown:
                yield DISPLAY_WRITTEN_TWO_WAYS.at(
                    spot,
                    f"`{shown}` differs from `{earlier}` only by case, blanks or hyphens",
                    "Write both as the panel shows it; if they are two displays, say so with other words.",
                    Related(where, "the other way of writing"),
                )


DISPLAY_NOT_LISTED = LANGUAGE.warning(
    "display-not-listed",
    "The technician types what the panel shows and misses the page that explains it.",
    "displays: [LIMITS NOT MAED]",
    "displays: [LIMITS NOT MADE]  # as listed in the equipment",
)


def _listed(material: Material) -> Iterator[Problem]:
    for entry, symptom in material.base.of(Symptom):
        plants = [plant for name in symptom.equipment if (plant := material.base.equipment(name))]
        listed = {display.shows for plant in plants for display in plant.displays}
        written = {_bare(shows) for shows in listed}
        for index, shown in enumerate(symptom.displays):
            # A plant that lists nothing says nothing; another way of writing it is told by itself.
            if all(plant.displays for plant in plants) and listed and _bare(shown) not in written:
                near = nearest(shown, sorted(listed))
                yield DISPLAY_NOT_LISTED.at(
                    Spot(entry.path, ("displays", index)),
                    f"no plant of this symptom lists the display `{shown}`",
                    f"Did you mean `{near}`?"
                    if near
                    else "List it under `displays` of the equipment, or correct it.",
                )


def _bare(shown: str) -> str:
    return re.sub(r"[\W_]+", "", unicodedata.normalize("NFKC", shown)).casefold() or shown


def _same(text: str) -> str:
    """Write alike what only case, blanks or the composition of accents tell apart."""
    return " ".join(unicodedata.normalize("NFKC", text).casefold().split())


TITLE_TWICE = LANGUAGE.warning(
    "title-twice",
    "Of two hits with one title people open the wrong one.",
    "title: Limit open  # twice",
    "title: Limit open before the start\n# and: Limit open while firing",
)


def _titles(material: Material) -> Iterator[Problem]:
    seen: defaultdict[tuple[str, str], list[Spot]] = defaultdict(list)
    for entry in material.base.entries.values():
        key = (entry.ref.kind, _same(entry.title))
        spot = Spot(entry.path, ("title",))
        if seen[key] and entry.ref.kind not in ("field-note", "plant"):
            yield TITLE_TWICE.at(
                spot,
                f"another {entry.ref.kind} has this title",
                "Say what tells them apart: the plant, the size, the stage.",
                Related(seen[key][0], "the other one"),
            )
        seen[key].append(spot)


ALIAS_TWICE = LANGUAGE.warning(
    "alias-twice",
    "It is most likely a slip for another name that the search now misses.",
    "title: Float switch\naliases: [float switch]",
    "title: Float switch\naliases: [float cutoff]",
)


def _aliases(material: Material) -> Iterator[Problem]:
    for entry in material.base.entries.values():
        seen = {_same(entry.title)}
        for index, alias in enumerate(entry.head.aliases):
            plain = _same(alias)
            if plain in seen:
                yield ALIAS_TWICE.at(
                    Spot(entry.path, ("aliases", index)),
                    f"`{alias}` is already a name of this entry",
                    "Take it out.",
                )
            seen.add(plain)


CHECKS: tuple[Check, ...] = (_displays, _listed, _titles, _aliases)
