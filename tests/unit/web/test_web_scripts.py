"""Scripts are shipped smaller than they are written, and do the same."""

from __future__ import annotations

from pathlib import Path

import pytest

from kbgen.render.web.scripts import shipped
from kbgen.resources import folder

SOURCES = folder("site_overrides") / "assets" / "js"


def test_every_script_of_the_edition_is_its_source_as_shipped(web_edition: Path) -> None:
    scripts = sorted(file.name for file in SOURCES.glob("*.js"))
    assert "search-engine.js" in scripts
    for name in scripts:
        source = (SOURCES / name).read_text(encoding="utf-8")
        script = (web_edition / "assets" / "js" / name).read_text(encoding="utf-8")
        assert script == shipped(source)
        assert "/**" not in script
        assert len(script) < 0.85 * len(source)


@pytest.mark.parametrize(
    "code",
    [
        'a="// no comment  /* nor this */"',
        "a=text.replace(/['’ `]/g,'')",
        "a=/[/]\\/\\* /.test(b)",
        "a=`two  blanks ${b} // stay`",
        "a=b+ ++c",
        "a=b- -c",
        "return'°µ'",
    ],
)
def test_what_stands_in_texts_and_patterns_is_not_touched(code: str) -> None:
    assert shipped(f"  // said why\n  {code};  /** @type {{string}} */\n") == f"{code};"


def test_line_ends_that_end_a_statement_stay() -> None:
    assert shipped("let a = 1\nlet b = 2\nreturn\na++") == "let a=1\nlet b=2\nreturn\na++"
