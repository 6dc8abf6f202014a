"""What is approved is what was read: an entry that says something else than was signed counts as a draft."""

from __future__ import annotations

from collections.abc import Iterator

from kbgen.compute.circuit.study import Study
from kbgen.compute.figures import figures_differ
from kbgen.compute.signing import counts, keeps_safe, lacking, person_of, still_to_sign
from kbgen.link.base import KnowledgeBase
from kbgen.model.entry import Entry
from kbgen.model.head import State
from kbgen.model.mark import read_mark
from kbgen.model.procedure import Procedure
from kbgen.position import Spot
from kbgen.problems import Problem
from kbgen.read import signed_path
from kbgen.ref import Kind
from kbgen.rule import Family
from kbgen.rules.material import Check, Material

SIGNATURES = Family(
    "Signatures",
    "Review of safety instructions by a named and licensed person. Initials are a claim, not an identity.",
    "`status`, `review` and what the entry says, and `people` in kb.yaml.",
)

NOT_SIGNED = SIGNATURES.warning(
    "not-signed",
    "Approved means that somebody who may has read these words; without a signature it counts as a draft.",
    "status: approved",
    'status: approved\nreview: [{by: MK, on: "2026-05-04", mark: 3f9a12cd77aa-12bc90ab-5e01ff27}]',
)
CHANGED_SINCE_SIGNED = SIGNATURES.warning(
    "changed-since-signed",
    "A signature is for the words and actions that were read, not for those that stand there now.",
    "reads: 240 V  # signed: 24 V",
    "reads: 24 V",
)
FIGURES_CHANGED = SIGNATURES.warning(
    "figures-changed",
    "A page that was read with other readings, or another order, may not say what its reader meant.",
    "voltage: 48 V  # of the circuit of a symptom; signed with 24 V",
    "voltage: 24 V",
)
LICENCE_MISSING = SIGNATURES.warning(
    "licence-missing",
    "Gas, live work, pressure and first aid are read by somebody who holds the licence.",
    'review: [{by: JT, on: "2026-05-04", mark: 3f9a12cd77aa-12bc90ab-5e01ff27}]',
    'review: [{by: MK, on: "2026-05-04", mark: 3f9a12cd77aa-12bc90ab-5e01ff27, for: [gas]}]',
    safety=True,
)
SIGNED_TEXT_MISSING = SIGNATURES.error(
    "signed-text-missing",
    "A guide without the page that makes safe is worse than none.",
    "(a page that is being changed, and no file of it in signed/)",
    "signed/procedures/sb-make-safe.txt",
    safety=True,
)
NOT_WALKED = SIGNATURES.warning(
    "not-walked",
    "A page that followed from a plant's entry was read by nobody before it was walked.",
    'review: [{by: MK, on: "2026-05-04", mark: 3f9a12cd77aa-12bc90ab-5e01ff27}]  # walked by JT',
    'review:\n  - {by: MK, on: "2026-05-04", mark: 3f9a12cd77aa-12bc90ab-5e01ff27}\n'
    '  - {by: JT, on: "2026-05-04", mark: 3f9a12cd77aa-12bc90ab-5e01ff27}',
    safety=True,
)
WITHDRAWN_DONE = SIGNATURES.error(
    "withdrawn-done",
    "The steps of a page that nobody may work by would stand on another page.",
    "do_page: sb-record-evidence  # withdrawn",
    "# the steps, written anew",
    safety=True,
)
WITHDRAWN_NAMED = SIGNATURES.warning(
    "withdrawn-named",
    "Who is led to a page that nobody may work by stands there without a way on.",
    "after: sb-record-evidence  # withdrawn",
    "# another page, or none",
)
WALKED_ALONE = SIGNATURES.error(
    "walked-alone",
    "Who watches sees what the one who does the steps does not.",
    'walked: {did: MK, watched: MK, plant: "1044", on: "2026-05-04"}',
    'walked: {did: JT, watched: MK, plant: "1044", on: "2026-05-04"}',
    safety=True,
)


def _signed(material: Material) -> Iterator[Problem]:
    study = Study(material.base, material.store)
    for entry in material.base.entries.values():
        head = entry.head
        type_ = f"kbgen sign {entry.ref} --by XY"
        if head.status != "approved" or head.withdrawn:
            continue
        match head.standing.state:
            case State.DRAFT:
                yield NOT_SIGNED.at(
                    Spot(entry.path, ("status",)),
                    f"it is approved and {_why(material.base, entry)}, so that it counts as a draft",
                    f"Read it, then type: {type_}",
                )
            case State.CHANGED:
                yield CHANGED_SINCE_SIGNED.at(
                    Spot(entry.path, ("status",)),
                    f"it says something else than {head.standing.by} signed on {head.standing.on}: {_until(entry)}",
                    f"Read what differs, then type: {type_}",
                )
            case State.SIGNED if figures_differ(study, entry.ref):
                yield FIGURES_CHANGED.at(
                    Spot(entry.path, ("status",)),
                    f"readings or order have changed since {head.standing.by} signed on {head.standing.on}",
                    f"Read the figures, then type: {type_}",
                )


def _why(base: KnowledgeBase, entry: Entry) -> str:
    review = entry.head.review
    for each in review:
        person = person_of(base.shop, each.by)
        if read_mark(each.mark) is None:
            continue
        if person is None:
            return f"kb.yaml names nobody with the initials {each.by} in `people`"
        if not counts(base.shop, each):
            return f"{each.by} could sign until {person.until}"
    return f"what {review[0].by} wrote has no mark" if review else "nobody has signed it"


def _until(entry: Entry) -> str:
    """Say what stands on a page until it is signed as it is."""
    standing = entry.head.standing
    return (
        f"the text that {standing.by} signed on {standing.on} is shown"
        if standing.last
        else "it counts as a draft"
    )


def _licences(material: Material) -> Iterator[Problem]:
    for entry, page in material.pages():
        if entry.head.standing.now:
            for need in lacking(material.base, entry):
                yield LICENCE_MISSING.at(
                    Spot(entry.path, ("review",)),
                    f"its steps need {need}, and nobody who holds it has signed: {_until(entry)}",
                    f"Let somebody read it whom kb.yaml names for it, who types: kbgen sign {entry.ref} --by XY",
                )
        if page.taken_over and entry.head.status == "approved" and entry.head.walked is None:
            yield NOT_WALKED.at(
                Spot(entry.path, ("status",)),
                "the page was taken over from what follows from the plant's entry, and nobody has walked it: "
                f"{_until(entry)}",
                "Walk it at a plant while somebody watches, then type: "
                f"kbgen sign {entry.ref} --by XY --did XY --watched XY --plant NUMBER",
            )
        elif entry.head.standing.now:
            for who in still_to_sign(material.base, entry, [each.by for each in entry.head.standing.now]):
                yield NOT_WALKED.at(
                    Spot(entry.path, ("review",)),
                    f"the page followed from the plant's entry, and it is not signed by {who}: {_until(entry)}",
                    f"Let them read it, who then type: kbgen sign {entry.ref} --by XY",
                )


def _walked(material: Material) -> Iterator[Problem]:
    for entry in material.base.entries.values():
        walked = entry.head.walked
        if walked is not None and walked.did == walked.watched:
            yield WALKED_ALONE.at(
                Spot(entry.path, ("walked", "watched")),
                f"`{walked.did}` cannot do the steps and watch too",
                "Give the initials of somebody else who watched.",
            )


def _withdrawn(material: Material) -> Iterator[Problem]:
    base = material.base
    for ref, entry in base.entries.items():
        if not entry.head.withdrawn:
            continue
        for other, page in base.of(Procedure) if ref.kind is Kind.PROCEDURE else ():
            if any(line.get("do_page") == ref.id for line in page.written):
                yield WITHDRAWN_DONE.at(
                    Spot(other.path, ("steps",), on_key=True),
                    f"`{ref.id}` is withdrawn, and a line with `do_page` does its steps here",
                    "Write steps of your own in its place.",
                )
        for source in base.backlinks.get(ref, ()):
            other = base.entries[source]
            if not other.head.withdrawn:
                yield WITHDRAWN_NAMED.at(
                    Spot(entry.path, ("withdrawn",)),
                    f"{source} still leads here",
                    f"Take it out of {other.path}, or name another entry there.",
                )


def gone_missing(base: KnowledgeBase) -> Iterator[Problem]:
    """Yield the approved pages that make safe, prove or leave and that no guide would have as things stand."""
    for entry, page in base.of(Procedure):
        changed = entry.head.standing.state in (State.CHANGED, State.PARTLY)
        if entry.head.draft and entry.head.status == "approved" and changed and keeps_safe(page):
            yield SIGNED_TEXT_MISSING.at(
                Spot(entry.path, ("status",)),
                "this page is not signed as it stands, and the text that was signed last is gone or was touched",
                f"Bring {signed_path(entry.ref)} back, or read the page and type: kbgen sign {entry.ref} --by XY",
            )


CHECKS: tuple[Check, ...] = (_signed, _walked, _withdrawn)
PAGE_CHECKS: tuple[Check, ...] = (_licences,)
RULES = (
    NOT_SIGNED,
    CHANGED_SINCE_SIGNED,
    FIGURES_CHANGED,
    LICENCE_MISSING,
    SIGNED_TEXT_MISSING,
    NOT_WALKED,
    WITHDRAWN_DONE,
    WITHDRAWN_NAMED,
    WALKED_ALONE,
)
