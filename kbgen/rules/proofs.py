"""Rules about how often something is proved: the intervals are the shop's own, and none is judged."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator

from kbgen.compute.due import due_list, pages_done
from kbgen.link.base import KnowledgeBase
from kbgen.model.action import End, Inspect, ProveTrip
from kbgen.model.device import Device
from kbgen.model.entry import Entry
from kbgen.model.equipment import Equipment, Setting
from kbgen.model.procedure import Procedure
from kbgen.model.proof import Proof
from kbgen.position import Spot
from kbgen.problems import Problem, Related
from kbgen.quantity import Quantity, QuantityError, parse
from kbgen.ref import Kind, Ref
from kbgen.rule import Family
from kbgen.rules.material import Check, Material
from kbgen.schemas.placeholder import PLACEHOLDER

PROOFS = Family(
    "How often",
    "The shop's own scheme of proofs; local codes and the maker's instructions come before it.",
    "`proofs` of devices and equipment. No interval is judged.",
)
_GUARDING = ("limit", "proving", "permissive")
_LICENCE_OF = {"licensed-gas": "gas", "licensed-electric": "electric"}
_FIGURE = re.compile(r"(?<![\w.,-])-?[0-9]+(?:\.[0-9]+)?\s?[^\s\d,;()]+(?:\s(?:wc|w\.c\.|H2O|Hg))?")

GUARD_WITHOUT_PROOF = PROOFS.warning(
    "guard-without-proof",
    "What guards and is proved when somebody thinks of it may have been stuck for years.",
    "title: First low-water cutoff\nguards: water-level\nrole: limit",
    "proofs:\n  - {id: trip, prove: Trips at its mark, every: 3 months, who: [boiler], by: prove-low-water}",
    rests_on="`guards`, `role` and `proofs` of the device.",
)


def _guards(material: Material) -> Iterator[Problem]:
    for entry, device in material.base.of(Device):
        if device.guards and device.role in _GUARDING and not device.proofs:
            yield GUARD_WITHOUT_PROOF.at(
                Spot(entry.path, ("title",)),
                "the device guards, and nothing says how often it is proved",
                f"Add what your scheme asks for: {_to_type(material.base, entry, device)}.",
            )


def _to_type(base: KnowledgeBase, entry: Entry, device: Device) -> str:
    by = f", by: {device.tested_by[0]}" if device.tested_by else ""
    plants = [plant for name in device.equipment if (plant := base.equipment(name)) is not None]
    named = [
        each.id for plant in plants for each in plant.settings if each.device == entry.ref.id and each.id
    ]
    settings = f", settings: [{', '.join(named)}]" if named else ""
    return f"`proofs: [{{id: trip, prove: {PLACEHOLDER}, every: {PLACEHOLDER}{by}{settings}}}]`"


PROOF_CONTRADICTS = PROOFS.error(
    "proof-contradicts",
    "The device is signed as proved at a value it is not set to.",
    "proofs:\n  - {id: trip, prove: Opens, every: 1 year, value: 130 psi}  # its setting: 125 psi ± 3 psi",
    "proofs:\n  - {id: trip, prove: Opens, every: 1 year, settings: [high-steam-opens]}",
    rests_on="Figures in `value` of a proof, beside the settings of its device.",
)
PROOF_BY_ANOTHER = PROOFS.warning(
    "proof-by-another",
    "The list is signed, and the device it names was never made to trip.",
    "proofs:\n  - {id: trip, prove: Opens, every: 1 year, by: leave-safe}",
    "proofs:\n  - {id: trip, prove: Opens, every: 1 year, by: prove-steam-controls}",
    rests_on="`by` of a device's proof, and `tests` and `prove_trip` of that procedure; of a one-shot device also `inspect`.",
    of_all=True,
)
PROOF_UNLICENSED = PROOFS.error(
    "proof-unlicensed",
    "The list sends somebody to gas or to live parts who may not go there.",
    "proofs:\n  - {id: trip, prove: Opens, every: 1 year, who: [operator], by: prove-gas}  # who: licensed-gas",
    "proofs:\n  - {id: trip, prove: Opens, every: 1 year, who: [gas], by: prove-gas}",
    rests_on="`who` of the proof, beside `who` of the procedure it names.",
    safety=True,
)


def _lines(material: Material) -> Iterator[Problem]:
    base = material.base
    for entry, plant in base.of(Equipment):
        for proof in plant.proofs:
            yield from _unlicensed(base, entry, proof)
    for entry, device in base.of(Device):
        settings = _settings_of(base, entry.ref.id, device)
        for proof in device.proofs:
            yield from _unlicensed(base, entry, proof)
            yield from _by_another(base, entry, proof)
            yield from _contradicts(entry, proof, settings)


def _settings_of(base: KnowledgeBase, device_id: str, device: Device) -> list[tuple[str, Setting]]:
    found = []
    for name in device.equipment:
        if (plant := base.equipment(name)) is not None:
            path = base.entries[Ref(Kind.EQUIPMENT, name)].path
            found += [(path, each) for each in plant.settings if each.device == device_id]
    return found


def _contradicts(entry: Entry, proof: Proof, settings: list[tuple[str, Setting]]) -> Iterator[Problem]:
    for text in _FIGURE.findall(proof.value):
        for path, setting in settings:
            if (
                setting.quantity == "other"
                or (said := _quantity(text.rstrip(".:"), setting.quantity)) is None
            ):
                continue
            if not any(_within(said, other) for _, other in settings if other.quantity == setting.quantity):
                figure = " ".join(each for each in (setting.value, setting.tolerance) if each)
                fit = f"settings: [{setting.id}]" if setting.id else f"value: {figure}"
                yield PROOF_CONTRADICTS.at(
                    Spot(entry.path, (*proof.route, "value"), find=text),
                    f"the proof asks for {text.rstrip('.:')}, and the device is set to {figure}",
                    f"Type `{fit}` in its place, or correct the setting.",
                    Related(Spot(path, (*setting.route, "value")), "the setting"),
                )
                return


def _within(said: Quantity, setting: Setting) -> bool:
    value = setting.value
    if setting.tolerance.startswith(("±", "+")):
        value = f"{value} {setting.tolerance}"
    found = _quantity(value, setting.quantity) or _quantity(setting.value, setting.quantity)
    slack = 1e-6 * max(1.0, abs(said.value))
    return found is None or (found.lo - slack <= said.lo and said.hi <= found.hi + slack)


def _quantity(text: str, dimension: str) -> Quantity | None:
    try:
        return parse(text, dimension)
    except QuantityError:
        return None


def _by_another(base: KnowledgeBase, entry: Entry, proof: Proof) -> Iterator[Problem]:
    procedure = base.procedure(proof.by) if proof.by else None
    if procedure is None:
        return
    if entry.ref.id not in _proved(procedure) | _looked_at(procedure, base.device(entry.ref.id)):
        yield PROOF_BY_ANOTHER.at(
            Spot(entry.path, (*proof.route, "by")),
            f"{procedure.head.title} does not prove this device",
            f"Name a procedure with `prove_trip: {entry.ref.id}`, or with the device under `tests`.",
        )


def _proved(procedure: Procedure) -> set[str]:
    """Return what a page makes trip."""
    steps = (step.action for step in procedure.steps)
    return {*procedure.tests, *(each.prove_trip for each in steps if isinstance(each, ProveTrip))}


def _looked_at(procedure: Procedure, device: Device | None) -> set[str]:
    """Return what a page looks at: all the proof there is of a device that is gone once it has tripped."""
    if device is None or device.reset != "one-shot":
        return set()
    return {step.action.inspect for step in procedure.steps if isinstance(step.action, Inspect)}


def _unlicensed(base: KnowledgeBase, entry: Entry, proof: Proof) -> Iterator[Problem]:
    procedure = base.procedure(proof.by) if proof.by else None
    needs = _LICENCE_OF.get(procedure.who, "") if procedure is not None else ""
    operator = "operator" in proof.who and procedure is not None and procedure.who != "operator"
    if procedure is None or not (operator or (needs and needs not in proof.who)):
        return
    licence = needs or "gas, electric or boiler"
    yield PROOF_UNLICENSED.at(
        Spot(entry.path, (*proof.route, "who" if proof.who else "by")),
        f"{procedure.head.title} is not for everybody whom the proof allows",
        f"Type `who: [{needs}]`." if needs else f"Take the operator out; name {licence}, or nobody.",
    )


SEASON_START_MISSING = PROOFS.warning(
    "season-start-missing",
    "Everybody starts the season by memory.",
    "proofs:\n  - {id: trip, prove: Opens, every: season start}  # and no page with `occasion: season-start`",
    "occasion: season-start  # in the procedure that starts the season",
    rests_on="`every` of the proofs, and `occasion` of the plant's procedures.",
    of_all=True,
)
SEASON_START_LACKS = PROOFS.error(
    "season-start-lacks",
    "The season sheet is signed, and one safeguard of the list was not proved.",
    "proofs:\n  - {id: trip, prove: Opens, every: season start}  # the season start proves all others",
    "- {do_page: prove-steam-controls}  # in the season start",
    rests_on="`every` of the proofs; what the plant's season start proves, does and comes after; for the whole plant, where it ends in `found`.",
    safety=True,
    of_all=True,
)


def _season(material: Material) -> Iterator[Problem]:
    base = material.base
    for entry, _ in base.of(Equipment):
        dues = [due for due in due_list(base, entry.ref.id) if due.proof.every.at_season_start]
        pages = [
            (page, each)
            for page, each in base.of(Procedure)
            if each.occasion == "season-start" and entry.ref.id in each.equipment
        ]
        if dues and not pages:
            due = dues[0]
            yield SEASON_START_MISSING.at(
                Spot(base.entries[due.of].path, (*due.proof.route, "every")),
                f"{entry.title} has no page for the start of the season",
                "Write a procedure with `occasion: season-start`, or give an interval.",
            )
            continue
        done = {name for page, each in pages for name in pages_done(page.ref, each)}
        tripped = {name for _, each in pages for name in _tripped(base, each)}
        # Where nothing was found wrong the season start may end in the page that tries the whole plant.
        ends = (step.action for _, each in pages for step in each.steps)
        onward = {each.next for each in ends if isinstance(each, End) and each.end == "found"}
        lines = Counter(due.of for due in dues)
        for due in dues:
            # What a device is proved by says which proof it is; a trip alone says it of a device with one.
            alone = due.of.kind is Kind.DEVICE and due.of.id in tripped and lines[due.of] == 1
            whole = onward if due.of.kind is Kind.EQUIPMENT else set()
            if not (due.proof.by in done | whole if due.proof.by else alone):
                of_device = due.of.kind is Kind.DEVICE
                fit = (
                    f"prove_trip: {due.of.id}"
                    if of_device and lines[due.of] == 1 and not due.proof.by
                    else f"do_page: {due.proof.by}"
                )
                if not (of_device and lines[due.of] == 1) and not due.proof.by:
                    fit = "do_page: …` of the page that proves it, named here under `by"
                yield SEASON_START_LACKS.at(
                    Spot(base.entries[due.of].path, (*due.proof.route, "every")),
                    f"{pages[0][1].head.title} does not prove this",
                    f"Give that page a line with `{fit}`, or name another interval.",
                    Related(Spot(pages[0][0].path, ("title",)), "the start of the season"),
                )


def _tripped(base: KnowledgeBase, procedure: Procedure) -> set[str]:
    """Return the devices that a page proves, or the page before it."""
    before = base.procedure(procedure.after) if procedure.after else None
    return _proved(procedure) | (_proved(before) if before is not None else set())


CHECKS: tuple[Check, ...] = (_guards, _lines, _season)
RULES = (
    GUARD_WITHOUT_PROOF,
    PROOF_CONTRADICTS,
    PROOF_BY_ANOTHER,
    PROOF_UNLICENSED,
    SEASON_START_MISSING,
    SEASON_START_LACKS,
)
