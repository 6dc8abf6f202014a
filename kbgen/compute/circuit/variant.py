"""One plant's variant of a circuit: the parts it really has, and how each contact should stand."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from kbgen.compute.circuit.state import Setting
from kbgen.model.circuit import AnyPart, Circuit, Coil, Contact, Parallel, Tap, Wire, parts
from kbgen.model.device import Device


@dataclass(frozen=True, slots=True)
class Variant:
    """A circuit as this plant has it, in this state.

    Attributes:
        path: The path without parts of other sizes, regions and options; a factory link stands as a
            wire in the place of an option that is not fitted.
        contacts: The contacts of the path in order, by their label: the device's id, with ``/which``
            or ``/number`` behind it where a device has several contacts in this circuit.
        closed: How each contact stands when nothing is wrong: closed, open, or ``None`` where the
            controller does not look at it in this stage and both are normal.
    """

    setting: Setting
    path: tuple[AnyPart, ...]
    contacts: Mapping[str, Contact]
    closed: Mapping[str, bool | None]

    def device(self, label: str) -> Device | None:
        """Return the device a contact belongs to."""
        return self.setting.base.device(self.contacts[label].contact)

    def seals(self) -> dict[str, tuple[str, ...]]:
        """Return the contacts of each group in which a relay holds its own coil, by the relay."""
        labels = {id(contact): label for label, contact in self.contacts.items()}
        coils = {part.coil for part in parts(self.path) if isinstance(part, Coil)}
        found = {}
        for part in parts(self.path):
            if not isinstance(part, Parallel):
                continue
            inside = [p for p in parts((part,)) if isinstance(p, Contact)]
            for contact in inside:
                if contact.contact in coils:
                    found[contact.contact] = tuple(labels[id(p)] for p in inside)
        return found


def make_variant(setting: Setting) -> Variant:
    """Work out which parts are there and how each contact should stand."""
    path = fitted_path(setting, setting.circuit)
    contacts = _labels(path)
    closed = {label: contact_closed(setting, contact) for label, contact in contacts.items()}
    return Variant(setting, path, contacts, closed)


def held_open(variant: Variant) -> tuple[str, ...]:
    """Return the contacts that hold the string open while nothing is wrong; side by side only where each way is held."""
    labels = {id(contact): label for label, contact in variant.contacts.items()}

    def held(path: tuple[AnyPart, ...]) -> list[str]:
        found: list[str] = []
        for part in path:
            if isinstance(part, Contact) and variant.closed[labels[id(part)]] is False:
                found.append(labels[id(part)])
            if isinstance(part, Parallel):
                ways = [held(branch) for branch in part.parallel]
                found += [label for way in ways for label in way] if all(ways) else []
        return found

    return tuple(held(variant.path))


def fitted_path(setting: Setting, circuit: Circuit) -> tuple[AnyPart, ...]:
    """Return a circuit's path with only the parts this plant has."""
    return tuple(kept for part in circuit.path if (kept := _fit(setting, part)) is not None)


def _fit(setting: Setting, part: AnyPart) -> AnyPart | None:
    state = setting.state
    if part.sizes and state.size and state.size not in part.sizes:
        return None
    regions = {state.region} if state.region else set(setting.base.shop.regions)
    if part.regions and regions and not regions & set(part.regions):
        return None
    if part.option and part.option not in state.options:
        return Wire(wire=part.link, route=part.route) if part.link else None
    if isinstance(part, Contact):
        device = setting.base.device(part.contact)
        if device is not None and device.sizes and state.size and state.size not in device.sizes:
            return None
    if isinstance(part, Parallel):
        branches = tuple(
            tuple(kept for inner in branch if (kept := _fit(setting, inner)) is not None)
            for branch in part.parallel
        )
        # A branch none of whose parts this plant has is not there at all; a link in it would be.
        filled = tuple(branch for branch in branches if branch)
        return replace(part, parallel=filled) if filled else None
    if isinstance(part, Tap):
        inside = tuple(kept for inner in part.tap if (kept := _fit(setting, inner)) is not None)
        return replace(part, tap=inside) if inside else None
    return part


def _labels(path: tuple[AnyPart, ...]) -> dict[str, Contact]:
    found = [part for part in parts(path) if isinstance(part, Contact)]
    names = [contact.contact for contact in found]
    labels: dict[str, Contact] = {}
    for contact in found:
        label = contact.contact
        if names.count(label) > 1:
            label = f"{label}/{contact.which}" if contact.which else label
            number = 2
            while label in labels:
                label, number = f"{contact.contact}/{number}", number + 1
        labels[label] = contact
    return labels


def contact_closed(setting: Setting, contact: Contact, asked: frozenset[str] = frozenset()) -> bool | None:
    """Say how a contact stands when nothing is wrong.

    A shut valve or an open cover comes first, then what the stage says of the device itself, then of
    the string it stands in, then the relay's own coil in its own circuit; a device nothing is said
    about is made. The other side of a device (``made_energised: false``) stands the other way.

    Args:
        setting: The plant and its state.
        contact: The contact in question.
        asked: Relays already being looked at, so that two that hold each other do not ask for ever.
    """
    device = setting.base.device(contact.contact)
    made = False if contact.contact in setting.opened else _in_stage(setting, contact.contact)
    if made is None and setting.stage is not None and contact.contact in setting.stage.ignored:
        return None
    if made is None:
        made = _in_a_string(setting, contact.contact)
    relay = device is not None and device.type in ("relay", "timer")
    if made is None and relay and contact.contact not in asked:
        made = _energised(setting, contact.contact, asked | {contact.contact})
    if made is None:
        made = setting.state.supply_on or device is None or not device.needs_power
    return made != _other_side(setting, contact)


def _other_side(setting: Setting, contact: Contact) -> bool:
    """Say whether a contact is closed while its device is not made."""
    device = setting.base.device(contact.contact)
    sides = device.contacts if device is not None else ()
    return any(side.id == contact.which and not side.made_energised for side in sides)


def _in_stage(setting: Setting, device_id: str) -> bool | None:
    stage = setting.stage
    if stage is None:
        return None
    if device_id in stage.open:
        return False
    return True if device_id in stage.made else None


def _in_a_string(setting: Setting, device_id: str) -> bool | None:
    """Say how a device stands whose contact closes a string that must be made; ``None`` without one."""
    for circuit_id in setting.stage.strings_made if setting.stage else ():
        circuit = setting.base.circuit(circuit_id)
        for part in parts(circuit.path) if circuit else ():
            if isinstance(part, Contact) and part.contact == device_id:
                return not _other_side(setting, part)
    return None


def _energised(setting: Setting, relay: str, asked: frozenset[str]) -> bool | None:
    """Say whether a relay's coils have voltage; ``None`` when no circuit of the plant shows one.

    A relay with two channels is made only while each of its coils is.
    """
    found: list[bool] = []
    for _, circuit in setting.base.of(Circuit, plant=setting.circuit.equipment):
        path = fitted_path(setting, circuit)
        if _holds(path, relay):
            # A circuit fed from the same isolator is as dead as the one in question.
            same = circuit.supply.source == setting.circuit.supply.source
            found.append((setting.state.supply_on or not same) and _feeds(setting, path, relay, asked))
    return all(found) if found else None


def _holds(path: tuple[AnyPart, ...], relay: str) -> bool:
    return any(isinstance(part, Coil) and part.coil == relay for part in parts(path))


def _feeds(setting: Setting, path: tuple[AnyPart, ...], relay: str, asked: frozenset[str]) -> bool:
    """Say whether all that stands in series with each coil of a relay conducts."""
    live = tapped = True
    through = not any(isinstance(part, Tap) and _holds(part.tap, relay) for part in path)
    for part in path:
        if isinstance(part, Tap):
            if _holds(part.tap, relay):
                tapped = tapped and live and _feeds(setting, part.tap, relay, asked)
            continue
        through = through or (isinstance(part, Coil) and part.coil == relay)
        own = [b for b in part.parallel if _holds(b, relay)] if isinstance(part, Parallel) else []
        through = through or bool(own)
        live = live and (
            all(_feeds(setting, branch, relay, asked) for branch in own)
            if own
            else blocked_at(setting, (part,), asked) is None
        )
    return tapped and (live or not through)


def blocked_at(
    setting: Setting, path: tuple[AnyPart, ...], asked: frozenset[str] = frozenset()
) -> Contact | Parallel | None:
    """Return the first part of a path that does not conduct when nothing is wrong; ``None`` without one."""
    for part in path:
        if isinstance(part, Contact) and not contact_closed(setting, part, asked):
            return part
        if isinstance(part, Parallel) and all(blocked_at(setting, b, asked) for b in part.parallel):
            return part
    return None
