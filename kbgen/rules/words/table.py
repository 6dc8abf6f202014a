"""What the comparison of words and actions has to know of a language. All of it is data.

`english` fills the record. A language without a table is not compared, and `table_of` says so.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property


@dataclass(frozen=True, slots=True)
class Deed:
    """One row of the table: words that tell a deed.

    Attributes:
        kind: What is told, see `english`.
        verbs: Any one of them, in any form.
        particles: One of these must follow; empty for none.
        objects: One of each group must follow; ``#`` is a mark of the plant; empty for any.
        not_with: With one of these in the same breath it is something else.
    """

    kind: str
    verbs: tuple[str, ...]
    particles: frozenset[str] = frozenset()
    objects: tuple[frozenset[str], ...] = ()
    not_with: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Way:
    """Words that tell an action, whatever else stands in their sentence.

    Attributes:
        groups: One word of each must stand there, in any form.
        without: None of these may.
        shown: Those of the first group, the most usual first.
    """

    groups: tuple[frozenset[str], ...]
    without: frozenset[str] = frozenset()
    shown: tuple[str, ...] = ()


# A table is itself and no other, so that what was read by it can be remembered.
@dataclass(frozen=True, eq=False)
class Table:
    """Words of one language, in lower case.

    Attributes:
        deeds: What verbs tell; of the rows that fit a verb the first one counts.
        forms: Every form of every verb: the verb, and ``base``, ``does``, ``done`` or ``doing``.
        things: What makes an alteration where it lies across something.
        fasteners: What makes an alteration wherever it is put.
        across: Words between a thing and what it lies across.
        leads_of_meter: Things that a meter is clipped on with.
        not_things: With one of these beside it, it is a lead of the meter.
        negators: Words that forbid a deed, before its verb or just behind it.
        no: Words that forbid a thing: "no jumper".
        no_terminals: First letters of marks that are no terminals: isolators, test points, switches, relays.
        locks: Words for what holds a source off.
        plugs: What parts plant from its supply where a switch beside it is not enough.
        flimsy: What is hung or stuck on and holds nothing by itself.
        bars: What holds a source off, one of which a lock needs.
        waters: Phrases that ask whether water is in sight.
        goods: Phrases that ask for what is right: `Yes` is the good answer.
        switches: Words for a switch or an isolator.
        idle: Where something hangs or lies that is not in use.
        hung: Verbs that are first of all what is hung on: "padlock off".
        gone: Words behind such a thing that say that it comes off.
        stored: Where a lock or a wedge is put by and holds nothing.
        stays: Words for leaving something as it is.
        mates: Words before what somebody else does at the same time: "while a colleague presses START".
        same: Words for one kind of thing, each with the word it is compared by: a valve, a tap, a cock.
        covers: Words for what covers something.
        ends: Words before the state that a deed ends in: "turn it until the handle lies across".
        theirs: Words of what is somebody else's: "the electrician hangs his own lock".
        undone: Words after a negator that tell the deed all the same: "do not forget to".
        conditions: Words that begin a condition or an explanation.
        sure: Those of them that only say when: what they begin is done all the same.
        holding: Verbs of what lies there and does it for somebody: "a strip of tape holds the vane".
        joins: Words that join two instructions.
        quiet: Verbs that tell no deed and begin a clause of their own behind such a word: "and watch the gauge".
        tags: What words are written on.
        says: Words between such a thing and its words: "the tag says: reset once".
        own_wires: What a device hangs on; it comes off and goes on with the part that is replaced.
        loads: What hangs or lies in plant and falls, where its entry wants it out.
        inside: Words for where it then is.
        scant: Words that do with less than a whole proof.
        of_place: Words of condition that say where a cock is, behind it: "the cock where the train begins".
        befores: Those of them that do so only before a thing: "the last cock before the burner".
        selves: Those of the people who read the page themselves.
        owning: Words before whose something is: "the padlock of the electrician".
        perfect: Words before a done deed that say that it is done by then.
        keys_of_others: Keys that open a lock without whoever put it on.
        teaches: Verbs that show others how it is done: "show the operator how".
        provers: What a meter is proved on.
        takes: Verbs by which a part comes out to be cleaned.
        shrouds: What keeps fingers off live parts; nobody takes it off to work.
        cover_screws: What holds a cover and goes in and out with it: "run its screws in".
        carried: Two words for an instrument that is carried: "hold the gas detector in".
        lands: Verbs that bring a lifted wire back onto its terminal.
        lets: The verb that leaves to itself what runs: "let it run up".
        its: Words behind "on" that make it a place: "move the motor on its slide".
        good: Words of measure before a length of time: "a good hour".
        letters: An article that is a sign of a display where it is a capital: "letter A".
        was: Words before the figure at which a setting stood.
        raises: Verbs that make a setting higher.
        lowers: Verbs that make it lower.
        currents: The kinds of current that a meter is set to.
        common_labels: Positions that every plant has; another one tells which programme or mode is meant.
        books: Words for what somebody writes into.
        run_on: Words for what goes on by itself after a stop.
        those_told: Words for people who were told, as who does something.
        speaks: Verbs that begin what people are told to do themselves.
        driven: How a thing was put where it stays: "with a bung driven into the vent".
        other_modes: What a meter is set to that tells no volts.
        flames: What burns in the hand: nothing to look for gas with.
        hanging: How a cover hangs that is not shut.
        ajar: How a cover stays that is not shut.
        aims: Words before what something is for: "so that it stays open".
        joined: Words that make one of two wires.
        half_shut: Those of them that say so alone.
        covering: What stays so: a cover, or "it".
        therefore: The condition behind which an order may stand: "so stick a coin behind it".
        escapes: How gas comes out: "until it hisses".
        escorts: Verbs by which people are taken along.
        renewed: Words for a part that was just changed: "the new switch".
        rest: Words for staying where it is, beside a name: "leave the wedge in place".
        sides: Words that make a bridge of wires, where a part is replaced.
        quantities: Words for what a device follows; with one before it they name no device.
        alternatives: Words that join what one "never" forbids together.
        leads: Words that may stand before an instruction.
        openers: Words that begin an instruction with its purpose or place: "for the test bridge".
        people: Who is told to do something: "the second person shuts".
        modals: Words between somebody and a deed: "you may".
        tells: Words before "to" that tell: "you have to".
        have: Words that let others do it: "have the painters switch".
        passives: Words before a done deed that tell it: "must be bridged".
        permits: Those of them that may state a chance; only a purpose makes them an order.
        purposes: Words that make a description an instruction: "is bridged for the test".
        by: Words before a doing that tell it: "by bridging".
        agents: Words before who does it: "is shut by the second person".
        articles: Words that are no part of a name.
        places: Words of place; a name ends before them.
        kinds: Words that say what a device is; its name may do without.
        said: Words of a statement: "the cock is open" tells nothing.
        nouns: Words after which what looks like a verb is a noun: "tape on the frame".
        machines: What is switched off and on as a whole.
        supply: What is isolated, by no name.
        holds: What a source is held off by, where its entry says so: a plug, a lock plate.
        beside_lock: What hangs with a lock: in "chain and lock" the lock is a thing and no deed.
        toward: Words before the second of two terminals: "from C1 to C2".
        fuel: Words that mean a fuel valve where they follow the verb.
        gas: Words that mean fuel.
        be: The word between a modal and a done deed.
        being: Words that make a done deed a description.
        along: Words that tell a done deed on the way: "with C1 and C2 bridged".
        out: Words behind such a deed where no mark stands: "with the limit linked out".
        keep: Words that let a done deed stand: "leave it taped".
        infinitive: The word before a deed that others are told to do.
        adverb: How words of manner end.
        states: How something stands, one word or two, and the deed that makes it so.
        yes: Words that agree with a question.
        denies: Words that deny it.
        less: Words before a figure that is not reached.
        more: Words before a figure that is passed.
        begins: Words before the figure that something begins at.
        broken_off: Words by which a trial ends at a figure.
        put_to: Words before the position that a switch is put to.
        chooses: Verbs that choose a position by its name alone.
        back: Words that put something back.
        as_it_is: Words that leave something as it was just put.
        again: Words that do once more what was done.
        times: Words behind how often.
        pipes: What a handle lies along or across.
        crosswise: How it then lies when the valve is shut.
        lengthwise: How it lies when the valve is open.
        part_way: Words for a valve that is neither shut nor open.
        whole_turns: What a part of is no part of the way: a quarter turn.
        fully: Words that go on to the end.
        tubes: What comes off for an alteration beside a wire.
        seated: Where it then still sits.
        others: Words for another one.
        hands_over: Verbs that give something to somebody.
        keys: What opens a lock.
        with_tool: Words before what a deed is done with.
        body: Parts of the body, and what is worn on them.
        reaches: Verbs of hands that go in.
        fit_words: How each kind of alteration is told, by the word of the action.
        nearby: Words before a mark that only says where another is.
        earths: What a lead is laid on that is earth.
        sniffs: Words of the nose.
        fluids: What a joint is brushed with, or tested by.
        instruments: What shows that something is gone.
        signs: The sign of what a meter reads, by the word of the action.
        bared: Words that take a guard away.
        unlocked: How a lock hangs that does not hold.
        buttons: What a device is reset by.
        tests: Words for a button that only tests.
        colours: Colours of buttons.
        presses: Verbs of a finger on a button.
        limitless: Phrases that set no end to it.
        turning: Words for what still turns.
        at_rest: Words for what stands.
        allowed: Words that let something pass.
        home: How a screw ends that closes.
        counts: Verbs that take something for something.
        counted_as: The word behind them.
        measures: Words for a piece of something, before the thing.
        sets: Verbs that change a setting, beside those that turn.
        dangers: What nobody goes on with, in phrases; the first that fits is told.
        airs: Those of them that are in the air: nobody stays for anything.
        in_air: Words for what is in the air, or says that it is.
        no_air: Such a word and the one before it that mean something else: the alarm for low water.
        little: What an answer makes little of it with.
        strong: Before such a word, what lets a little of it pass: "a strong smell".
        behind: Words for the far side of a switch, where dead proves nothing.
        rid: Words that say that something is not there, beside those that deny.
        rules_out: Phrases that ask to be without what they name.
        only_named: Words of a verdict that name a thing: they say it where nothing else is said of it.
        units: What tells that a meter reads something, by the word of the action.
        ranges: What the ranges of a meter are called, by the word of the action, a space for each hyphen.
        repeats: Words before a length of time at whose end something is done again.
        seconds: Words for a length of time, and how many seconds it has.
        numbers: Words for a number before a length of time, in figures.
        admits: Words behind which an answer lets through what it has just denied.
        some: Words for a part of what was asked for.
        degrees: Words by which a question asks for the worst only.
        verdicts: The verdict words of each question, in the order of their row, and what says them.
        ways: How each action may be told; an action without a line is told by its deeds alone.
        harmless: Verbs that touch nothing of the plant.
        in_hand: What hands may take, turn or put without an action.
        hands: Verbs of hands; what else stands where an order begins and is no verb of these tables is no order.
        objects: Words that take the place of a thing: "it".
        adverbs_after: Words that may stand between a verb and its thing: "pull out the plug".
        turns: Verbs for bringing a handle, a button or a cover to where it shall be.
        stops: Words that together are the emergency stop.
        gives: Verbs that with a length of time only wait.
        given_back: Word at the end by which they hand the plant to whoever uses it.
        with_oneself: Pairs of words behind which one only carries: "with you".
        not_verbs: Words that begin no order though an article or a mark follows: "at the panel".
        nouns_first: Those of them that are nouns: "heat".
        no_order: How words end that begin no order: "hands off", "doing its job".
        order_after_all: How some of them end that do: "press".
        objects_named_before: Those of them that stand for what was named before: "take it out".
        every: Words for all of several: "every joint".
        unspecific: Words for what nearly everything of a plant has: a lock, a handle.
        pointing: Words before a thing that was named before.
        pointed_at: What they then stand before: "that switch".
        lemmas: Every form of the words of `ways`, and the words it may be a form of.
        listed: Words behind the colon of a check list that say how a thing shall be: "plug: out".
        untouched: Words behind "leave" and "keep" that say that nobody touches it.
        idioms: Words that together mean one other word: "keep an eye on" is "watch".
    """

    deeds: tuple[Deed, ...]
    forms: dict[str, tuple[tuple[str, str], ...]]
    things: frozenset[str]
    fasteners: frozenset[str]
    across: frozenset[str]
    leads_of_meter: frozenset[str]
    not_things: frozenset[str]
    negators: frozenset[str]
    no: frozenset[str]
    no_terminals: frozenset[str]
    locks: frozenset[str]
    plugs: frozenset[str]
    flimsy: frozenset[str]
    bars: frozenset[str]
    waters: tuple[str, ...]
    goods: tuple[str, ...]
    switches: frozenset[str]
    idle: frozenset[str]
    hung: frozenset[str]
    gone: frozenset[str]
    stored: frozenset[str]
    stays: frozenset[str]
    mates: frozenset[str]
    same: dict[str, str]
    covers: frozenset[str]
    ends: frozenset[str]
    theirs: frozenset[str]
    undone: frozenset[str]
    conditions: frozenset[str]
    sure: frozenset[str]
    holding: frozenset[str]
    joins: frozenset[str]
    quiet: frozenset[str]
    tags: frozenset[str]
    says: frozenset[str]
    own_wires: frozenset[str]
    loads: frozenset[str]
    inside: frozenset[str]
    scant: frozenset[str]
    of_place: frozenset[str]
    befores: frozenset[str]
    selves: frozenset[str]
    owning: frozenset[str]
    perfect: frozenset[str]
    keys_of_others: frozenset[tuple[str, str]]
    teaches: frozenset[str]
    provers: tuple[str, ...]
    takes: frozenset[str]
    shrouds: frozenset[str]
    cover_screws: frozenset[str]
    carried: frozenset[tuple[str, str]]
    lands: frozenset[str]
    lets: frozenset[str]
    its: frozenset[str]
    good: frozenset[str]
    letters: frozenset[str]
    was: frozenset[str]
    raises: frozenset[str]
    lowers: frozenset[str]
    currents: frozenset[str]
    common_labels: frozenset[str]
    books: frozenset[str]
    run_on: frozenset[str]
    those_told: frozenset[str]
    speaks: frozenset[str]
    driven: frozenset[str]
    other_modes: frozenset[str]
    flames: frozenset[str]
    hanging: frozenset[str]
    ajar: frozenset[str]
    aims: frozenset[str]
    joined: frozenset[str]
    half_shut: frozenset[str]
    covering: frozenset[str]
    escapes: frozenset[str]
    therefore: frozenset[str]
    escorts: frozenset[str]
    renewed: frozenset[str]
    rest: frozenset[str]
    sides: frozenset[str]
    quantities: frozenset[str]
    alternatives: frozenset[str]
    leads: frozenset[str]
    openers: frozenset[str]
    people: frozenset[str]
    modals: frozenset[str]
    tells: frozenset[str]
    have: frozenset[str]
    passives: frozenset[str]
    permits: frozenset[str]
    purposes: frozenset[str]
    by: frozenset[str]
    agents: frozenset[str]
    articles: frozenset[str]
    places: frozenset[str]
    kinds: frozenset[str]
    said: frozenset[str]
    nouns: frozenset[str]
    machines: frozenset[str]
    supply: frozenset[str]
    holds: frozenset[str]
    beside_lock: frozenset[str]
    toward: frozenset[str]
    fuel: frozenset[str]
    gas: frozenset[str]
    be: frozenset[str]
    being: frozenset[str]
    along: frozenset[str]
    out: frozenset[str]
    keep: frozenset[str]
    infinitive: frozenset[str]
    adverb: str
    states: dict[str, str]
    yes: frozenset[str]
    denies: frozenset[str]
    less: frozenset[str]
    more: frozenset[str]
    begins: frozenset[str]
    broken_off: frozenset[str]
    put_to: frozenset[str]
    chooses: frozenset[str]
    back: frozenset[str]
    as_it_is: frozenset[str]
    again: frozenset[str]
    times: frozenset[str]
    pipes: frozenset[str]
    crosswise: frozenset[str]
    lengthwise: frozenset[str]
    part_way: frozenset[str]
    whole_turns: frozenset[str]
    fully: frozenset[str]
    tubes: frozenset[str]
    seated: frozenset[str]
    others: frozenset[str]
    hands_over: frozenset[str]
    keys: frozenset[str]
    with_tool: frozenset[str]
    body: frozenset[str]
    reaches: frozenset[str]
    fit_words: dict[str, frozenset[str]]
    nearby: frozenset[str]
    earths: frozenset[str]
    sniffs: frozenset[str]
    fluids: frozenset[str]
    instruments: frozenset[str]
    signs: dict[str, str]
    bared: frozenset[str]
    unlocked: frozenset[str]
    buttons: frozenset[str]
    tests: frozenset[str]
    colours: frozenset[str]
    presses: frozenset[str]
    limitless: tuple[str, ...]
    turning: frozenset[str]
    at_rest: frozenset[str]
    allowed: frozenset[str]
    home: frozenset[str]
    counts: frozenset[str]
    counted_as: frozenset[str]
    measures: frozenset[str]
    sets: frozenset[str]
    dangers: tuple[str, ...]
    airs: frozenset[str]
    in_air: frozenset[str]
    no_air: frozenset[str]
    little: tuple[str, ...]
    strong: frozenset[str]
    behind: tuple[str, ...]
    rid: frozenset[str]
    rules_out: tuple[str, ...]
    only_named: frozenset[str]
    units: dict[str, frozenset[str]]
    ranges: dict[str, tuple[str, ...]]
    repeats: frozenset[str]
    seconds: dict[str, int]
    numbers: dict[str, str]
    admits: frozenset[str]
    some: frozenset[str]
    degrees: frozenset[str]
    verdicts: tuple[dict[str, frozenset[str]], ...]
    ways: dict[str, tuple[Way, ...]]
    harmless: frozenset[str]
    in_hand: frozenset[str]
    hands: frozenset[str]
    objects: frozenset[str]
    adverbs_after: frozenset[str]
    turns: frozenset[str]
    stops: tuple[frozenset[str], ...]
    gives: frozenset[str]
    given_back: str
    with_oneself: frozenset[tuple[str, str]]
    not_verbs: frozenset[str]
    nouns_first: frozenset[str]
    no_order: tuple[str, ...]
    order_after_all: tuple[str, ...]
    objects_named_before: frozenset[str]
    every: frozenset[str]
    unspecific: frozenset[str]
    pointing: frozenset[str]
    pointed_at: frozenset[str]
    lemmas: dict[str, frozenset[str]]
    listed: frozenset[str]
    untouched: frozenset[str]
    idioms: dict[tuple[str, ...], str]

    @cached_property
    def particles(self) -> frozenset[str]:
        """Every particle of every row."""
        return frozenset().union(*(row.particles for row in self.deeds))

    @cached_property
    def longest_idioms(self) -> dict[str, int]:
        """By its first word, how many words the longest idiom has."""
        found: dict[str, int] = {}
        for words in self.idioms:
            said = [word for word in words if word != "."]
            found[said[0]] = max(found.get(said[0], 0), len(said))
        return found

    @cached_property
    def no_things(self) -> frozenset[str]:
        """The words that describe no thing."""
        return frozenset().union(
            *(self.unspecific, self.leads, self.places, self.particles, self.harmless, self.hands),
            *(self.kinds, self.own_wires, self.in_hand, self.not_verbs, self.people, self.joins),
            *(self.stored, self.seconds),
        )
