"""What the texts of a plant may name: its valves, covers, sources, terminals and devices."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

from kbgen.link.base import KnowledgeBase
from kbgen.model.circuit import Circuit, Point, parts
from kbgen.model.device import Device
from kbgen.model.equipment import Equipment, Memory, Source
from kbgen.rules.words.clauses import folded, is_mark, plain
from kbgen.rules.words.table import Table

Phrase = tuple[str, ...]
_WORDS = re.compile(r"[^\W_]+(?:[-'’:/.][^\W_]+)*")
_CUT = re.compile(r"[,(:;]")
_END = re.compile(r"[.;]\s")


@dataclass(frozen=True)
class Class:
    """Things of one class by id, with the phrases that name them."""

    phrases: Mapping[str, frozenset[Phrase]]

    @cached_property
    def _by_first(self) -> Mapping[str, list[tuple[Phrase, str]]]:
        found: defaultdict[str, list[tuple[Phrase, str]]] = defaultdict(list)
        for name, phrases in self.phrases.items():
            for phrase in phrases:
                found[phrase[0]].append((phrase, name))
        return dict(found)

    def named(self, tokens: tuple[str, ...], beside: Class | None = None) -> frozenset[str]:
        """Return the ids that a run of words names; a longer name hides a shorter one inside it.

        Args:
            beside: Other things, whose names hide too: a door in "door switch".
        """
        own = list(self.hits(tokens))
        every = [*own, *(beside.hits(tokens) if beside else ())]
        return frozenset(
            name
            for start, end, name in own
            if not any(s <= start and end <= e and e - s > end - start for s, e, _ in every)
        )

    def hits(self, tokens: tuple[str, ...]) -> Iterator[tuple[int, int, str]]:
        """Yield where each name stands, the first word and the one behind it."""
        for at, token in enumerate(tokens):
            for phrase, name in self._by_first.get(token, ()):
                if tokens[at : at + len(phrase)] == phrase:
                    yield at, at + len(phrase), name


@dataclass(frozen=True, slots=True)
class Names:
    """Everything that the texts about one plant may name."""

    valves: Class
    covers: Class
    sources: Class
    devices: Class
    switches: Class
    buttons: Mapping[str, str]
    terminals: frozenset[str]
    fuel_points: frozenset[str]
    opened: Mapping[str, frozenset[str]]
    source_words: Mapping[str, frozenset[str]]
    source_valves: Mapping[str, frozenset[str]]
    all_source_words: frozenset[str]
    part_words: Mapping[str, frozenset[str]]
    device_words: Mapping[str, frozenset[str]]
    device_calls: Mapping[str, frozenset[str]]
    button_words: Mapping[str, frozenset[str]]
    button_labels: Mapping[str, frozenset[str]]
    presses: Mapping[str, str]
    setting_devices: Mapping[str, str]
    zone_words: Mapping[str, frozenset[str]]
    point_words: Mapping[str, frozenset[str]]

    def foreign_isolator(self, words: Iterable[str]) -> str:
        """Return a mark that looks like those of the isolators and is none of this plant; empty without one."""
        marks = {phrase[0] for phrases in self.sources.phrases.values() for phrase in phrases}
        letters = {mark.rstrip("0123456789") for mark in marks}
        named = (word for word in words if is_mark(word.upper()) and word not in marks)
        return next((word for word in named if word.rstrip("0123456789") in letters), "").upper()


def names_of(base: KnowledgeBase, plant_id: str, plant: Equipment, table: Table) -> Names:
    """Gather the names of a plant."""
    circuits = [circuit for _, circuit in base.of(Circuit, plant=plant_id)]
    devices = {entry.ref.id: each for entry, each in base.of(Device, plant=plant_id)}
    marks = {source.id: frozenset((mark.lower(),) for mark in _marks(source)) for source in plant.sources}
    valves = Class({each.id: _phrases(each.title, each.id, table) for each in plant.fuel_valves})
    source_words = {each.id: _content(f"{each.title} {_reached(each)}", table) for each in plant.sources}
    return Names(
        valves=valves,
        covers=Class(
            _own({each.id: _covers(_phrases(each.title, each.id, table), table) for each in plant.covers})
        ),
        sources=Class(marks),
        devices=Class(_own({name: _device(each, table) for name, each in devices.items()})),
        switches=Class(
            {
                name: _phrases(each.head.title, each.mark, table)
                for name, each in devices.items()
                if each.type == "switch"
            }
        ),
        buttons={each.id: each.resets for each in plant.memory},
        terminals=frozenset(
            part.point for circuit in circuits for part in parts(circuit.path) if isinstance(part, Point)
        ),
        fuel_points=frozenset(each.id for each in plant.fuel_points if is_mark(each.id.upper())),
        opened=_opened(plant),
        source_valves={each.id: valves.named(_bare(_reached(each), table)) for each in plant.sources},
        source_words=_distinct(source_words),
        all_source_words=frozenset().union(*source_words.values()),
        device_words=_device_words(devices, table),
        device_calls=_device_words(devices, table, verbs=True),
        button_words={
            name: _content(f"{each.what} {each.erased_by} {each.press.do if each.press else ''}", table)
            - table.unspecific
            for each in plant.memory
            for name in (each.id, each.resets)
        },
        setting_devices={each.id: each.device for each in plant.settings if each.device},
        presses={
            name: f"{each.press.do if each.press else ''} {each.erased_by}"
            for each in plant.memory
            for name in (each.id, each.resets)
        },
        zone_words=_distinct({each.id: _content(each.title, table, verbs=True) for each in plant.zones}),
        button_labels=_distinct({each.id: _labels(each) for each in plant.memory}),
        point_words={each.id: _content(each.title, table) | {each.id} for each in plant.fuel_points},
        part_words={
            **_distinct({each.id: _content(each.title, table) for each in plant.fuel_valves}),
            **_distinct({each.id: _content(each.title, table) for each in plant.covers}),
        },
    )


def _opened(plant: Equipment) -> Mapping[str, frozenset[str]]:
    """Return the covers and valves that open the contact of each device."""
    found: defaultdict[str, set[str]] = defaultdict(set)
    opens = [(each.id, each.opens) for each in plant.covers] + [
        (each.id, each.opens) for each in plant.fuel_valves
    ]
    for name, devices in opens:
        for device in devices:
            found[device].add(name)
    return {device: frozenset(names) for device, names in found.items()}


def _marks(source: Source) -> list[str]:
    """Return the marks of a source's isolator."""
    return [word for word in words_of(_reached(source), fold=False) if is_mark(word)]


def _reached(source: Source) -> str:
    """Return what isolates and locks a source; what later sentences name need not reach it."""
    return f"{_END.split(plain(source.isolate), maxsplit=1)[0]}, {plain(source.lock)}"


def _phrases(title: str, name: str, table: Table) -> frozenset[Phrase]:
    """Return a title cut at its first comma, and at each word of place behind two words of its own."""
    named, *places = _CUT.split(plain(title), maxsplit=1)
    words = _bare(named, table)
    found = {words, folded(name.lower().split("-"), table)}
    # "Plant cock, where the gas train begins": also the cock where the gas train begins.
    for place in places:
        where = _bare(place, table)
        found.add(where if not words or words[-1] in where else (words[-1], *where))
        # A word such as "before" begins a clause of its own: "the last cock".
        cut = next((at for at, word in enumerate(where) if word in table.conditions), 0)
        found |= {where[:cut]} if cut > 1 else set()
    found |= {words[:at] for at, word in enumerate(words) if word in table.places and at >= 2}
    return frozenset(phrase for phrase in found if phrase)


def _covers(phrases: frozenset[Phrase], table: Table) -> frozenset[Phrase]:
    """Return phrases with every other word for what covers something: a cap, a lid, a plate."""
    found = set(phrases)
    for phrase in phrases:
        for at, word in enumerate(phrase):
            if word in table.covers and at + 1 < len(phrase):
                found |= {(*phrase[:at], other, *phrase[at + 1 :]) for other in table.covers}
    return frozenset(found)


def _device(device: Device, table: Table) -> frozenset[Phrase]:
    title = _bare(_CUT.split(plain(device.head.title), maxsplit=1)[0], table)
    names = {title, *(_bare(alias, table) for alias in device.head.aliases)}
    # "High steam pressure" names the limit, a kind alone ("switch") names nothing.
    # "Steam pressure" is what two controls follow.
    names |= {
        phrase[:-1]
        for phrase in names
        if len(phrase) > 2
        and phrase[-1] in table.kinds
        and (len(phrase) > 3 or phrase[-2] not in table.quantities)
    }
    found = {phrase for phrase in names if len(phrase) > 1}
    # "The switch of the lint door" is no lint door.
    found |= {
        (phrase[-1], of, *phrase[:-1]) for phrase in found if phrase[-1] in table.kinds for of in table.owning
    }
    # "First low-water" is typed "first low water" as well.
    found |= {tuple(part for word in phrase for part in word.split("-")) for phrase in found}
    return frozenset(found | ({(device.mark.lower(),)} if device.mark else set()))


def _own(phrases: dict[str, frozenset[Phrase]]) -> dict[str, frozenset[Phrase]]:
    """Leave out what names two things."""
    count: defaultdict[Phrase, int] = defaultdict(int)
    for each in phrases.values():
        for phrase in each:
            count[phrase] += 1
    return {name: frozenset(p for p in each if count[p] == 1) for name, each in phrases.items()}


def _distinct(words: dict[str, frozenset[str]]) -> dict[str, frozenset[str]]:
    """Return the words that stand in the texts of one source alone."""
    return {
        name: own - frozenset().union(*(other for key, other in words.items() if key != name))
        for name, own in words.items()
    }


def _device_words(
    devices: Mapping[str, Device], table: Table, *, verbs: bool = False
) -> dict[str, frozenset[str]]:
    """Return the words that only one device's names have; with verbs also "float", which is one of the table."""
    texts = {name: " ".join((each.head.title, *each.head.aliases)) for name, each in devices.items()}
    return _distinct({name: _content(text, table, verbs=verbs) - table.kinds for name, text in texts.items()})


def _labels(memory: Memory) -> frozenset[str]:
    """Return what is printed on a button that erases a memory: words in capitals."""
    said = f"{memory.erased_by} {memory.press.do if memory.press else ''}"
    words = words_of(plain(said), fold=False)
    return frozenset(word for word in words if len(word) > 2 and word.isalpha() and word.isupper())


def _content(text: str, table: Table, *, verbs: bool = False) -> frozenset[str]:
    return frozenset(
        word
        for word in _bare(plain(text), table)
        if len(word) > 2
        and word not in table.places | table.particles | table.theirs
        and (verbs or word not in table.forms or word in table.holds)
    )


def words_of(text: str, *, fold: bool = True) -> Phrase:
    """Return the words of a text, marks included."""
    return tuple(_WORDS.findall(text.lower() if fold else text))


def _bare(text: str, table: Table) -> Phrase:
    return folded(words_of(text), table)
