"""The browser ranks as the command line does: the same hits, order, scores and reasons."""

from __future__ import annotations

import json
import random
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page

from kbgen.ref import Kind
from kbgen.render.web.scripts import shipped
from kbgen.search import SearchDocument, SearchIndex, build_index, export
from kbgen.search.export import VERSION
from kbgen.search.spelling import cost
from tests.samples.search_data import cases, everything, index_of, read, titled
from tests.unit.search.test_queries import FORMS

SCRIPTS = Path(__file__).parents[2] / "site_overrides" / "assets" / "js"
ENGINE = ("danger.js", "search-engine.js")
ASK = """([queries, equipment]) => {
  const index = kbgenSearch.open(kbgenSearchIndex);
  return queries.map(query => {
    const found = index.query(query, {limit: 10, equipment});
    return [found.results.map(hit => [hit.kind, hit.id, hit.title, hit.score, hit.why, hit.note]), found.didYouMean,
      found.danger, found.notUnderstood, found.kinds, found.equipment,
      found.nearest.map(display => display.shows), found.answers, found.plant, found.better, found.absent];
  });
}"""
AWKWARD = [
    *(
        "",
        " ",
        "^",
        "(",
        "[a-",
        "+",
        "%",
        "\\",
        "*",
        "flame~9",
        "K1*",
        "foo:bar",
        "<script>alert(1)</script>",
    ),
    *(
        "__proto__",
        "constructor",
        "toString hasOwnProperty",
        "\ud83d\udd25",
        "Ω µ ½ ①",
        "水位 低",
        "e\u0301",
        "0",
        "00",
    ),
    *(
        "smell gas",
        "smel of gsa",
        "CO alarm",
        "pilot not burning",
        "trapped in lift",
        "alarma",
        "huele a gas",
    ),
    *("E-99", "E-42", "K1", "C0 alarm", "5 5 5 5 5 5", "one two three four five", "no no no", "not"),
    *(
        "can I jump the air switch",
        "jumping",
        "link out",
        "link out the low water",
        "bypas the vane",
        "puente",
    ),
    "flame " * 5000,
    "E-31 " + " ".join(f"low water {n} switch" for n in range(60)),
    "the fan is running but the air switch does not close and the burner will not light so the boiler waits for "
    "limits and the panel shows E-31 then A-17 after three flashes then one since this morning when it rained",
]


def load(page: Page, folder: Path, index: SearchIndex) -> None:
    """Open a page from disk that has the engine and an index, as the site has them."""
    for name in ENGINE:
        script = shipped((SCRIPTS / name).read_text(encoding="utf-8"))
        (folder / name).write_text(script, encoding="utf-8")
    (folder / "search-index.js").write_text(export(index), encoding="utf-8")
    (folder / "page.html").write_text(
        '<!doctype html><meta charset="utf-8"><meta http-equiv="Content-Security-Policy" '
        "content=\"default-src 'none'; script-src 'self' file:\">"
        '<script src="danger.js"></script><script src="search-engine.js"></script>'
        '<script src="search-index.js"></script>',
        encoding="utf-8",
    )
    page.goto((folder / "page.html").as_uri())


def agree(page: Page, folder: Path, index: SearchIndex, queries: list[str], equipment: str = "") -> None:
    """Assert that the browser answers every query as the command line does."""
    load(page, folder, index)
    for query, found in zip(queries, page.evaluate(ASK, [queries, equipment]), strict=True):
        assert found == everything(index, query, equipment or None), query[:80]


def half_typed(queries: list[str]) -> list[str]:
    """Return what the field holds on the way to some of the queries."""
    return [query[:end] for query in queries[::9] for end in range(1, len(query))]


@pytest.mark.parametrize(("corpus", "table"), [("corpus", "queries"), ("corpus-es", "queries-es")])
def test_browser_and_command_line_agree_on_every_query(
    page: Page, tmp_path: Path, corpus: str, table: str
) -> None:
    index = index_of(corpus)
    typed = [case.query for case in cases(table)]
    queries = [*typed, *half_typed(typed), *AWKWARD]
    agree(page, tmp_path, index, queries)


def test_browser_agrees_with_a_plant_remembered(page: Page, tmp_path: Path) -> None:
    queries = [
        *[case.query for case in cases("queries")][::3],
        "A-17 at the pool heater",
        "steam boiler",
        *AWKWARD,
    ]
    agree(page, tmp_path, index_of("corpus"), queries, "zellick-ph")


@pytest.mark.parametrize(
    "titles",
    [
        ("Fault E-31 low water cut-off open", "Fault F-31 fan proving", "Fault E-13 spare"),
        ("Contact stuck off", "Switch not made", "No call for heat"),
        FORMS,
        ("Check fuse F1: open",),
        (),
    ],
)
def test_browser_agrees_on_shops_of_a_few_entries(
    page: Page, tmp_path: Path, titles: tuple[str, ...]
) -> None:
    index = titled(*titles)
    queries = [
        *(
            "E-31",
            "e-31",
            "E31",
            "e 31",
            "E-3",
            "31",
            "off",
            "not",
            "no",
            "not made",
            "on",
            "purge",
            "purging",
        ),
        *("purged", "purges", "igniter", "open", "opened", "opening", "valves", "F1:"),
        *half_typed(["purging"]),
        *AWKWARD,
    ]
    agree(page, tmp_path, index, queries)


def test_browser_agrees_where_scores_come_to_nothing_and_letters_are_not_latin(
    page: Page, tmp_path: Path
) -> None:
    """A passing word of a long page may count nothing; letters of other alphabets share the bits of a mask."""
    long = "atom jumpers theory " + "word " * 900
    index = build_index(
        [
            *(
                SearchDocument(
                    Kind.SYMPTOM, f"s{n}", f"Fault {n}", f"symptoms/s{n}.html", body="the at atom jumper"
                )
                for n in range(14)
            ),
            SearchDocument(Kind.TERM, "t", "Term", "terms/t.html", body=long),
            SearchDocument(
                Kind.PROCEDURE, "p", "Procedure", "procedures/p.html", ("constructor",), body=long
            ),
            SearchDocument(Kind.DEVICE, "d", "Помпа κόμπος 𠀀a 𠀀b", "devices/d.html", ("constructor",)),
        ]
    )
    queries = [
        "at",
        "thing at",
        "jumped thing",
        "can i jump thing",
        "помба",
        "помпы",
        "κόμπας",
        "𠀀b",
        *AWKWARD,
    ]
    agree(page, tmp_path, index, queries)
    assert "d" in [hit.id for hit in index.query("помба").results]


def test_browser_normalises_as_the_index_does(page: Page, tmp_path: Path) -> None:
    load(page, tmp_path, titled("Flame"))
    table: dict[str, Any] = read("normalise")
    page.evaluate("() => { window.index = kbgenSearch.open(kbgenSearchIndex); }")
    folded = page.evaluate("texts => texts.map(index.fold)", [text for text, _ in table["fold"]])
    assert folded == [expected for _, expected in table["fold"]]
    split = page.evaluate(
        "texts => texts.map(text => index.atoms(text).map(atom => (atom.touches ? '~' : '') + atom.text))",
        [text for text, _ in table["atoms"]],
    )
    assert split == [expected for _, expected in table["atoms"]]


def test_a_hit_carries_what_a_result_shows(page: Page, tmp_path: Path) -> None:
    index = index_of("corpus")
    load(page, tmp_path, index)
    shown = page.evaluate(
        "() => { const index = kbgenSearch.open(kbgenSearchIndex);"
        " return Array.from({length: index.size}, (_, at) => index.entry(at)); }"
    )
    assert shown == [
        {
            "kind": entry.kind.value,
            "id": entry.id,
            "title": entry.title,
            "address": entry.address,
            "equipment": list(entry.equipment),
            "summary": entry.summary,
            "note": entry.note,
            "draft": entry.draft,
        }
        for entry in index.entries
    ]


def test_five_thousand_words_take_less_than_a_second(page: Page, tmp_path: Path) -> None:
    load(page, tmp_path, index_of("corpus"))
    took = page.evaluate(
        "() => { const index = kbgenSearch.open(kbgenSearchIndex), start = performance.now();"
        " index.query('flame '.repeat(5000));"
        " index.query(Array.from({length: 5000}, (_, n) => 'w' + n.toString(36)).join(' '));"
        " return performance.now() - start; }"
    )
    assert took < 1000


def test_export_is_plain_text_without_what_would_end_a_script() -> None:
    script = export(index_of("corpus"))
    assert script == export(index_of("corpus"))
    assert script.isascii()
    assert json.loads(script.removeprefix("var kbgenSearchIndex=").removesuffix(";\n"))["version"] == VERSION


def test_browser_counts_typing_errors_as_the_command_line_does(page: Page, tmp_path: Path) -> None:
    load(page, tmp_path, titled("Flame"))
    rng = random.Random(3)
    pairs: list[tuple[str, str, int]] = []
    for _ in range(3000):
        typed = "".join(rng.choices("abcqw", k=rng.randint(1, 9)))
        meant = list(typed)
        for _ in range(rng.randint(0, 3)):
            at = rng.randrange(len(meant) + 1)
            meant[at : at + rng.randint(0, 1)] = rng.choices("abcqw", k=rng.randint(0, 2))
        pairs.append((typed, "".join(meant), rng.randint(1, 2)))
    counted = page.evaluate("pairs => pairs.map(pair => kbgenSearch.cost(...pair))", pairs)
    assert counted == [cost(*pair) for pair in pairs]
    assert len(set(counted)) > 5
