"""The printed pocket guide."""

from __future__ import annotations

from kbgen.render.guide.build import build_guide, draw_guide
from kbgen.render.guide.contents import missing_signs
from kbgen.render.guide.order import printed
from kbgen.render.guide.paper import PAPERS
from kbgen.render.guide.result import CoarsePicture, GuideProblem, GuideResult, MissingSign, UnusablePicture

__all__ = [
    "PAPERS",
    "CoarsePicture",
    "GuideProblem",
    "GuideResult",
    "MissingSign",
    "UnusablePicture",
    "build_guide",
    "draw_guide",
    "missing_signs",
    "printed",
]
