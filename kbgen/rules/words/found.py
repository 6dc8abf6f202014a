"""What the comparison of words and actions finds, and what it needs to know of a procedure."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from kbgen.model import action as act
from kbgen.model.equipment import Source
from kbgen.position import Route
from kbgen.rule import Family, Rule
from kbgen.rules.words.names import Class, Names, words_of
from kbgen.rules.words.subject import target
from kbgen.rules.words.told import Reader

WORDS = Family(
    "Words against actions",
    "Procedure writing: one instruction a step, and what is checked is what is read.",
    follows_names=True,
    mistakable=True,
)


@dataclass(frozen=True, slots=True)
class Found:
    """Words that do not go with the action of their step.

    Attributes:
        route: The field; of a step, from the step.
    """

    rule: Rule
    route: Route
    message: str
    hint: str


@dataclass(frozen=True, slots=True)
class Ground:
    """One procedure on one of its plants.

    Attributes:
        sources: The plant's sources by id.
        fits: The alterations of the procedure by name.
    """

    reader: Reader
    names: Names
    sources: Mapping[str, Source]
    fits: Mapping[str, act.Fit]

    def like(self, action: act.AnyAction | None) -> Class | None:
        """Return the names of everything that the action could be about instead."""
        match action:
            case act.ShutValve() | act.OpenValve():
                return self.names.valves
            case act.CloseCover() | act.OpenCover():
                return self.names.covers
            case act.Isolate() | act.Restore() | act.Lock() | act.Unlock():
                return self.names.sources
        return None

    def electric(self, action: act.AnyAction) -> bool:
        """Return whether an action is about an electric source."""
        source = self.sources.get(target(action))
        return source is not None and source.electric

    def own(self, action: act.AnyAction, tokens: tuple[str, ...]) -> bool:
        """Return whether words name what the action is about."""
        like = self.like(action)
        return like is not None and target(action) in like.named(tokens)

    def locked_with(self, action: act.AnyAction, tokens: tuple[str, ...]) -> bool:
        """Return whether a run of words names what a source is held with: the wedge of a wheel."""
        source = self.sources.get(target(action))
        table = self.reader.table
        with_ = (table.holds | table.fasteners) & set(words_of(source.lock)) if source else set()
        return not with_.isdisjoint(tokens)

    def held_with(self, action: act.AnyAction, tokens: tuple[str, ...]) -> bool:
        """Return whether a run of words names what the action's source is held off with: a wedge, a lock plate."""
        source = self.sources.get(target(action))
        table = self.reader.table
        said = set(words_of(f"{source.isolate} {source.lock}")) if source else set()
        return not ((table.holds | table.fasteners) & said).isdisjoint(tokens)

    def own_thing(self, action: act.AnyAction, tokens: tuple[str, ...]) -> bool:
        """Return whether words name a thing that the source's own words for this deed work: a stop valve, a pump switch."""
        source = self.sources.get(target(action))
        match action:
            case act.Isolate():
                said = source.words.switch_off if source else None
            case act.Restore():
                said = source.words.switch_on if source else None
            case _:
                return False
        here = self._things(tokens)
        return said is not None and any(
            own and own <= here for own in (self._things(each.tokens) for each in self.reader.told(said.do))
        )

    def _things(self, tokens: tuple[str, ...]) -> frozenset[str]:
        """Return the words of a clause that are neither verb nor particle nor place."""
        table = self.reader.table
        small = table.leads | table.across | table.places | self.reader.particles | table.forms.keys()
        stop = next((at for at, word in enumerate(tokens) if at and word in table.places), len(tokens))
        return frozenset(word for word in tokens[:stop] if word not in small)

    def own_words(self, action: act.AnyAction) -> frozenset[str]:
        """Return every word of the names of what the action is about."""
        like = self.like(action)
        phrases = like.phrases.get(target(action), frozenset()) if like else frozenset()
        words = frozenset(word for phrase in phrases for word in phrase)
        return words | self.names.source_words.get(target(action), frozenset())
