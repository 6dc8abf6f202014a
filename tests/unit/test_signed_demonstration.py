"""Every approved entry of the demonstration is signed as it stands.

After a change of it: read what `.venv/bin/kbgen sign --kb kb_source --all --by MK --dry-run` shows, then run the same without
`--dry-run`.
"""

from __future__ import annotations

from kbgen.pipeline import Compiled
from kbgen.rewrite.sign import unsigned

TYPE = ".venv/bin/kbgen sign --kb kb_source --all --by MK"


def test_every_approved_entry_is_signed_as_it_is(demonstration: Compiled) -> None:
    lacking = [str(ref) for ref in unsigned(demonstration)]
    assert not lacking, f"read and sign {', '.join(lacking)}: {TYPE}"


def test_every_signed_text_belongs_to_an_entry(demonstration: Compiled) -> None:
    root = demonstration.root
    texts = {
        path.relative_to(root / "signed").with_suffix("").as_posix() for path in root.glob("signed/*/*.txt")
    }
    entries = {f"{ref.kind.folder}/{ref.id}" for ref in demonstration.base.entries}
    assert texts <= entries
