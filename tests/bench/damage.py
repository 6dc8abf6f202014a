"""What editors, phones, spreadsheets, merges and accidents do to a file; every kind by its name."""

from __future__ import annotations

import io
import random
import re
import zipfile
from collections.abc import Callable
from typing import NamedTuple

_SIGNS = "{}[]|>&*!%@`#:-?,\"' \t\n\\~=<"
_ODD = "\u00a0\u2011\u200b\u200e\u202e\u2028\ufeff\u0085\u0300\U0001f525\ufffe\u00ad\u3000\ud7ff\x07\x00\x1b"
_VALUES = ("", "~", "[]", "{}", "yes", "-1", "1e999999", "9" * 400, "0x1F", "2026-02-30", "[[[[]]]]", "{a: {b: c}}",
           "24", "24 V to 12 V", "1,5 A", "x" * 5000, "[](device:)", "](" * 300, "*" * 500, "> " * 40 + "x")  # fmt: skip


class Kind(NamedTuple):
    """One kind of damage.

    Attributes:
        make: Makes the bytes of a file from a good one and a source of chance.
        bad: Whether the file cannot be in order afterwards, so that silence would be a lost problem.
    """

    make: Callable[[str, random.Random], bytes]
    bad: bool = False


def _text(change: Callable[[str, random.Random], str]) -> Callable[[str, random.Random], bytes]:
    return lambda text, rng: change(text, rng).encode("utf-8", errors="surrogatepass")


def _lines(change: Callable[[list[str], random.Random], None]) -> Callable[[str, random.Random], bytes]:
    def changed(text: str, rng: random.Random) -> str:
        lines = text.splitlines()
        for _ in range(rng.randint(1, 3)):
            if lines:
                change(lines, rng)
        return "\n".join(lines) + "\n"

    return _text(changed)


def _insert(text: str, piece: str, rng: random.Random) -> str:
    at = rng.randint(0, len(text))
    return text[:at] + piece + text[at:]


def _drop(lines: list[str], rng: random.Random) -> None:
    del lines[rng.randrange(len(lines))]


def _repeat(lines: list[str], rng: random.Random) -> None:
    lines.insert(rng.randrange(len(lines)), rng.choice(lines))


def _shift(lines: list[str], rng: random.Random) -> None:
    at = rng.randrange(len(lines))
    lines[at] = rng.choice([" ", "  ", "\t", "    "]) + lines[at] if rng.random() < 0.5 else lines[at][1:]


def _swap(lines: list[str], rng: random.Random) -> None:
    one, other = rng.randrange(len(lines)), rng.randrange(len(lines))
    lines[one], lines[other] = lines[other], lines[one]


def _value(lines: list[str], rng: random.Random) -> None:
    at = rng.randrange(len(lines))
    lines[at] = re.sub(r":( .*)?$", lambda _: f": {rng.choice(_VALUES)}", lines[at])


def _stolen(lines: list[str], rng: random.Random) -> None:
    """A value from elsewhere in the file: the wrong name, the wrong step."""
    at, other = rng.randrange(len(lines)), rng.choice(lines)
    lines[at] = lines[at].partition(":")[0] + ":" + other.partition(":")[2]


def _tangle(text: str, rng: random.Random) -> str:
    names = re.findall(r"\bid: ([a-z0-9-]+)", text) or ["x"]
    return re.sub(r"\bgo: [a-z0-9-]+", lambda _: f"go: {rng.choice(names)}", text)


def _conflict(text: str, rng: random.Random) -> str:
    lines = text.splitlines()
    at = rng.randrange(len(lines))
    lines[at : at + 1] = ["<<<<<<< HEAD", lines[at], "=======", lines[at].upper(), ">>>>>>> branch"]
    return "\n".join(lines) + "\n"


def _aliases(_: str, rng: random.Random) -> str:
    levels = "".join(f"a{n}: &a{n} [{', '.join([f'*a{n - 1}'] * 9)}]\n" for n in range(1, rng.randint(3, 30)))
    return f"title: x\na0: &a0 [lol]\n{levels}"


def _zip(text: str, _: random.Random) -> bytes:
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w") as made:
        made.writestr(zipfile.ZipInfo("xl/workbook.xml"), text)
    return file.getvalue()


def _csv(text: str, rng: random.Random) -> str:
    return "".join(
        f"{rng.choice(';,' + chr(9))}".join(f'"{cell}"' for cell in line.split(":")) + "\n"
        for line in text.splitlines()
    )


KINDS: dict[str, Kind] = {
    "random bytes": Kind(lambda _, rng: b"\xff" + rng.randbytes(rng.randint(0, 2000)), bad=True),
    "random signs": Kind(_text(lambda _, rng: "".join(rng.choices(_SIGNS + "ab1", k=rng.randint(0, 400))))),
    "signs inserted": Kind(_text(lambda text, rng: _insert(text, "".join(rng.choices(_SIGNS, k=rng.randint(1, 4))), rng))),
    "odd Unicode": Kind(_text(lambda text, rng: _insert(text, "".join(rng.choices(_ODD, k=3)), rng))),
    "line dropped": Kind(_lines(_drop)),
    "line repeated": Kind(_lines(_repeat)),
    "lines swapped": Kind(_lines(_swap)),
    "line shifted": Kind(_lines(_shift)),
    "value replaced": Kind(_lines(_value)),
    "value from elsewhere": Kind(_lines(_stolen)),
    "steps tangled": Kind(_text(_tangle)),
    "cut short": Kind(_text(lambda text, rng: text[: rng.randint(0, len(text))])),
    "letters changed": Kind(_text(lambda text, rng: re.sub(r"[a-z]", lambda m: m[0] if rng.random() < 0.99 else rng.choice("xyz-"), text))),
    "saved twice": Kind(_text(lambda text, _: text + text), bad=True),
    "merge conflict": Kind(_text(_conflict), bad=True),
    "brackets 1,200 deep": Kind(_text(lambda text, rng: f"{text}x: {'[' * rng.randint(31, 1200)}{']' * rng.randint(0, 1200)}\n"), bad=True),
    "maps 400 deep": Kind(_text(lambda text, _: text + "".join(f"{' ' * n}a:\n" for n in range(400))), bad=True),
    "dashes 3,000 deep": Kind(_text(lambda text, _: f"{text}x:\n  {'- ' * 3000}y\n"), bad=True),
    "alias bomb": Kind(_text(_aliases), bad=True),
    "line of 100,000 signs": Kind(_text(lambda text, rng: f"{text}note: {rng.choice(['x', 'x ', ': ', '[', '*a', '](a:b)']) * 50_000}\n"[:250_000]), bad=True),
    "100,000 lines": Kind(_text(lambda text, rng: text + rng.choice(["- a\n", "a:\n", "#\n", "x: {\n", "'\n"]) * 40_000)),
    "larger than may be": Kind(_text(lambda text, _: text + "# filler\n" * 40_000), bad=True),
    "UTF-16": Kind(lambda text, rng: text.encode(rng.choice(["utf-16", "utf-16-le", "utf-16-be"])), bad=True),
    "Windows-1252": Kind(lambda text, _: text.encode("ascii", "ignore") + b"note: 72\xb0F \x93short\x94\n", bad=True),
    "smart quotes": Kind(_text(lambda text, _: text.replace('"', "”").replace("'", "’"))),
    "dashes by a phone": Kind(_text(lambda text, rng: re.sub("-", lambda _: rng.choice("-–—\u2011"), text))),
    "no-break spaces": Kind(_text(lambda text, rng: re.sub(" ", lambda _: " " if rng.random() < 0.95 else "\u00a0", text))),
    "tabs for blanks": Kind(_text(lambda text, _: text.replace("  ", "\t"))),
    "CR line ends": Kind(_text(lambda text, _: text.replace("\n", "\r")), bad=True),
    "CRLF line ends": Kind(_text(lambda text, _: "\ufeff" + text.replace("\n", "\r\n"))),
    "capitalised by a phone": Kind(_text(lambda text, _: re.sub(r"^( *(?:- )?)([a-z])", lambda m: m[1] + m[2].upper(), text, flags=re.MULTILINE)), bad=True),
    "pasted as CSV": Kind(_text(_csv), bad=True),
    "a packed file": Kind(_zip, bad=True),
    "HTML": Kind(_text(lambda text, _: f"<!doctype html><html><body>{text}</body></html>"), bad=True),
    "empty": Kind(lambda *_: b"", bad=True),
    "only blanks": Kind(_text(lambda _, rng: " \n\t\ufeff"[: rng.randint(1, 4)] * 50), bad=True),
}  # fmt: skip
