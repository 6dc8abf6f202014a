"""What a reviewer must see of a change: two versions of a knowledge base, held against each other in sentences."""

from __future__ import annotations

from kbgen.review.change import Change, Kind, Place, Report, Weight
from kbgen.review.compare import compare, review
from kbgen.review.revision import NoBase, base_of

__all__ = ["Change", "Kind", "NoBase", "Place", "Report", "Weight", "base_of", "compare", "review"]
