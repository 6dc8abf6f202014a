"""The bundled fonts and the description of them that the program reads."""

from __future__ import annotations

from fontTools.ttLib import TTFont  # type: ignore[import-untyped]

from kbgen.printable import covered
from kbgen.render.guide.fonts.subset import FONTS, HERE, signs
from kbgen.render.guide.glyphs import shorten, unbroken, width
from tests.unit.guide import books


def test_the_description_matches_the_fonts() -> None:
    found = signs(HERE)
    assert covered() == {chr(p) for first, last in found["covered"] for p in range(first, last + 1)}  # type: ignore[attr-defined]
    regular = TTFont(HERE / "NotoSans-SemiCondensed.ttf")
    assert (
        round(width("Ω", bold=False) * 0 + width("a") * 1000) == regular["hmtx"][regular.getBestCmap()[97]][0]
    )


def test_every_sign_of_the_trade_has_a_shape() -> None:
    assert set(books.SIGNS + books.LETTERS) <= covered()


def test_no_bundled_font_shows_the_fire_sign() -> None:
    assert "🔥" not in covered()


def test_the_fonts_stay_small_and_carry_their_licence() -> None:
    assert sum((HERE / name).stat().st_size for name in FONTS) < 2_500_000
    assert "SIL Open Font License" in (HERE / "OFL.txt").read_text(encoding="utf-8")


def test_a_long_word_may_break_anywhere_and_loses_nothing() -> None:
    text = "a " + "W" * 50 + " b"
    pieces = unbroken(text, 20)
    assert "".join(pieces) == text
    assert max(width(piece) for piece in pieces) < 20
    assert unbroken("short words only", 20) == ["short words only"]


def test_a_title_is_shortened_to_its_room() -> None:
    assert shorten("Low water", 20) == "Low water"
    assert width(shorten("Low water cut-off open " * 9, 20)) <= 20
    assert shorten("Low water cut-off open", 5).endswith("…")
