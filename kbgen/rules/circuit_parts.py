"""Rules about the parts of circuits: the right device, the right contact, and when it is there."""

from __future__ import annotations

from collections.abc import Iterator

from kbgen.link.base import KnowledgeBase
from kbgen.model.circuit import (
    AnyPart,
    Circuit,
    Coil,
    Contact,
    Fitted,
    Fuse,
    Input,
    Load,
    Parallel,
    Tap,
    parts,
)
from kbgen.model.entry import Entry
from kbgen.position import Spot
from kbgen.problems import Problem, Related
from kbgen.rules.circuits import CIRCUITS
from kbgen.rules.material import Check, Material

_WITH_COIL = ("relay", "timer")


WRONG_DEVICE = CIRCUITS.error(
    "wrong-device",
    "The coil of a thermostat pulls nothing in, and the relay that was meant is never looked at.",
    "- {coil: outlet-limit}",
    "- {coil: start-timer}",
    rests_on="`type` of the device and the part of the circuit that names it.",
)
CONTACT_NOT_SAID = CIRCUITS.error(
    "contact-not-said",
    "One contact is made when the other is open: with the wrong one every reading is the wrong way round.",
    "- {contact: air-switch}",
    "- {contact: air-switch, which: no-air}",
    rests_on="`contacts` of the device and `which` of the part.",
)


def _devices(material: Material) -> Iterator[Problem]:
    """Look at each part by itself: is the device what the part takes it for?"""
    for entry, circuit in material.base.of(Circuit):
        for part in parts(circuit.path):
            match part:
                case Coil():
                    device = material.base.device(part.coil)
                    if device and device.type not in _WITH_COIL:
                        yield WRONG_DEVICE.at(
                            Spot(entry.path, (*part.route, "coil")),
                            f"{device.head.title} is no relay or timer; it has no coil",
                            "Name the relay whose coil stands here, or write `load:` for a valve, lamp or motor.",
                        )
                case Contact():
                    device = material.base.device(part.contact)
                    if device and device.type == "sensor":
                        yield WRONG_DEVICE.at(
                            Spot(entry.path, (*part.route, "contact")),
                            f"{device.head.title} is a sensor; it has no contact",
                            "Name the device whose contact stands here, or correct the type of this one.",
                        )
                    elif device and len(device.contacts) > 1 and not part.which:
                        listed = ", ".join(contact.id for contact in device.contacts)
                        yield CONTACT_NOT_SAID.at(
                            Spot(entry.path, (*part.route, "contact")),
                            f"{device.head.title} has several contacts, and nothing says which stands here",
                            f"Add `which:` with one of them: {listed}.",
                        )


LINK_WITHOUT_OPTION = CIRCUITS.error(
    "link-without-option",
    "The contact would be shown as fitted on every plant, and the link on none.",
    "- {contact: dirty-filter, link: White link from H2 to H3}",
    "- {contact: dirty-filter, option: dirty-filter, link: White link from H2 to H3}",
    rests_on="`link` and `option` of the part.",
)


def _conditions(material: Material) -> Iterator[Problem]:
    for entry, circuit in material.base.of(Circuit):
        for part in parts(circuit.path):
            if part.link and not part.option:
                yield LINK_WITHOUT_OPTION.at(
                    Spot(entry.path, (*part.route, "link")),
                    "a factory link is given, and no option that it stands in for; it would never be shown",
                    "Name under `option` what is fitted instead of the link, or put the link into `note`.",
                )
        yield from _unlinked(entry, circuit.path, alone=False)
        yield from _never(material.base, entry, circuit.path, None)


OPTION_WITHOUT_LINK = CIRCUITS.warning(
    "option-without-link",
    "Who does not know the factory link takes it for a jumper, or a jumper for the factory link.",
    "- {contact: dirty-filter, option: dirty-filter}",
    "- {contact: dirty-filter, option: dirty-filter, link: White link from H2 to H3}",
    rests_on="`link` and `option` of the part.",
)


def _unlinked(entry: Entry, path: tuple[AnyPart, ...], *, alone: bool) -> Iterator[Problem]:
    """Find what an option brings into a string, with nothing to bridge its place without the option."""
    for part in path:
        if isinstance(part, Contact) and part.option and not part.link and not alone:
            yield OPTION_WITHOUT_LINK.at(
                Spot(entry.path, (*part.route, "option")),
                "nothing says what stands here when the option is not fitted",
                "Give `link` with the colour and the terminals of the factory link.",
            )
        # A branch that the option brings as a whole needs no link.
        for branch in part.parallel if isinstance(part, Parallel) else ():
            yield from _unlinked(entry, branch, alone=sum(isinstance(p, Contact) for p in branch) == 1)
        if isinstance(part, Tap):
            yield from _unlinked(entry, part.tap, alone=True)


NEVER_FITTED = CIRCUITS.error(
    "never-fitted",
    "A contact that no size has drops out of every table without a word.",
    "- {contact: purge-position, sizes: [sb-1]}  # the device has sizes: [sb-3]",
    "- {contact: purge-position, sizes: [sb-3]}",
    rests_on="`sizes` and `option` of the part and of the plant.",
)


def _never(
    base: KnowledgeBase, entry: Entry, path: tuple[AnyPart, ...], around: frozenset[str] | None
) -> Iterator[Problem]:
    """Find what no size has, by its own sizes, its device's and those of the group around it."""
    for part in path:
        device = base.device(part.contact) if isinstance(part, Contact) else None
        sizes = around
        for named in (part.sizes, device.sizes if device else ()):
            if named:
                sizes = frozenset(named) if sizes is None else sizes & frozenset(named)
        if sizes is not None and not sizes:
            field = "sizes" if part.sizes else "contact"
            yield NEVER_FITTED.at(
                Spot(entry.path, (*part.route, field)),
                "no size has this part: its sizes, those of its device and of the group around it exclude each other",
                "Give the sizes that have it, here or with the device.",
            )
            continue
        inside = part.parallel if isinstance(part, Parallel) else (part.tap,) if isinstance(part, Tap) else ()
        for inner in inside:
            yield from _never(base, entry, inner, sizes)


def repeated(circuit: Circuit) -> Iterator[tuple[Contact, Contact]]:
    """Yield each contact that a path has twice, after the one before it."""
    found: list[Contact] = []
    for part in parts(circuit.path):
        if isinstance(part, Contact):
            same = [e for e in found if (e.contact, e.which) == (part.contact, part.which)]
            yield from [(earlier, part) for earlier in same if fitted_together(earlier, part)][:1]
            found.append(part)


CONTACT_TWICE = CIRCUITS.error(
    "contact-twice",
    "Copied and not changed: the device that really stands there is missing from the search.",
    "- {contact: door}\n- {point: X3:6}\n- {contact: door}",
    "- {contact: door}\n- {point: X3:6}\n- {contact: filter}",
    rests_on="The contacts of the circuit's `path`.",
)


def _twice(material: Material) -> Iterator[Problem]:
    for entry, circuit in material.base.of(Circuit):
        for earlier, part in repeated(circuit):
            yield CONTACT_TWICE.at(
                Spot(entry.path, (*part.route, "contact")),
                f"this contact of {contact_title(material.base, part)} stands in the path twice",
                "Name the device that stands here. If it has two contacts, list them in its entry and add `which`.",
                Related(Spot(entry.path, (*earlier.route, "contact")), "the first one"),
            )


FUSE_WITHOUT_RATING = CIRCUITS.warning(
    "fuse-without-rating",
    "Whoever finds it blown puts in what is at hand.",
    "- {fuse: F3}",
    "- {fuse: F3, rating: 3 A}",
    rests_on="`rating` of the fuse.",
)
FUSE_IN_RETURN = CIRCUITS.warning(
    "fuse-in-return",
    "With this fuse open nothing works and everything is live.",
    "- {input: limits}\n- {fuse: F3, rating: 3 A}\n- {point: N}",
    "- {fuse: F3, rating: 3 A}\n- {point: X3:1}\n- {input: limits}\n- {point: N}",
    rests_on="The circuit's `path` behind its load.",
)


def _fuses(material: Material) -> Iterator[Problem]:
    for entry, circuit in material.base.of(Circuit):
        loaded = False
        before: set[str] = set()
        for part in circuit.path:
            loaded = loaded or isinstance(part, Coil | Input | Load)
            if not isinstance(part, Fuse):
                continue
            if part.rating is None:
                yield FUSE_WITHOUT_RATING.at(
                    Spot(entry.path, (*part.route, "fuse")),
                    f"nothing says how much fuse `{part.fuse}` carries",
                    "Give its `rating` as printed on the fuse holder, for example `rating: 3 A`.",
                )
            # The other pole of a two-pole breaker bears the mark of the first.
            if loaded and circuit.supply.earthing == "grounded" and part.fuse not in before:
                yield FUSE_IN_RETURN.at(
                    Spot(entry.path, (*part.route, "fuse")),
                    f"fuse `{part.fuse}` stands behind the load, in the earthed side: open, it leaves the string live",
                    "Put it where it stands on the plant, most likely before the first contact.",
                )
            before.add(part.fuse)


def fitted_together(a: Fitted, b: Fitted) -> bool:
    """Say whether two parts can be there together."""
    apart = [(a.sizes, b.sizes), (a.regions, b.regions)]
    return not any(one and other and not set(one) & set(other) for one, other in apart)


def contact_title(base: KnowledgeBase, contact: Contact) -> str:
    """Return the title of the device a contact belongs to."""
    device = base.device(contact.contact)
    return device.head.title if device else contact.contact


CHECKS: tuple[Check, ...] = (_devices, _conditions, _twice, _fuses)
