"""The whole linked knowledge base as data."""

from __future__ import annotations

import json
from typing import Any

from kbgen.compute.due import due_list
from kbgen.compute.edition import Edition
from kbgen.link.base import KnowledgeBase
from kbgen.model.equipment import Equipment
from kbgen.views.address import address

VERSION = 1


def export_data(base: KnowledgeBase, edition: Edition) -> dict[str, Any]:
    """Return the knowledge base as plain data.

    Each entry carries what its author typed, with numbers and booleans where the schema asks for
    them, beside its kind, id, page address and the entries that name it. A page of routines carries the lines as
    typed under ``written``, and under ``steps`` those that they stand for. ``due`` lists by family of plant what the
    shop's scheme asks to be proved.
    """
    return {
        "version": VERSION,
        "edition": edition._asdict(),
        "shop": {
            "name": base.shop.shop,
            "key": base.shop.key,
            "language": base.shop.language,
            "regions": list(base.shop.regions),
            "scheme": base.shop.scheme,
        },
        "entries": [
            {
                "kind": str(entry.ref.kind),
                "id": entry.ref.id,
                **entry.data,
                "address": address(entry.ref),
                "named_by": [str(ref) for ref in base.backlinks.get(entry.ref, ())],
            }
            for entry in base.entries.values()
        ],
        "due": {entry.ref.id: _due(base, entry.ref.id) for entry, _ in base.of(Equipment)},
    }


def _due(base: KnowledgeBase, plant_id: str) -> list[dict[str, Any]]:
    """Return what is due on a family of plant by the shop's own scheme, most often first."""
    return [
        {
            "of": str(due.of),
            "proof": due.proof.id,
            "prove": due.proof.prove,
            "every": due.proof.every.text,
            "must": [{"value": value, "sizes": list(sizes)} for value, sizes in due.must],
            "who": list(due.proof.who),
            "by": due.proof.by,
            "keep": due.proof.keep.text if due.proof.keep else "",
        }
        for due in due_list(base, plant_id)
    ]


def export_json(base: KnowledgeBase, edition: Edition) -> str:
    """Return the same as JSON text, the same bytes for the same content."""
    return json.dumps(export_data(base, edition), ensure_ascii=False, indent=1) + "\n"
