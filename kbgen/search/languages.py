"""The languages there are; another is one more module beside `english`."""

from __future__ import annotations

from .english import ENGLISH
from .language import Language
from .spanish import SPANISH

LANGUAGES = {"en": ENGLISH, "es": SPANISH}


def language_of(code: str) -> Language:
    """Return the language for a tag such as ``en`` or ``es-MX``; English when it is not known."""
    return LANGUAGES.get(code.lower().split("-")[0], ENGLISH)
