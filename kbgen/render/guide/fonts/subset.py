"""Make the bundled fonts from the full ones; a tool for maintainers, never run by the program.

    python kbgen/render/guide/fonts/subset.py FOLDER_WITH_NOTO_TTF_FILES

Needs fonttools (part of the development extras). ``README.md`` beside this file says where the
full fonts come from. Besides the fonts it writes ``signs.json``: which signs the text face can show
with its fallbacks, and how wide each common sign is, so that the program needs no font reader.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path

from fontTools import subset  # type: ignore[import-untyped]
from fontTools.ttLib import TTFont  # type: ignore[import-untyped]

HERE = Path(__file__).parent

LETTERS = "20-7E,A0-24F,2B0-2FF,300-36F,370-3FF,400-52F,1E00-1EFF"
SIGNS = "2000-206F,2070-20CF,2100-218F,2190-23FF,2460-24FF,2500-27FF,2900-297F,2A00-2BFF"

FONTS = {
    "NotoSans-SemiCondensed.ttf": f"{LETTERS},{SIGNS}",
    "NotoSans-SemiCondensedBold.ttf": f"{LETTERS},{SIGNS}",
    "NotoSans-SemiCondensedItalic.ttf": f"{LETTERS},{SIGNS}",
    "NotoSans-SemiCondensedBoldItalic.ttf": f"{LETTERS},{SIGNS}",
    "NotoSansMono-SemiCondensed.ttf": f"{LETTERS},{SIGNS}",
    "NotoSansMono-SemiCondensedBold.ttf": f"{LETTERS},{SIGNS}",
    "NotoSansSymbols-Regular.ttf": SIGNS,
    "NotoSansSymbols2-Regular.ttf": SIGNS,
    "NotoSansMath-Regular.ttf": SIGNS,
}
REGULAR, BOLD = "NotoSans-SemiCondensed.ttf", "NotoSans-SemiCondensedBold.ttf"


def code_points(ranges: str) -> set[int]:
    """Read ``"20-7E,A0"`` as a set of code points."""
    found: set[int] = set()
    for part in ranges.split(","):
        first, _, last = part.partition("-")
        found.update(range(int(first, 16), int(last or first, 16) + 1))
    return found


def cut(source: Path, target: Path, ranges: str) -> None:
    """Write a font that holds only the given code points, with kerning and accents, without hints."""
    options = subset.Options(hinting=False, notdef_outline=True, name_IDs=["*"], recalc_timestamp=False)
    options.layout_features = ["kern", "mark", "mkmk", "ccmp", "locl"]
    options.drop_tables += ["MATH", "DSIG"]
    font = subset.load_font(str(source), options)
    cutter = subset.Subsetter(options)
    cutter.populate(unicodes=code_points(ranges))
    cutter.subset(font)
    subset.save_font(font, str(target), options)


def signs(folder: Path) -> dict[str, object]:
    """Describe what the cut fonts can show.

    A sign counts when a font shows it that text of *every* style falls back to: all four text faces,
    or one of the symbol fonts. The fixed face falls back to the text face, so it never shows less.
    """
    maps = {name: set(TTFont(folder / name).getBestCmap()) for name in FONTS}
    text = set.intersection(*(m for name, m in maps.items() if name.startswith("NotoSans-")))
    symbols = set.union(*(maps[f"NotoSans{name}-Regular.ttf"] for name in ("Symbols", "Symbols2", "Math")))
    runs: list[list[int]] = []
    for point in sorted(text | symbols):
        if runs and runs[-1][1] == point - 1:
            runs[-1][1] = point
        else:
            runs.append([point, point])
    widths = {}
    for style, name in (("regular", REGULAR), ("bold", BOLD)):
        font = TTFont(folder / name)
        glyphs, cmap, unit = font["hmtx"], font.getBestCmap(), font["head"].unitsPerEm
        widths[style] = {
            chr(point): round(1000 * glyphs[cmap[point]][0] / unit) for point in sorted(text) if point < 0x180
        }
    return {"covered": runs, "widths": widths}


def main(source: Path) -> None:
    """Cut every font and write the description."""
    for name, ranges in FONTS.items():
        cut(source / name, HERE / name, ranges)
    (HERE / "signs.json").write_text(
        json.dumps(signs(HERE), ensure_ascii=False, separators=(",", ":")) + "\n", encoding="utf-8"
    )


if __name__ == "__main__":
    main(Path(sys.argv[1]))
