"""The one reader of long text: a small subset of CommonMark with raw HTML off.

Long fields are read once into a small tree. The web renders the tree to HTML, the guide passes
it to Typst as data, the search index takes its words. Short fields never come here: nothing in
them is markup.

The subset: paragraphs, lists with ``-`` or ``*`` and numbered lists behind an empty line,
``*emphasis*``, ``**strong**``, backticks for marks of the panel, links to entries as
``[words](kind:id)``, a backslash before a sign that is meant literally, two blanks or a blank and a
backslash at a line's end to keep the line end. Stars inside a word (``24*2*3``), underscores, a sign
before a quantity (``- 24 V``) and brackets that name no entry stay as typed.
"""

from __future__ import annotations

from kbgen.text.blocks import Told, read, told
from kbgen.text.tree import (
    Break,
    Code,
    Emphasis,
    Inline,
    Link,
    Listing,
    Paragraph,
    RichText,
    Strong,
    TextBlock,
    Words,
    first_sentence,
    link_targets,
    words,
)

__all__ = [
    "Break",
    "Code",
    "Emphasis",
    "Inline",
    "Link",
    "Listing",
    "Paragraph",
    "RichText",
    "Strong",
    "TextBlock",
    "Told",
    "Words",
    "first_sentence",
    "link_targets",
    "read",
    "told",
    "words",
]
