"""Labels, one file a plant."""

from __future__ import annotations

from pathlib import Path

from kbgen.outputs.guide import Made, problem_of
from kbgen.pipeline import Compiled
from kbgen.render.guide.labels import print_labels
from kbgen.render.guide.paper import binder_of
from kbgen.render.guide.result import MissingSign
from kbgen.replace import replace_file
from kbgen.views.labels import make_labels

LEFT_OUT = "an edition built --without-sites has no pages of machines: the codes of their plates then lead to no page"
NO_CODE = "without --at ADDRESS the labels have no code: nothing says where the edition stands"


def make_label_sheets(compiled: Compiled, out: Path, plant: str, paper: str | None, at: str) -> Made:
    """Typeset the labels of a plant into the file ``out``.

    Args:
        paper: Sheet to print on; by the shop's own paper when ``None``.
        at: Address under which the web edition stands; empty for none.
    """
    labels = make_labels(compiled.base, compiled.edition, plant, at)
    if labels is None:
        return Made()
    pdf, *more = print_labels(labels, binder_of(paper or compiled.base.shop.paper))
    if not isinstance(pdf, bytes):
        missing = [each for each in (pdf, *more) if isinstance(each, MissingSign)]
        return Made(problems=tuple(problem_of(compiled, each) for each in missing))
    replace_file(out, pdf)
    pages = next(each for each in more if isinstance(each, int))
    return Made(1, pages, said=(NO_CODE,) if not at else (LEFT_OUT,) if labels.machines else ())
