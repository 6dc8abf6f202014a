"""Where the files that ship with the program lie: the same in a wheel and in a checkout."""

from __future__ import annotations

from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent


def package() -> Path:
    """Return the folder of the program itself."""
    return _PACKAGE


def folder(name: str) -> Path:
    """Find one of the folders that ship with the code.

    Args:
        name: ``schema``, ``site_overrides`` or ``starter_shop``.

    Raises:
        FileNotFoundError: When neither the wheel nor the checkout has it; the installation is broken.
    """
    for candidate in (_PACKAGE / "_data" / name, _PACKAGE / name, _PACKAGE.parent / name):
        if candidate.is_dir():
            return candidate
    raise FileNotFoundError(f"the folder {name} is missing from this installation of kbgen")
