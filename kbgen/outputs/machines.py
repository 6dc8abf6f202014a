"""The script that tells a tablet which machines there are; in a public edition there is none of them."""

from __future__ import annotations

import json

from kbgen.link.base import KnowledgeBase

MACHINES = "assets/plants.js"


def machines_script(base: KnowledgeBase) -> bytes:
    """Return what a page loads when a job begins."""
    from kbgen.views.doing.machines import families_data, machines_data

    lines = [
        f"window.{name} = {json.dumps(data, ensure_ascii=False, separators=(',', ':'))};\n"
        for name, data in (("kbPlants", machines_data(base)), ("kbFamilies", families_data(base)))
    ]
    return "".join(lines).encode()
