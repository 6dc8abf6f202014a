"""Scripts are shipped smaller than they are written, and do the same."""

from __future__ import annotations

import gzip
from pathlib import Path

import pytest

from kbgen.render.web import scripts
from kbgen.render.web.build import STEPS, steps_script
from kbgen.render.web.scripts import shipped
from kbgen.resources import folder

SOURCES = folder("site_overrides") / "assets" / "js"
minified = pytest.mark.skipif(scripts.minify is None, reason="here scripts are shipped as they are written")


def test_every_script_of_the_edition_is_its_source_as_shipped(web_edition: Path) -> None:
    names = sorted(file.name for file in SOURCES.glob("*.js"))
    assert "search-engine.js" in names
    assert (web_edition / "assets" / "js" / "steps.js").read_text(encoding="utf-8") == shipped(
        steps_script().decode()
    )
    for name in sorted(set(names) - set(STEPS)):
        source = (SOURCES / name).read_text(encoding="utf-8")
        script = (web_edition / "assets" / "js" / name).read_text(encoding="utf-8")
        assert script == shipped(source)


def of_others(source: str) -> bool:
    """Return whether a script holds somebody else's work, small as it came, under a licence that goes with it."""
    return source.startswith("/*!")


@minified
@pytest.mark.parametrize("file", sorted(SOURCES.glob("*.js")), ids=lambda file: file.name)
def test_every_script_is_shipped_small_and_without_comments(file: Path) -> None:
    source = file.read_text(encoding="utf-8")
    if of_others(source):
        assert "Permission is hereby granted" in shipped(source)
        return
    assert "/**" not in shipped(source)
    assert len(shipped(source)) < 0.7 * len(source)


@minified
@pytest.mark.parametrize(
    "code",
    [
        'a="// no comment  /* nor this */"',
        'a=text.replace(/[\'’ `]/g,"")',
        "a=/[/]\\/\\* /.test(b)",
        "a=`two  blanks ${b} // stay`",
        "a=b+ ++c",
        "a=b- -c",
        'a="°µ"',
    ],
)
def test_what_stands_in_texts_and_patterns_is_not_touched(code: str) -> None:
    assert shipped(f"  // said why\n  {code};  /** @type {{string}} */\n") == code


@minified
def test_line_ends_that_end_a_statement_count() -> None:
    assert shipped("function a() {\n  return\n  b++\n}") == "function a(){return;b++}"


@minified
def test_only_names_that_nobody_else_sees_are_shortened() -> None:
    source = "(function () {\n  const number = 2;\n  window.kbNumber = { number, twice: number * number };\n})();\nlet shared = 1;"
    assert shipped(source) == "(function(){const e=2;window.kbNumber={number:e,twice:e*e}})();let shared=1"


@minified
def test_the_search_and_the_grammar_of_danger_are_read_by_scripts_under_nine_kilobytes() -> None:
    scripts = [
        shipped((SOURCES / name).read_text(encoding="utf-8")) for name in ("search-engine.js", "danger.js")
    ]
    assert sum(len(gzip.compress(script.encode(), 9)) for script in scripts) < 9000


def test_a_machine_without_the_minifier_ships_what_is_written(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(scripts, "minify", None)
    source = "// Twice.\nconst twice = (n) => 2 * n;\n"
    assert scripts.shipped(source) == source
