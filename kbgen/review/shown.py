"""A report as text for a terminal, as Markdown for a pull request, as data for a script."""

from __future__ import annotations

import html
import re
from collections.abc import Iterator, Sequence
from typing import Any

from kbgen.ref import Ref
from kbgen.review.about import About
from kbgen.review.change import Change, Kind, Place, Report, Told, Weight, listed

MARK = "<!-- kbgen review -->"
"""First line of the Markdown: the comment that holds it is the one to renew."""
_HEADS = {
    Weight.LESS_SAFE: "Less safe",
    Weight.PRIVATE: "New private data",
    Weight.UNDECIDED: "Cannot be decided: a person must look",
    Weight.SAFER: "Safer",
    Weight.FIGURE: "Figures",
    Weight.WORDS: "Words",
}
_FAR_MORE = 60
"""How many changes of words a comment lists; forges cut a long comment off."""
_MANY = 15
"""How many sentences of one weight a comment lists one by one; more are told by what they are about."""
_OF_EACH = 3
"""How many of those it lists of each."""
_LONGEST = 60_000


def as_text(report: Report, prefix: str = "") -> str:
    """Write a report for a terminal.

    Args:
        prefix: What leads from the current folder to the knowledge base.
    """
    lines = [f"held against {report.base}"]
    for weight, told in _by_weight(report.unseen()):
        lines += ["", _HEADS[weight].upper()]
        about = ""
        for each in told:
            before, about = about, _about(report, each)
            lines += [f"  {about}"] if about != before else []
            lines.append(f"    {each.first.sentence}{_rule(each)}  [{each.fingerprint}]")
            lines += [f"    {place}" for place in _places(each.first, prefix)]
    lines += ["", *_summary(report), report.counts()]
    return "\n".join(lines)


def as_markdown(report: Report) -> str:
    """Write a report as the one comment of a pull request."""
    lines = [
        MARK,
        f"### What this change does: {report.counts()}",
        "",
        f"Held against {_plain(report.base)}.",
        "",
        *(f"{line}  " for line in map(_plain, _summary(report))),
    ]
    for weight, told in _by_weight(report.unseen()):
        folded = weight is Weight.WORDS
        lines += ["", f"#### {_HEADS[weight]} ({len(told)})", ""]
        if folded:
            lines += ["<details><summary>Show</summary>", "", *_one_by_one(report, told, _FAR_MORE)]
            lines += ["", "</details>"]
        elif len(told) <= _MANY:
            lines += _one_by_one(report, told, _MANY)
        else:
            for about in About:
                # What is said of most entries is read by most people.
                own = sorted((each for each in told if each.first.about is about), key=_fewest)
                entries = {change.entry for each in own for change in each.changes}
                if own:
                    lines += ["", f"**{about.value}** ({len(own)} in {len(entries)} entries)", ""]
                    lines += _one_by_one(report, own, _OF_EACH)
    text = "\n".join(lines) + "\n"
    return text if len(text) <= _LONGEST else _cut(text)


def _fewest(told: Told) -> int:
    return -len(told.changes)


def _one_by_one(report: Report, told: Sequence[Told], most: int) -> Iterator[str]:
    for each in told[:most]:
        places = " · ".join(f"`{place}`" for place in _places(each.first, ""))
        yield f"- **{_plain(_about(report, each))}**: {_plain(each.first.sentence)}{_rule(each)}"
        yield f"  <sub>{places + ' · ' if places else ''}`{each.fingerprint}`</sub>"
    if len(told) > most:
        yield f"- and {len(told) - most} more in the report: `kbgen review` lists them"


def _cut(text: str) -> str:
    kept = text[:_LONGEST].rpartition("\n- ")[0]
    return f"{kept}\n\nThis is not all of it: run `kbgen review` to see the rest.\n"


def as_data(report: Report) -> dict[str, Any]:
    """Return a report as plain data; the field names are fixed."""
    changes = [each for told in report.told for each in told.changes]
    return {
        "base": report.base,
        "added": [str(ref) for ref in report.added],
        "changed": [str(ref) for ref in report.changed],
        "removed": [str(ref) for ref in report.removed],
        "renamed": [{"from": str(old), "to": str(new)} for old, new in report.renamed],
        "safety": [_data(report, each) for each in changes if each.weight.touches_safety and not each.rule],
        "words": [
            _data(report, each) for each in changes if not each.weight.touches_safety and not each.rule
        ],
        "problems": [_data(report, each) for each in changes if each.rule],
        "signatures": [{"entry": str(each.ref), "broken_by": each.by} for each in report.signatures],
        "unsigned": sorted({each.entry for each in report.unsigned()}),
        "remarks": [{"id": str(ref), "sentence": said} for ref, said in report.remarks],
        "counts": report.counts(),
    }


def _data(report: Report, each: Change) -> dict[str, Any]:
    found: dict[str, Any] = {
        "id": each.entry,
        "sentence": each.sentence,
        "less_safe": each.weight is Weight.LESS_SAFE,
        "weight": each.weight.value,
        "kind": each.kind.value,
        "fingerprint": each.fingerprint,
        "seen": each.fingerprint in report.seen,
        "before": _place(each.before),
        "after": _place(each.after),
    }
    return {**found, "rule": each.rule} if each.rule else found


def _place(place: Place | None) -> dict[str, Any] | None:
    return {"path": place.path, "line": place.line, "column": place.column} if place else None


def _by_weight(told: Sequence[Told]) -> Iterator[tuple[Weight, list[Told]]]:
    for weight in Weight:
        found = [each for each in told if each.first.weight is weight]
        if found:
            yield weight, found


def _about(report: Report, told: Told) -> str:
    """Name the entries a sentence is about."""
    ref = told.first.ref
    if len(told.changes) == 1:
        return _name(report, ref)
    names = [report.titles.get(each.ref, each.entry) if each.ref else each.entry for each in told.changes]
    what = {"procedure": "pages"}.get(str(ref.kind), ref.kind.plural.lower()) if ref else "entries"
    return f"On {len(names)} {what}: {listed(names, 4)}"


def _name(report: Report, ref: Ref | None) -> str:
    if ref is None:
        return "Settings of the shop (kb.yaml)"
    title = report.titles.get(ref, "")
    return f"{title} ({ref})" if title else str(ref)


def _rule(told: Told) -> str:
    return f" [{told.first.rule}]" if told.first.rule else ""


def _places(each: Change, prefix: str) -> Iterator[str]:
    if each.after:
        yield f"{prefix}{each.after}"
    if each.before and (each.after is None or str(each.before) != str(each.after)):
        yield f"was {each.before}"


def _summary(report: Report) -> Iterator[str]:
    """Yield the lines behind the changes: pages, problems, signatures."""
    counted = {
        "changed": report.changed,
        "new": report.added,
        "gone": report.removed,
        "renamed": report.renamed,
    }
    said = [f"{len(found)} {how}" for how, found in counted.items() if found]
    yield f"Entries: {', '.join(said) or 'none is another'}."
    rules = [each for each in report.changes if each.rule]
    new = sum(each.kind is Kind.ADDED for each in rules)
    yield f"Problems of the check: {new} new, {len(rules) - new} mended, {report.lasting} as before."
    for ref, remark in report.remarks:
        yield f"Said to be wrong at the plant, not answered yet: {ref}, {remark}."
    broken = [f"{each.ref} ({each.by})" for each in report.signatures]
    if broken:
        yield f"Signatures this change breaks: {listed(broken, 12)}."
    if report.seen:
        number = len(report.told) - len(report.unseen())
        yield f"Seen and approved before: {number}."
    unsigned = {each.entry for each in report.unsigned()}
    if unsigned:
        yield f"Safety is touched and nobody signed it since: {listed(sorted(unsigned), 12)}."
    if "kb.yaml" in unsigned:
        yield (
            "kb.yaml holds no signature, as nobody can vouch for who may sign: whoever merges the change answers for it, "
            "and says so by its fingerprints in a file for --seen."
        )


_SIGNS = re.compile(r"([\\`*_\[\]|#~!])")


def _plain(text: str) -> str:
    """Return text that a forge shows as it is: no markup, no mention of anybody."""
    return html.escape(_SIGNS.sub(r"\\\1", text), quote=False).replace("@", "&#64;")
