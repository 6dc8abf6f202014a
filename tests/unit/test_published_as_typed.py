"""What is published is what was typed, or the check names the place.

Every text of a shop is replaced by a random one: signs, scripts, wraps, indentation and quotes of every
sort. Whatever the check lets pass must stand letter by letter on the page, in the guide and in the export.
"""

from __future__ import annotations

import json
import random
import re
import shutil
import unicodedata
from collections.abc import Iterator, Sequence
from fnmatch import fnmatchcase
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest
from PIL import Image
from pypdf import PdfReader

from kbgen.outputs.export import write_export
from kbgen.outputs.guide import make_binder
from kbgen.outputs.web import build_edition, web_leaves
from kbgen.pipeline import Compiled, compile_folder
from kbgen.position import Route
from kbgen.problems import Problem, Severity
from kbgen.ref import Kind
from kbgen.render.guide import PAPERS
from kbgen.report import Located, locate
from kbgen.resources import folder as starter
from kbgen.rules.registry import BY_NAME
from kbgen.schemas import Schemas, load_schemas
from tests.unit import typed_shop
from tests.unit.full_shop import WAIVERS, slots, waived
from tests.unit.shops import as_signed
from tests.unit.text_faults import FAULTS, LOST_FIELDS, Fault
from tests.unit.typed_shop import ALWAYS, BULLET, ITEM, PAGE, STAR, Leaf, Typed

Name = tuple[str, Route]
OUTPUTS = ("page", "guide", "export")
ABOUT_TEXT = ("Files", "Fields", "Privacy")


NOT_READ = ("script", "style", "template")
INSIDE_A_LINE = ("a", "abbr", "b", "bdi", "code", "em", "i", "kbd", "mark", "small", "span", "strong", "wbr")


class _Text(HTMLParser):
    """The text of a page, that of pictures for those who cannot see them included."""

    def __init__(self) -> None:
        super().__init__()
        self.parts: list[str] = []
        self.numbers: list[int | None] = []
        self.silent = 0

    def handle_data(self, data: str) -> None:
        if not self.silent:
            self.parts.append(data)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        named = dict(attrs)
        # Data for a script is read by nobody.
        self.silent += tag in NOT_READ
        if tag not in INSIDE_A_LINE:
            self.parts.append(" ")
        self.parts += [f" {named[name]} " for name in ("alt", "aria-label") if named.get(name)]
        # The mark of an item is no text of the page, but what a reader sees.
        if tag in ("ol", "ul"):
            self.numbers.append(int(named.get("start") or 1) if tag == "ol" else None)
        elif tag == "li":
            number = self.numbers[-1] if self.numbers else None
            self.parts.append("\0 " if number is None else f"{number}. ")
            if number is not None:
                self.numbers[-1] = number + 1

    def handle_endtag(self, tag: str) -> None:
        self.silent -= tag in NOT_READ
        if tag not in INSIDE_A_LINE:
            self.parts.append(" ")
        if tag in ("ol", "ul"):
            self.numbers.pop()


def bare(text: str) -> str:
    """A text without blanks: how its lines are wrapped is no matter."""
    return "".join(text.split())


def spaced(text: str) -> str:
    """A text whose words stand one blank apart, however its lines are wrapped."""
    return " ".join(text.split())


class Published:
    """What the three outputs of a shop say; the guide without blanks, which a PDF does not tell."""

    def __init__(self, compiled: Compiled, out: Path, outputs: Sequence[str] = OUTPUTS) -> None:
        site, guide, export = out / "site", out / "guide.pdf", out / "export.json"
        self.pages: dict[str, str] = {}
        self.unprintable: tuple[Problem, ...] = ()
        self.export: dict[str, Any] = {}
        if "guide" in outputs:
            made = make_binder(compiled, guide)
            self.unprintable = tuple(each for each in made.problems if each.severity is Severity.ERROR)
            if self.unprintable:
                return
            self.guide = _printed(guide)
        if "page" in outputs:
            build_edition(compiled, site, lambda _: None)
            self.pages = {page.relative_to(site).as_posix(): _page(page) for page in site.rglob("*.html")}
        if "body" in outputs:
            self.pages = {leaf.address: _read(leaf.body) for leaf in web_leaves(compiled)}
        if "export" in outputs:
            write_export(compiled, export)
            entries = json.loads(export.read_text(encoding="utf-8"))["entries"]
            self.export = {f"{Kind(e['kind']).folder}/{e['id']}.yaml": _lines_typed(e) for e in entries}

    def on_page(self, leaf: Leaf, shows: str) -> bool:
        # An entry's text stands on its own page; the shop's on any.
        if leaf.kind is None:
            return any(_shows(text, shows) for text in self.pages.values())
        return _shows(self.pages[leaf.path.removesuffix(".yaml") + ".html"], shows)

    def in_guide(self, shows: str) -> bool:
        return _holds(self.guide, _plain(bare(shows)), "")


def _lines_typed(entry: dict[str, Any]) -> dict[str, Any]:
    """An entry with the lines its author typed; a page of routines keeps them beside the steps they stand for."""
    return {**entry, "steps": entry["written"]} if "written" in entry else entry


def _page(file: Path) -> str:
    return _read(file.read_text(encoding="utf-8"))


def _read(page: str) -> str:
    reader = _Text()
    reader.feed(page)
    return spaced("".join(reader.parts))


def _printed(file: Path) -> str:
    paper = PAPERS["a4"]
    low, high = paper.bottom * 72 / 25.4, (paper.height - paper.top) * 72 / 25.4
    parts: list[str] = []

    def inside(text: str, cm: Any, tm: Any, _font: Any, _size: Any) -> None:
        if low - 2 < tm[4] * cm[1] + tm[5] * cm[3] + cm[5] < high + 2:
            parts.append(text)

    for page in PdfReader(file).pages:
        page.extract_text(visitor_text=inside)
    return _plain(bare("".join(parts)))


def _shows(page: str, shows: str) -> bool:
    return _holds(page, shows, " ?")


def _holds(text: str, shows: str, blank: str) -> bool:
    """Whether a text holds another; a dash may have become the mark of an item where ``shows`` says so."""
    pattern = re.escape(shows)
    for mark, may_be in ((BULLET, "[\0•-]"), (STAR, "[\0•*]"), (ITEM, "[\0•]"), (PAGE, r"(?:→page\d+)?")):
        pattern = pattern.replace(re.escape(mark), f"{may_be}{blank}")
    return re.search(pattern, text) is not None


def _plain(text: str) -> str:
    """A text with its accents composed, and without what only chooses the look of a symbol."""
    return unicodedata.normalize("NFC", text).translate({0xFE0E: None, 0xFE0F: None})


@pytest.fixture(scope="module", autouse=True)
def _all_signed() -> Iterator[None]:
    with as_signed():
        yield


@pytest.fixture(scope="module")
def schemas() -> Schemas:
    return load_schemas()


def published(root: Path, shop: dict[str, Any], typed: dict[Name, Typed]) -> tuple[Published, set[Name]]:
    """Publish the shop; texts that the check speaks of are typed as they were before, and returned."""
    told: set[Name] = set()
    for round_ in range(12):
        folder = root / str(round_)
        where = typed_shop.write(
            folder, shop, {name: text for name, text in typed.items() if name not in told}
        )
        _picture(folder)
        compiled = compile_folder(folder)
        # What a step or a circuit then means is wrong, of course; it is shown all the same.
        found = [problem for problem in compiled.problems if BY_NAME[problem.rule].family.title in ABOUT_TEXT]
        errors = [p for p in locate(found, compiled.documents) if p.severity is Severity.ERROR]
        if not errors:
            result = Published(compiled, folder)
            if not result.unprintable:
                return result, told
            errors = list(locate(result.unprintable, compiled.documents))
        spoken = {name for problem in errors for name in _about(problem, where)}
        assert spoken, [f"{p.path}:{p.line} {p.message}" for p in errors]
        told |= {name for name in typed if any(typed[name] == typed[each] for each in spoken)}
    raise AssertionError("the check finds something new every time")


def _about(problem: Located, where: dict[Name, range]) -> list[Name]:
    """The typed texts that a problem names: by a line of theirs, else the last one before it."""
    own = {name: lines for name, lines in where.items() if name[0] == problem.path}
    named = [name for name, lines in own.items() if problem.line in lines]
    before = [name for name, lines in own.items() if lines.start <= problem.line]
    return named or before[-1:]


def _picture(folder: Path) -> None:
    shutil.copytree(starter("starter_shop") / "photos", folder / "photos")
    for name in ("plate", "panel-sb"):
        Image.new("RGB", (600, 400), "grey").save(folder / f"photos/{name}.png")


def test_every_text_field_is_drawn(schemas: Schemas) -> None:
    leaves = typed_shop.texts(schemas, typed_shop.the_whole_shop(schemas))
    drawn = {leaf.slot for leaf in leaves if leaf.own or leaf.kind is None}
    assert slots(schemas) - drawn == set(), "name each with its reason in full_shop.py, or grow it"


Sound = tuple[Path, list[Leaf], dict[Name, Typed]]


@pytest.fixture(scope="module")
def small(schemas: Schemas, tmp_path_factory: pytest.TempPathFactory) -> Sound:
    """A small shop of random texts, which every output shows as they are typed."""
    return drawn(tmp_path_factory.mktemp("small"), schemas, typed_shop.the_shop(schemas), 4)


@pytest.fixture(scope="module")
def plain(
    schemas: Schemas, tmp_path_factory: pytest.TempPathFactory
) -> tuple[Path, Published, list[Leaf], dict[Name, Typed]]:
    """A shop that holds every text field there is, with a word of its own in each."""
    root = tmp_path_factory.mktemp("plain")
    shop = typed_shop.the_whole_shop(schemas)
    leaves = [leaf for leaf in typed_shop.texts(schemas, shop) if leaf.own or leaf.kind is None]
    typed = {leaf.name: typed_shop.plain(leaf, number) for number, leaf in enumerate(leaves)}
    result, told = published(root, shop, typed)
    assert told == set()
    return root / "0", result, leaves, typed


def test_every_text_field_stands_where_it_must_and_a_waiver_where_it_is_needed(
    plain: tuple[Path, Published, list[Leaf], dict[Name, Typed]],
) -> None:
    _, result, leaves, typed = plain
    nowhere = {(output, leaf.slot) for output, leaf in missing(result, leaves, typed)}
    assert {(output, slot) for output, slot in nowhere if not waived(slot, output)} == set()
    needed = {(each.slots, output) for each in WAIVERS for output in each.outputs}
    used = {(w.slots, o) for o, slot in nowhere for w in WAIVERS if fnmatchcase(slot, w.slots)}
    assert needed <= used, "a waiver for what stands there after all"


def drawn(root: Path, schemas: Schemas, shop: dict[str, Any], seed: int) -> Sound:
    """Type random texts and hold all outputs against them.

    Returns:
        The last folder that was written; the texts of entries that the check lets pass; what was typed.
    """
    leaves = typed_shop.texts(schemas, shop)
    typed = anything(leaves, random.Random(seed))
    result, told = published(root, shop, typed)
    assert len(told) < 0.7 * len(leaves), "most of it is ordinary text"
    left = [leaf for leaf in leaves if leaf.name not in told]
    changed = changes(result, left, typed)
    assert not changed, "\n".join(map(str, changed))
    folder = max((each for each in root.iterdir() if each.is_dir()), key=lambda each: int(each.name))
    return folder, [leaf for leaf in left if leaf.kind], typed


@pytest.mark.parametrize("seed", range(2))
def test_what_is_published_is_what_was_typed_or_the_check_names_the_place(
    seed: int, schemas: Schemas, tmp_path: Path
) -> None:
    _, leaves, _ = drawn(tmp_path, schemas, typed_shop.the_whole_shop(schemas), seed)
    assert len({leaf.slot for leaf in leaves}) > 0.8 * len(slots(schemas))


def anything(leaves: list[Leaf], draw: random.Random) -> dict[Name, Typed]:
    """A random text for every leaf."""
    same: dict[str, Typed] = {}
    typed = {}
    for number, leaf in enumerate(leaves):
        new = typed_shop.sample(leaf, number, draw)
        # A mark that stands in two places stays one mark.
        alone = leaf.own or leaf.text_class == "long"
        typed[leaf.name] = new if alone else same.setdefault(leaf.text, new)
    # Where an output waives a text, nobody would see what is lost of it.
    longs = [
        leaf
        for leaf in leaves
        if leaf.text_class == "long" and leaf.kind and not any(waived(leaf.slot, each) for each in OUTPUTS)
    ]
    typed |= {leaf.name: text for leaf, text in zip(draw.sample(longs, len(longs)), ALWAYS, strict=False)}
    return typed


def missing(
    result: Published, leaves: Sequence[Leaf], typed: dict[Name, Typed], outputs: Sequence[str] = OUTPUTS
) -> list[tuple[str, Leaf]]:
    """Every text that an output does not show as it was typed."""

    def as_typed(output: str, leaf: Leaf) -> bool:
        text = typed[leaf.name]
        if output == "export":
            return spaced(value_at(result.export.get(leaf.path), leaf.route)) == spaced(text.value)
        return result.in_guide(text.shows) if output == "guide" else result.on_page(leaf, text.shows)

    return [(output, leaf) for leaf in leaves for output in outputs if not as_typed(output, leaf)]


def changes(
    result: Published, leaves: Sequence[Leaf], typed: dict[Name, Typed], outputs: Sequence[str] = OUTPUTS
) -> list[tuple[str, Name, Typed]]:
    """Every text that an output does not show as it was typed, and should."""
    return [
        (output, leaf.name, typed[leaf.name])
        for output, leaf in missing(result, leaves, typed, outputs)
        if not waived(leaf.slot, "page" if output == "body" else output)
    ]


def test_a_page_without_its_frame_shows_every_text_of_an_entry(small: Sound, tmp_path: Path) -> None:
    folder, leaves, typed = small
    bodies = Published(compile_folder(folder), tmp_path, ["body"])
    assert changes(bodies, leaves, typed, ["body"]) == []


@pytest.mark.parametrize("fault", FAULTS, ids=lambda fault: fault.name)
def test_a_planted_fault_is_found(
    fault: Fault, small: Sound, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    assert broken(fault, small, monkeypatch, tmp_path)


@pytest.mark.parametrize("fault", LOST_FIELDS, ids=lambda fault: fault.name)
def test_a_lost_field_is_found(
    fault: Fault,
    plain: tuple[Path, Published, list[Leaf], dict[Name, Typed]],
    monkeypatch: pytest.MonkeyPatch,
    tmp_path: Path,
) -> None:
    folder, _, leaves, typed = plain
    entries = [leaf for leaf in leaves if leaf.kind]
    lost = broken(fault, (folder, entries, typed), monkeypatch, tmp_path)
    assert set(fault.slots) <= {leaf.slot for leaf in entries if leaf.name in [name for _, name, _ in lost]}


def broken(
    fault: Fault, sound: Sound, monkeypatch: pytest.MonkeyPatch, out: Path
) -> list[tuple[str, Name, Typed]]:
    """Publish a sound shop with a fault planted; return the texts that are not shown as typed."""
    folder, leaves, typed = sound
    fault.plant(monkeypatch)
    result = Published(compile_folder(folder), out, [fault.output])
    assert result.unprintable == ()
    return changes(result, leaves, typed, [fault.output])


def value_at(data: Any, route: Route) -> str:
    """The text under a route; nothing where it is missing."""
    for step in route:
        try:
            data = data[step]
        except (KeyError, IndexError, TypeError):
            return ""
    return str(data)
