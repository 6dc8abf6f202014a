"""Where a link inside the guide can lead."""

from __future__ import annotations

from collections.abc import Iterable

from kbgen.ref import Ref
from kbgen.views.blocks import Steps
from kbgen.views.page import Page


def targets(pages: Iterable[Page]) -> dict[str, str]:
    """Label of every place in the guide: entries, their former ids, sections and steps."""
    found: dict[str, str] = {}
    former: dict[str, str] = {}
    for page in pages:
        own = str(page.ref)
        found[own] = own
        if isinstance(page.ref, Ref):
            former |= {str(Ref(page.ref.kind, name)): own for name in page.former_ids}
        for section in page.sections:
            if section.web_only:
                continue
            found.setdefault(f"{own}#{section.anchor}", f"{own}#{section.anchor}")
            for block in section.blocks:
                for step in block.steps if isinstance(block, Steps) else ():
                    if step.anchor:
                        found.setdefault(f"{own}#{step.anchor}", f"{own}#{step.anchor}")
    return former | found
