"""What a public edition would tell: which machine a note is about, and where the shop works.

Machines and sites are left out of it. Their numbers and names in a text stay, so whoever builds one takes them out; a
text is never changed on its way, since somebody signed it.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from kbgen.model.entry import Entry
from kbgen.model.plant import Machine
from kbgen.model.shop import ShopSettings
from kbgen.position import Spot
from kbgen.problems import Problem
from kbgen.ref import Kind
from kbgen.rules.privacy import PRIVACY
from kbgen.schemas import Schemas

TOLD_IN_PUBLIC = PRIVACY.error(
    "told-in-public",
    "Who reads a public edition then knows whose plant it is, and what was wrong with it.",
    "cause: Belt of T-118 slipped  # built with --without-sites",
    "cause: Belt slipped",
)
_SERIAL = re.compile(
    r"\b(?:serial(?:\s+(?:number|no\.?|nr\.?))?|s/n|ser\.?\s+no\.?)\s*[:#]?\s*(?=[\w/-]*\d)[A-Z0-9][\w/-]{3,}",
    re.IGNORECASE,
)
_LEAST = 3
"""Signs of a number that can be told from a figure: machine 7 goes unseen."""


def told_in_public(shop: ShopSettings, entries: Iterable[Entry], schemas: Schemas) -> Iterator[Problem]:
    """Report texts that name a site, a serial number or, in a field note, a machine or any serial number.

    Args:
        shop: The settings with their sites.
        entries: With the machines, which a public edition leaves out.
    """
    entries = tuple(entries)
    machines = [entry.record for entry in entries if isinstance(entry.record, Machine)]
    sites = _any_of(text for site in shop.sites for text in (site.title, site.address))
    serials = _any_of(each.serial for each in machines)
    numbers = _any_of(each.number for each in machines)
    everywhere = (
        ("a site of the shop", sites, "Say what kind of place it is, without its name."),
        ("the serial number of a machine", serials, "Take it out; the size says what it is."),
    )
    in_notes = (
        (
            "the number of a machine",
            numbers,
            "Write `this machine`; the field `plant` says which, and is left out.",
        ),
        ("a serial number", _SERIAL, "Take it out; the size says what it is."),
    )
    for entry in entries:
        if entry.ref.kind is Kind.PLANT:
            continue
        looks = everywhere + (in_notes if entry.ref.kind is Kind.FIELD_NOTE else ())
        for route, _, text in schemas.texts(entry.ref.kind, entry.data):
            for what, look, hint in looks:
                if found := look.search(text):
                    spot = Spot(entry.path, route, find=found.group())
                    yield TOLD_IN_PUBLIC.at(spot, f"this names {what}, in an edition without sites", hint)
                    break


def _any_of(words: Iterable[str]) -> re.Pattern[str]:
    """Return what finds any of these words, with spaces and hyphens as they may be typed; nothing where there are none."""
    long = {word for word in words if sum(sign.isalnum() for sign in word) >= _LEAST}
    forms = [r"[\s-]*".join(map(re.escape, re.split(r"[\s-]+", word))) for word in sorted(long)]
    return re.compile(rf"(?<![\w-])(?:{'|'.join(forms) or '(?!)'})(?![\w-])", re.IGNORECASE)
