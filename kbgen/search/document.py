"""What the search knows of an entry."""

from __future__ import annotations

from dataclasses import dataclass

from kbgen.ref import Kind


@dataclass(frozen=True, slots=True)
class SearchDocument:
    """One entry as words.

    Attributes:
        kind: The entry's kind.
        id: The entry's id.
        title: The heading of its page.
        address: The page's relative ``.html`` address from the site's root.
        equipment: Ids of the equipment it belongs to.
        codes: What the plant itself shows: displays, codes, lamps, flash counts.
        normal: Displays of normal running that it explains; found only when typed whole.
        names: Aliases, behaviours in the shop's words, short forms.
        body: All other words.
        summary: One line shown in results.
        draft: True for an entry that is not approved.
        note: What must be known before anything is done with it, shown in results; not searched.
        asked: What people typed who wanted it.
    """

    kind: Kind
    id: str
    title: str
    address: str
    equipment: tuple[str, ...] = ()
    codes: tuple[str, ...] = ()
    names: tuple[str, ...] = ()
    body: str = ""
    summary: str = ""
    draft: bool = False
    note: str = ""
    normal: tuple[str, ...] = ()
    asked: tuple[str, ...] = ()
