"""The sequence chart of a family of plant: which contact must stand how in which stage."""

from __future__ import annotations

from kbgen.compute.sequence import needs, passing, stages_of
from kbgen.link.base import KnowledgeBase
from kbgen.ref import Kind, Ref
from kbgen.views.svg import Drawing, drawing, text, wrap

_NAMES = 170
_STAGE = 110
_ROW = 34
_HEAD = 64


def sequence_chart(
    base: KnowledgeBase, equipment: str, size: str = "", options: frozenset[str] = frozenset()
) -> Drawing | None:
    """Draw the sequence of a size; ``None`` when the plant has no stages.

    A full bar is a contact that must be made, an empty one that must be open, a dashed line one the
    controller does not look at. What the panel shows stands below; what passes by itself is in brackets.

    Raises:
        UnknownName: There is no such equipment, size or option.
    """
    stages = stages_of(base, equipment, size)
    if not stages:
        return None
    asked = {s.id: {n.device: n.must for n in needs(base, equipment, s.id, size, options)} for s in stages}
    devices = tuple(dict.fromkeys(device for row in asked.values() for device in row))
    lines, words, said = [], [], []
    foot = _HEAD + _ROW * len(devices)
    shown_rows = 1
    for column, stage in enumerate(stages):
        x = _NAMES + column * _STAGE
        lasts = [stage.lasts.text] if stage.lasts else []
        words.append(
            text(x + _STAGE / 2, _HEAD / 2, [*wrap(stage.title, 15), *lasts], anchor="middle", bold=True)
        )
        lines.append(f'<path stroke-width="1" d="M{x} 0V{foot}"/>')
        shown = [line for display in stage.displays for line in wrap(display, 14)]
        passes = [
            line
            for p in passing(base, equipment, stage.id, size)
            for line in wrap(f"({p.shows}, {p.lasts})", 14)
        ]
        shown_rows = max(shown_rows, len(shown) + len(passes))
        words.append(_top(x + _STAGE / 2, foot + 10, [*shown, *passes]))
        said.append(_sentence(base, stage.title, asked[stage.id], stage.displays))
        for row, device in enumerate(devices):
            lines.append(_bar(x, _HEAD + row * _ROW, asked[stage.id].get(device, "")))
    for row, device in enumerate(devices):
        y = _HEAD + row * _ROW
        lines.append(f'<path stroke-width="1" d="M0 {y}H{_NAMES + _STAGE * len(stages)}"/>')
        words.append(text(4, y + _ROW / 2, wrap(base.title(Ref(Kind.DEVICE, device)), 24)))
    lines.append(f'<path stroke-width="1" d="M0 {foot}H{_NAMES + _STAGE * len(stages)}"/>')
    words.append(text(4, foot + 18, ["The panel shows"]))
    title = f"Sequence of {base.title(Ref(Kind.EQUIPMENT, equipment))}"
    height = foot + 20 + 15 * shown_rows
    width = _NAMES + _STAGE * len(stages)
    return drawing(width, height, title, " ".join(said), "".join(lines), "".join(words))


def _top(x: float, y: float, lines: list[str]) -> str:
    return "".join(text(x, y + 8 + 15 * k, [line], anchor="middle") for k, line in enumerate(lines))


def _bar(x: float, y: float, must: str) -> str:
    box = f'x="{x + 8}" y="{y + 11}" width="{_STAGE - 16}" height="12"'
    match must:
        case "made":
            return f'<rect {box} fill="currentColor"/>'
        case "open":
            return f"<rect {box}/>"
        case "ignored":
            return f'<path stroke-dasharray="3 5" d="M{x + 8} {y + 17}H{x + _STAGE - 8}"/>'
        case _:
            return ""


def _sentence(base: KnowledgeBase, title: str, asked: dict[str, str], displays: tuple[str, ...]) -> str:
    parts = []
    for must in ("made", "open", "ignored"):
        names = [base.title(Ref(Kind.DEVICE, device)) for device, how in asked.items() if how == must]
        if names:
            parts.append(f"{must}: {', '.join(names)}")
    if displays:
        parts.append(f"the panel shows {', '.join(displays)}")
    return f"{title}: {'; '.join(parts) or 'nothing asked'}."
