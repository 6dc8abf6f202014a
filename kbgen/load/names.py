"""Names of files: what may be one, and which names are one file on another computer."""

from __future__ import annotations

import re
import unicodedata
from collections import defaultdict
from collections.abc import Iterable, Iterator

from kbgen.load.fault import FILES
from kbgen.nearest import one_of
from kbgen.position import Exact
from kbgen.problems import Problem, Related

_ID = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*")
_LONGEST_ID = 60
_PICTURE = re.compile(r"[a-z0-9]+(?:[-_.][a-z0-9]+)*")
_PICTURE_ENDINGS = (".png", ".jpg", ".jpeg", ".webp", ".svg")
_OF_PHONES = ("heic", "heif", "hif", "avif")
PHONE_ADVICE = "Export it as JPEG, or set the camera to save the most compatible format, which is JPEG."
"""What to do with a picture in the format of a phone; renaming it does not help."""
_WINDOWS_DEVICE = re.compile(r"(?:con|prn|aux|nul|com[0-9]|lpt[0-9])(?:\..*)?", re.IGNORECASE)


def is_yaml(name: str) -> bool:
    """Whether a file's ending says YAML, in whatever spelling."""
    return name.lower().endswith((".yaml", ".yml"))


FILE_NAME = FILES.error(
    "file-name",
    "The file name is the id: it becomes an address and must work on every system.",
    "devices/Low Water.yaml",
    "devices/low-water.yaml",
)


def entry_name_fault(path: str) -> Problem | None:
    """Report a file name in a folder of entries that cannot be an entry's id."""
    name = path.rpartition("/")[2]
    if not name.endswith(".yaml"):
        message = "an entry's file name ends in .yaml"
        if not is_yaml(name):
            hint = "Rename it if it is an entry, or move it out of the knowledge base."
        else:
            hint = f"Rename it to {name.rpartition('.')[0]}.yaml."
        return FILE_NAME.at(Exact(path), message, hint)
    stem = name.removesuffix(".yaml")
    if why := reserved(stem):
        return FILE_NAME.at(Exact(path), why, "Choose another name.")
    if len(stem) > _LONGEST_ID:
        message = f"the file name is the entry's id and has {len(stem)} characters"
        return FILE_NAME.at(Exact(path), message, f"Shorten it to {_LONGEST_ID} characters.")
    if _ID.fullmatch(stem):
        return None
    example = as_id(stem)
    hint = "Use lower-case letters, digits and single hyphens" + (
        f", for example {example}.yaml." if example else "."
    )
    return FILE_NAME.at(Exact(path), "the file name is the entry's id and cannot be one", hint)


def reserved(name: str) -> str:
    """Say why no page can have this name; empty when one can."""
    if name == "index":
        return "`index` is the address of the list of its kind"
    if _WINDOWS_DEVICE.fullmatch(name):
        return f"`{name}` is the name of a device on Windows"
    return ""


def picture_name_fault(path: str) -> Problem | None:
    """Report a file in the folder of pictures that cannot be shown everywhere."""
    stem, dot, ending = path.rpartition("/")[2].rpartition(".")
    if dot and ending.lower() in _OF_PHONES:
        message = f"pictures with the ending `.{ending}` cannot be shown by every browser and are not read"
        return FILE_NAME.at(Exact(path), message, PHONE_ADVICE)
    if dot + ending not in _PICTURE_ENDINGS:
        hint = f"Save it as {one_of(_PICTURE_ENDINGS)}, in lower case."
        message = f"pictures with the ending `.{ending}` are not read" if dot else "the picture has no ending"
        return FILE_NAME.at(Exact(path), message, hint)
    if not _PICTURE.fullmatch(stem) or _WINDOWS_DEVICE.fullmatch(stem):
        message = "a picture's name holds lower-case letters, digits and hyphens"
        return FILE_NAME.at(
            Exact(path), message, f"Rename it, for example to {as_id(stem) or 'panel'}.{ending}."
        )
    return None


FILE_NAME_CLASH = FILES.error(
    "file-name-clash",
    "Two names that differ only in case or accents are one file elsewhere, and one page overwrites "
    "the other.",
    "devices/LWC.yaml and devices/lwc.yaml",
    "devices/first-low-water.yaml and devices/second-low-water.yaml",
)


def clashes(paths: Iterable[str]) -> Iterator[Problem]:
    """Report names that are one file where case, composition of accents or ``.yml`` do not count."""
    same: defaultdict[str, list[str]] = defaultdict(list)
    for path in paths:
        folded = unicodedata.normalize("NFC", unicodedata.normalize("NFC", path).casefold())
        same[folded.removesuffix(".yml").removesuffix(".yaml")].append(path)
    for group in same.values():
        if len(group) > 1:
            first, *others = sorted(group)
            message = "this file and another have one name where case, accents and .yml do not count"
            related = [Related(Exact(other), "the other file") for other in others]
            yield FILE_NAME_CLASH.at(Exact(first), message, "Rename one of them.", *related)


def as_id(stem: str) -> str:
    """Return text in the form of an id, or nothing where no letter or digit is left.

    >>> as_id("Panel shows LIMITS NOT MADE!")
    'panel-shows-limits-not-made'
    """
    plain = unicodedata.normalize("NFKD", stem.lower()).encode("ascii", "ignore").decode()
    made = re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:_LONGEST_ID].strip("-")
    return "" if _WINDOWS_DEVICE.fullmatch(made) else made
