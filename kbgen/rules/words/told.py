"""What a text tells somebody to do."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import cache
from itertools import pairwise

from kbgen.rules.words.clauses import Clause, clauses, folded, only_time, sentences
from kbgen.rules.words.inflect import BASE, DOES, DOING, DONE
from kbgen.rules.words.table import Deed, Table

ALTER = "alter"
_LOCKS = ("lock", "unlock")
_SWITCHED = ("on", "off")
_WORD = re.compile(r"[^\W_]+(?:[-'’][^\W_]+)*")
_NEAR = 5
_TOPIC = 4
_NEVER_IN_PASSING = (ALTER, "reset", "start", "unlock", "on", "off")


@dataclass(frozen=True, slots=True)
class Told:
    """One deed that a text tells.

    Attributes:
        kind: What is told, as in the table.
        words: The clause as typed.
        tokens: The clause in lower case, without articles.
        marks: Marks of the plant in it.
        if_so: Whether it stands under a condition.
        shown: Whether it may be a name or a description as well: "a wire from C1 to C2".
    """

    kind: str
    words: str
    tokens: tuple[str, ...]
    marks: frozenset[str]
    if_so: bool = False
    shown: bool = False


@dataclass(frozen=True, eq=False)
class Reader:
    """Reads texts by a table; sentences that occur again are read once."""

    table: Table
    _words: frozenset[str] = field(init=False, repr=False, compare=False)
    _rows: Mapping[str, list[Deed]] = field(init=False, repr=False, compare=False)
    particles: frozenset[str] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        """Gather the rows by verb, and the words without which a sentence tells nothing."""
        table = self.table
        words = {*table.forms, *table.things, *table.fasteners}
        words |= {word for state in table.states for word in state.split()}
        rows: defaultdict[str, list[Deed]] = defaultdict(list)
        for row in table.deeds:
            for verb in row.verbs:
                rows[verb].append(row)
        fields = {"_words": frozenset(words), "_rows": dict(rows), "particles": table.particles}
        for name, value in fields.items():
            object.__setattr__(self, name, value)

    def told(self, text: str) -> tuple[Told, ...]:
        """Return what a text tells, in order."""
        return _read(self, text)

    def read(self, text: str) -> Iterator[Told]:
        """Yield what a text tells; `told` remembers it."""
        for sentence in sentences(text):
            if not self._words.isdisjoint(_WORD.findall(sentence.lower())):
                yield from self._sentence(sentence)

    def _sentence(self, sentence: str) -> Iterator[Told]:
        forbidden = False
        before: Told | None = None
        deeds = quoted = False
        every = self._resolved([*clauses(sentence, self.table)])
        for index, clause in enumerate(every):
            quoted = self._quoted(clause, before, quoted=quoted)
            if not clause.shares:
                forbidden = False
            if clause.joined in self.table.negators:
                forbidden = True
            found = False
            if len(clause.tokens) == 1 and clause.joined == "," and not deeds:
                continue  # "Write down cause, reset, temperature"
            for at, token in enumerate(() if self._heads(every[index:]) else clause.tokens):
                for verb, form in self.table.forms.get(token, ()):
                    row = self._row(clause, at, verb, form)
                    if row is None:
                        continue
                    if self._negated(clause, at) or (forbidden and at == self._first(clause)):
                        forbidden = True
                        found = True
                        break
                    if self._orders(clause, at, verb, form, row):
                        shown = quoted or self._ambiguous(clause, at, verb, form)
                        yield replace(self._made(row.kind, clause), shown=shown)
                        found = deeds = True
                        break
                if found:
                    break
            last, before = before, self._made("", clause)
            if found:
                continue
            if clause.tokens and clause.tokens[0] in self.table.no | self.table.negators:
                forbidden = True
            if self._lies_across(clause, last):
                yield replace(self._made(ALTER, clause), shown=True)
            elif clause.condition in self.table.ends and last is not None:
                # "Turn it until the handle lies across": the state is what the deed before it is for.
                yield from (
                    replace(each, tokens=(*last.tokens, *each.tokens), words=f"{last.words} {each.words}")
                    for each in self._stands(clause)
                )
            elif not clause.condition and not self.table.said & set(clause.tokens):
                yield from self._stands(clause)

    def _resolved(self, every: list[Clause]) -> list[Clause]:
        """Return clauses in which "it" behind a colon is what stands before it: "Padlock: slip it out of the cap"."""
        for at, clause in enumerate(every[1:], 1):
            topic = every[at - 1].tokens
            if clause.joined == ":" and len(topic) < _TOPIC and "it" in clause.tokens:
                tokens = tuple(topic[-1] if word == "it" else word for word in clause.tokens)
                every[at] = replace(clause, tokens=tokens)
        return every

    def affirmed(self, text: str) -> tuple[str, ...]:
        """Return the words of a text without articles, and without what it forbids or denies."""
        return _affirmed(self, text)

    def supposed(self, text: str) -> Iterator[Told]:
        """Yield what a text takes for done by then, of what nobody may do in passing: "once the button has been pressed"."""
        table = self.table
        for sentence in sentences(text.replace("?", ".")):
            for clause in clauses(sentence, table):
                if clause.condition not in table.sure or self._negated(clause, len(clause.tokens)):
                    continue
                for at, token in enumerate(clause.tokens):
                    done = [verb for verb, form in table.forms.get(token, ()) if form == DONE]
                    rows = [row for verb in done if (row := self._row(clause, at, verb, DONE))]
                    if rows and rows[0].kind in _NEVER_IN_PASSING and table.perfect & set(clause.tokens[:at]):
                        yield self._made(rows[0].kind, clause)
                        break

    def described(self, text: str) -> Iterator[Told]:
        """Yield what a text says is done, by nobody: "the padlock is taken off". In an instruction that is an order."""
        return iter(_described(self, text))

    def describes(self, text: str) -> Iterator[Told]:
        """Yield the same; `described` remembers it."""
        table = self.table
        for sentence in sentences(text):
            for clause in clauses(sentence, table):
                if clause.condition or self._negated(clause, len(clause.tokens)):
                    continue
                for at, token in enumerate(clause.tokens):
                    done = [verb for verb, form in table.forms.get(token, ()) if form == DONE]
                    rows = [row for verb in done if (row := self._row(clause, at, verb, DONE))]
                    # "Is taken off", "gets shut again", "are both taken off".
                    if rows and not (table.being | table.be).isdisjoint(clause.tokens[max(0, at - 3) : at]):
                        yield self._made(rows[0].kind, clause)
                        break

    def states(self, text: str) -> Iterator[Told]:
        """Yield how a text says that things stand."""
        for sentence in sentences(text):
            for clause in clauses(sentence, self.table):
                if not clause.condition:
                    yield from self._stands(clause)

    def _stands(self, clause: Clause) -> Iterator[Told]:
        made = self._made("", clause)
        if set(clause.tokens) & (self.table.negators | self.table.no):
            return
        for at, token in enumerate(made.tokens):
            kind = self.table.states.get(" ".join(made.tokens[at : at + 2]))
            if at and (at + 1 == len(made.tokens) or made.tokens[at - 1] in self.table.toward):
                kind = kind or self.table.states.get(token)
            if kind:
                # "Q1 to OFF" is an order, "Q1 off" may be what is seen.
                ordered = at > 0 and made.tokens[at - 1] in self.table.infinitive and kind in _SWITCHED
                yield replace(made, kind=kind, shown=not ordered)
                return

    def _made(self, kind: str, clause: Clause) -> Told:
        table = self.table
        return Told(
            kind,
            " ".join(clause.words),
            folded(clause.tokens, table),
            frozenset(clause.words[at] for at in clause.marks),
            clause.behind or clause.condition != "",
        )

    def _first(self, clause: Clause) -> int:
        for at, token in enumerate(clause.tokens):
            if token not in self.table.leads and not token.endswith(self.table.adverb):
                return at
        return 0

    def _row(self, clause: Clause, at: int, verb: str, form: str) -> Deed | None:
        tokens = clause.tokens
        start = 0 if form == DONE else at + 1
        rest = tokens[start:at] + tokens[at + 1 :] if form == DONE else tokens[at + 1 :]
        follows = set(rest)
        stated = rest[:-1] if form != DONE and not self.table.along.isdisjoint(rest) else rest
        pairs = {f"{one}-{two}" for one, two in pairwise(rest)}
        seen = follows | pairs
        about = {*tokens, *pairs}
        marks = [tokens[index] for index in clause.marks if index >= start]
        marked, terminal = bool(marks), any(mark[0] not in self.table.no_terminals for mark in marks)
        things = [word for word in rest[:3] if word not in self.table.articles]
        if verb in self.table.escorts and things and things[0] in self.table.people - self.table.things:
            return None  # "take the colleague round the locks"
        if only_time(self.table, verb, rest):
            return None  # "give the 24 V supply a minute to run down"
        if verb in self.table.stays and not self.table.untouched.isdisjoint(rest):
            return None  # "keep the one on Q1 where it is"
        for row in self._rows[verb]:
            # "Move the motor on its slide": that is where it is moved.
            if row.kind in _SWITCHED and row.particles and self._only_where(rest, row):
                continue
            # "Spray the cap with the cock open": how something stands meanwhile is no part of the deed.
            if row.particles and not row.particles & (follows if row.kind == ALTER else {*stated}):
                continue
            if row.objects and not all(
                group & seen or ("#" in group and marked) or ("@" in group and terminal)
                for group in row.objects
            ):
                continue
            if row.not_with and row.not_with & about:
                continue
            return row
        return None

    def _only_where(self, rest: tuple[str, ...], row: Deed) -> bool:
        """Return whether the one particle of a row begins a place: "on its slide", but "on its switch"."""
        table = self.table
        at = [at for at, token in enumerate(rest) if token in row.particles]
        # "Over its handle" is where a lock cap goes.
        if (
            len(at) != 1
            or at[0] == 0
            or table.states.get(rest[at[0]]) != row.kind
            or not table.its & set(rest[at[0] + 1 : at[0] + 2])
        ):
            return False
        return (table.switches | table.articles).isdisjoint(rest[at[0] + 2 :])

    def _negated(self, clause: Clause, at: int) -> bool:
        table, tokens = self.table, clause.tokens
        # "If it does not start bridge it": that "not" belongs to the condition.
        before = tokens[max(0, at - (1 if clause.condition else _NEAR)) : at]
        denied = any(token in table.negators for token in before) and not any(
            token in table.undone for token in before
        )
        if not denied and before and before[-1] in table.no:
            denied = True
        behind = tokens[at + 1 : at + 4]
        return denied or any(token in table.no or token in table.negators for token in behind)

    def _orders(self, clause: Clause, at: int, verb: str, form: str, row: Deed) -> bool:
        table, tokens = self.table, clause.tokens
        before, rest = tokens[:at], tokens[at + 1 :]
        if not rest and before[:1] and before[0] in table.have and not table.along.isdisjoint(before):
            return False  # "let the hood cool with both doors shut"
        alter = row.kind == ALTER
        if row.kind in _LOCKS and table.theirs & set(tokens):
            return False
        near = [token for token in before if token not in table.leads and not token.endswith(table.adverb)]
        if near and near[0] in table.joins:
            near = near[1:]  # "and on your way collect the padlock"
        last = near[-1] if near else ""
        mates = clause.condition in table.mates and form == DOES
        if clause.condition and not mates and not (alter and clause.condition in table.sure and clause.marks):
            return False
        if form == BASE:
            if (not rest and (self._thing(verb) or verb in table.hung)) or self._noun(clause, at, verb, row):
                return False
            if not near:
                return not clause.condition
            if last in table.infinitive:
                return bool((table.tells | table.undone) & set(near[-_NEAR:]))
            if last in table.modals:
                return bool(table.people & set(near))
            if last in table.people:
                return True
            if near[0] in table.have and len(near) > 1:
                # "Have the cover of the float switch put on": a kind of device before what is done.
                return verb not in table.kinds or not any(
                    form == DONE for word in rest for _, form in table.forms.get(word, ())
                )
            if clause.condition or near[0] in table.openers:
                return last not in table.articles and self._object_follows(clause, at)
            return False
        if form == DOES and (
            last in table.articles or (row.kind in _LOCKS and near and near[0] in table.teaches)
        ):
            return False  # "show the colleague the locks", "show the electrician locks and tags"
        if form == DOES and clause.condition in table.mates:
            return bool(table.people & set(near[-4:]))
        if clause.condition:
            return False
        if form == DOES:
            # "A strip of tape holds the vane": what lies there does it for whoever put it there.
            return bool(table.people & set(near[-4:])) or (
                alter and verb in table.holding and last in table.fasteners | table.things
            )
        if form == DONE:
            return self._done(clause, near, last, rest, alter=alter)
        if form == DOING:
            return last in table.by or (alter and not near and bool(clause.marks))
        return False

    def _ambiguous(self, clause: Clause, at: int, verb: str, form: str) -> bool:
        """Return whether it may be a name as well: "wire J7 to B1"."""
        follows = clause.tokens[at + 1 : at + 2]
        told = self.table.agents & set(clause.tokens[at + 1 :]) or self._let(clause)
        if form == DONE and not clause.marks and not told:
            return True
        first = form == BASE and at == self._first(clause)
        return first and self._thing(verb) and not any(token in self.table.articles for token in follows)

    def _quoted(self, clause: Clause, before: Told | None, *, quoted: bool) -> bool:
        """Return whether a clause is what a tag says: "The tag says: reset once, cause mended".

        What follows it behind "and" or "then" is told to whoever reads, and so is all of "Do what the tag says: reset once".
        """
        table = self.table
        if clause.joined == ":" and before is not None and not before.if_so:
            match [word for word in before.tokens if word not in table.joins]:
                case [noun, verb]:
                    return noun in table.tags and verb in table.says
        return quoted and clause.joined == "," and clause.tokens[0] not in table.leads

    def _heads(self, run: list[Clause]) -> bool:
        """Return whether a clause is in the point of a check list whose state follows: "Lock and tag Q1: removed"."""
        table = self.table
        state = next((at for at, clause in enumerate(run) if at and clause.joined == ":"), 0)
        if not state or any(clause.joined not in table.joins for clause in run[1:state]):
            return False
        done = {form for _, form in table.forms.get(run[state].tokens[0], ())} == {DONE}
        # "Lock and tag: on" may be an order as well; what is done to them says that they are things.
        return done and run[0].tokens[0] in table.locks | table.holds | table.beside_lock

    def _let(self, clause: Clause) -> bool:
        """Return whether a clause lets others do something: "have the cock opened"."""
        first = self._first(clause)
        return first < len(clause.tokens) and clause.tokens[first] in self.table.have

    def _several(self, word: str) -> bool:
        return word[:-1] in self.table.things | self.table.fasteners

    def _thing(self, word: str) -> bool:
        return word in self.table.things or word in self.table.fasteners

    def _noun(self, clause: Clause, at: int, verb: str, row: Deed) -> bool:
        """Return whether a word that looks like a verb is a noun: "tape on the frame"."""
        if at + 1 >= len(clause.tokens):
            return False
        follows = clause.tokens[at + 1]
        if self._said_of(follows) or (row.kind == ALTER and follows in self.table.joins):
            return True
        if follows in self.table.places and not self.table.books.isdisjoint(clause.tokens[at + 2 : at + 4]):
            return True  # "enter code and reset in the record"
        behind = clause.tokens[at + 2] if at + 2 < len(clause.tokens) else ""
        if row.kind == "lock" and follows in self.table.joins and behind not in self.table.beside_lock:
            return behind not in self.table.forms  # "lock and list", but "lock and tag"
        hangs = self.table.holds | self.table.beside_lock | self.table.locks
        if verb in self.table.hung and follows in self.table.gone:
            return True  # "padlock off Q2"; "lock off Q2" may be an order
        if row.kind == "lock" and follows in self.table.holds - self.table.plugs:
            return True  # "plug, lock cap and switch"; who locks a cap locks "the cap"
        if verb in hangs and follows in self.table.places:
            return True  # "lock, tag and chain from the cock"
        return follows in self.table.nouns - self.table.joins and (
            self._thing(verb) or follows not in self.particles
        )

    def _said_of(self, token: str) -> bool:
        """Return whether a word says something of a noun before it: "the pin hangs"."""
        forms = {form for _, form in self.table.forms.get(token, ())}
        return DOES in forms and BASE not in forms

    def _done(
        self, clause: Clause, near: list[str], last: str, rest: tuple[str, ...], *, alter: bool
    ) -> bool:
        table = self.table
        if not near:
            return False
        if last in table.be:
            told = table.passives & set(near[-3:-1])
            return bool(told - table.permits) or (bool(told) and bool(table.purposes & set(rest)))
        if near[0] in table.have:
            return True
        if last in table.being and table.agents & set(rest) and table.people & set(rest):
            return True
        if not alter:
            return False
        if near[0] in table.keep:
            return True
        if last in table.being:
            return bool(table.purposes & set(rest))
        return bool(table.along & set(near)) and bool(clause.marks or table.out & set(rest))

    def _object_follows(self, clause: Clause, at: int) -> bool:
        follows = clause.tokens[at + 1 : at + 2]
        return at + 1 in clause.marks or any(token in self.table.articles for token in follows)

    def _lies_across(self, clause: Clause, before: Told | None) -> bool:
        """Return whether a clause without an order shows a thing across something: "a wire from C1 to C2".

        "Show the operator how tape over the plunger does it" teaches it.
        """
        table, tokens = self.table, clause.tokens
        taught = clause.condition and before is not None and not table.teaches.isdisjoint(before.tokens[:1])
        denying = table.not_things | table.negators | table.no
        if taught:
            lies = any(self._thing(one) and other in table.across for one, other in pairwise(tokens))
            return lies and denying.isdisjoint(tokens)
        if clause.condition or set(tokens) & (denying | (table.nouns - self.particles - table.toward)):
            return False
        # "Follow the cord from the wall to the plug": an article behind the first word tells a verb that nobody knows.
        if table.articles & set(tokens[1:3]) and tokens[0] not in table.openers:
            return False
        start = next((at for at, token in enumerate(tokens) if token not in table.measures | table.leads), 0)
        for at, token in enumerate(tokens[start : start + 3], start):
            if self._thing(token):
                # "Tags, wires across terminals": a list of what is looked for names no place.
                named = bool(clause.marks) or not self._several(token)
                # "Electrode lead from outside" tells how it is looked at.
                named = named and not (len(tokens) == at + 3 and tokens[at + 2] in table.places)
                return named and len(tokens) > at + 1 and tokens[at + 1] in table.across
            if token in table.forms:
                return False
        return False


@cache
def _read(reader: Reader, text: str) -> tuple[Told, ...]:
    return tuple(reader.read(text))


@cache
def _described(reader: Reader, text: str) -> tuple[Told, ...]:
    return tuple(reader.describes(text))


@cache
def _affirmed(reader: Reader, text: str) -> tuple[str, ...]:
    table = reader.table
    return tuple(
        token
        for sentence in sentences(text)
        for clause in clauses(sentence, table)
        for token in folded(_before_denial(clause.tokens, table), table)
    )


def _before_denial(tokens: tuple[str, ...], table: Table) -> tuple[str, ...]:
    """Return a clause up to the join before what it forbids: "holds the button and does not let go"."""
    denying = (table.negators | table.no) - table.undone
    denied = next((at for at, token in enumerate(tokens) if token in denying), None)
    if denied is None:
        return tokens
    joins = [at for at, token in enumerate(tokens[:denied]) if token in table.joins]
    return tokens[: joins[-1]] if joins else ()
