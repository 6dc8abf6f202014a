"""A photo that tells where a customer lives is refused, and its clean copy stays upright."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from PIL import ExifTags, Image

from kbgen.drawing import redrawn
from kbgen.photo import PhotoError, cleaned, look
from kbgen.pipeline import compile_folder
from kbgen.position import Exact
from kbgen.rules.photos import photo_problems
from tests.unit.shops import problems, write_shop

GPS = (10.0, 20.0, 30.0)


def phone_photo() -> bytes:
    """A picture whose left half is red, stored lying down with the tag that turns it upright."""
    image = Image.new("RGB", (400, 300), "white")
    image.paste("red", (0, 0, 400, 150))
    exif = Image.Exif()
    exif[ExifTags.Base.Orientation] = 6
    exif[ExifTags.Base.DateTime] = "2026:05:04 10:00:00"
    exif.get_ifd(ExifTags.IFD.Exif)[ExifTags.Base.BodySerialNumber] = "SN-1"
    exif.get_ifd(ExifTags.IFD.GPSInfo)[ExifTags.GPS.GPSLatitude] = GPS
    out = io.BytesIO()
    image.save(out, "JPEG", exif=exif)
    return out.getvalue()


def test_what_a_photo_gives_away_is_named_by_kind() -> None:
    found = look(phone_photo())
    assert found.gives_away == ("position", "serial number", "time")
    assert (found.width, found.height) == (300, 400)


def test_the_clean_copy_is_upright_small_and_silent() -> None:
    copy = cleaned(phone_photo())
    assert look(copy).gives_away == ()
    image = Image.open(io.BytesIO(copy))
    assert image.size == (300, 400)
    assert not image.getexif()
    red, green, _ = image.convert("RGB").getpixel((290, 200))
    assert red > 200
    assert green < 80
    assert cleaned(phone_photo()) == copy


@pytest.mark.parametrize("mode", ["P", "RGBA", "L", "1", "CMYK"])
def test_every_kind_of_picture_can_be_cleaned(mode: str) -> None:
    form = "JPEG" if mode == "CMYK" else "PNG"
    out = io.BytesIO()
    Image.new(mode, (40, 30)).save(out, form)
    assert look(cleaned(out.getvalue())).width == 40


def test_broken_bytes_are_no_picture() -> None:
    with pytest.raises(PhotoError):
        look(b"\x89PNG\r\n\x1a\n broken")


def test_the_check_refuses_it_without_repeating_what_it_found(tmp_path: Path) -> None:
    (tmp_path / "photos").mkdir()
    (tmp_path / "photos" / "panel.jpg").write_bytes(phone_photo())
    found = problems(tmp_path, {})
    assert [(each.path, each.rule) for each in found] == [("photos/panel.jpg", "photo-private-data")]
    assert found[0].message == "the picture tells position, serial number and time"
    assert "SN-1" not in found[0].message + found[0].hint


@pytest.mark.parametrize(
    "inside",
    ["<script>1</script>", "<rect onclick='x()'/>", "<image href='http://example.org/a.png'/>"],
)
def test_a_drawing_that_can_act_is_refused(tmp_path: Path, inside: str) -> None:
    (tmp_path / "photos").mkdir()
    drawing = f"<svg xmlns='http://www.w3.org/2000/svg'>{inside}</svg>"
    (tmp_path / "photos" / "panel.svg").write_text(drawing)
    assert [each.rule for each in problems(tmp_path, {})] == ["photo-active"]


SVG = "http://www.w3.org/2000/svg"
PLAIN = f'<svg xmlns="{SVG}"><path d="M0 0h1"/></svg>'


@pytest.mark.parametrize(
    "content",
    [
        f'<s:svg xmlns:s="{SVG}"><s:script>1</s:script></s:svg>'.encode(),
        f'<svg xmlns="{SVG}"><script>1</script></svg>'.encode("utf-16"),
        f'<svg xmlns="{SVG}"><x:script xmlns:x="http://www.w3.org/1999/xhtml">1</x:script></svg>'.encode(),
        f'<svg xmlns="{SVG}"><x:iframe xmlns:x="http://www.w3.org/1999/xhtml"/></svg>'.encode(),
        f'<svg xmlns="{SVG}"><foreignObject/></svg>'.encode(),
        f'<svg xmlns="{SVG}"><set attributeName="href" to="http://x"/></svg>'.encode(),
        f'<svg xmlns="{SVG}"><style>@import "http://x"</style></svg>'.encode(),
        f'<svg xmlns="{SVG}"><rect style="fill:url(http://x)"/></svg>'.encode(),
        f'<svg xmlns="{SVG}"><use href="data:image/svg+xml,x"/></svg>'.encode(),
        f'<!DOCTYPE svg [<!ENTITY a "b">]><svg xmlns="{SVG}"><text>&a;</text></svg>'.encode(),
        f'<?xml-stylesheet href="http://x"?><svg xmlns="{SVG}"><path/></svg>'.encode(),
        f'<svg xmlns="{SVG}"><rect onload="x()"/></svg>'.encode(),
        b"<svg><path/></svg>",
    ],
)
def test_no_spelling_of_what_acts_passes(content: bytes) -> None:
    drawing = redrawn(content)
    assert drawing.content == b""
    assert drawing.active


@pytest.mark.parametrize("content", [b"", b"  \n", b"hello", b"<svg", f'<svg xmlns="{SVG}"/>'.encode()])
def test_an_empty_or_broken_drawing_is_refused(content: bytes) -> None:
    drawing = redrawn(content)
    assert drawing.fault
    assert not drawing.active


@pytest.mark.parametrize(
    ("inside", "rules"),
    [
        ("<text>The gate code is 4711</text>", ["private-key"]),
        ("<text><tspan>The gate</tspan><tspan y='2'>code is 4711</tspan></text>", ["private-key"]),
        ("<text>The gate code is 4<tspan>7</tspan>11</text>", ["private-key"]),
        ("<title>Call 555 010 0199</title>", ["private-telephone"]),
        ("<desc>12 Mill Street</desc>", ["private-address"]),
        ("<g aria-label='name@example.org'><text>K1</text></g>", ["private-mail"]),
        ("<text aria-label='K1'>name@example.org</text>", ["private-mail"]),
        ("<text>The gate code</text><text>is 4711</text>", ["private-key"]),
        ("<g><text>Key box</text></g><g><text>at the gate:</text><text>4711</text></g>", ["private-key"]),
        ("<text>Wi-Fi key:</text><text>hunter2</text><text>K1</text>", ["private-key"]),
        ("<text>K1</text><text>4711</text><text>gate valve, code T19</text>", []),
        ("<text>800</text><text>900</text><text>1000</text><text>12</text><text>Fan Drive</text>", []),
    ],
)
def test_the_words_of_a_drawing_are_searched_for_private_data(
    tmp_path: Path, inside: str, rules: list[str]
) -> None:
    (tmp_path / "photos").mkdir()
    (tmp_path / "photos/plan.svg").write_text(f'<svg xmlns="{SVG}">\n{inside}<path d="M0 0"/></svg>')
    found = photo_problems(tmp_path, ["photos/plan.svg"])
    assert [each.rule for each in found] == rules
    assert all(isinstance(each.place, Exact) and each.place.position.line == 2 for each in found)
    assert not any("4711" in each.message + each.hint for each in found)


def test_a_false_alarm_in_a_drawing_is_accepted_in_the_settings(tmp_path: Path) -> None:
    accept = "accept:\n  - {rule: private-telephone, reason: It is the mark of a part., by: MK}\n"
    root = write_shop(tmp_path, {"kb.yaml": f"shop: Test\nkey: test\n{accept}"})
    (root / "photos").mkdir()
    drawing = PLAIN.replace("<path", "<text>Contact 555-0142</text><path")
    (root / "photos/plan.svg").write_text(drawing)
    compiled = compile_folder(root)
    assert [each.rule for each in compiled.problems if each.rule.startswith(("private", "accept"))] == []
    assert compiled.suppressed == 1


def test_a_drawing_is_written_anew_without_what_nobody_sees() -> None:
    metadata = '<metadata>GPS 1.5</metadata><!-- home --><i:x xmlns:i="urn:i">y</i:x>'
    content = PLAIN.replace("<path", f"{metadata}<path").encode("utf-16")
    assert redrawn(content).content.decode() == f'<svg xmlns="{SVG}"><path d="M0 0h1"></path></svg>\n'


def test_a_picture_of_a_phone_is_named_as_one() -> None:
    with pytest.raises(PhotoError) as raised:
        look(b"\0\0\0\x18ftypheic" + b"\0" * 40)
    assert raised.value.of_phone
