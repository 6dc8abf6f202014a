"""The list of commands, and what wrong use of one says: all that ``kbgen --help`` needs."""

from __future__ import annotations

import argparse
import re
from collections.abc import Iterable
from pathlib import Path
from typing import NoReturn

from kbgen.nearest import nearest

COMMANDS = {
    "check": "list every problem of a knowledge base, each with file, line, column and what to type",
    "build": "write the web edition with its symptom search into a folder",
    "serve": "show the pages in a browser while you write, each with what is wrong with its file",
    "guide": "typeset the approved entries as a pocket guide",
    "search": "find entries by what the panel shows or how the plant behaves",
    "readings": "say what the meter reads at every test point, for every fault",
    "locate": "say what can still be wrong after some readings, and what to test next",
    "order": "say in which order to test, and what it saves beside walking along the strip",
    "walk": "walk a procedure through every branch and show the plant's state at each step",
    "review": "say in sentences what a change makes safer or less safe, for whoever reviews it",
    "explain": "say what a rule means and what is right instead, or what an action of a step needs and gives",
    "export": "write the whole linked knowledge base as JSON",
    "verify": "hold the folder of a web edition against its own list of files",
    "new": "write the start of a knowledge base or of an entry",
    "sign": "show what differs since an entry was signed last, and sign it; initials are a claim, not an identity",
    "rename": "give an entry another id, with every reference to it; its old address keeps working",
    "migrate": "turn old fields and words into the new ones, in place; list what a person must decide",
}
"""What each command does; the module of the same name has its options."""


class WrongUse(Exception):  # noqa: N818 - said to a person, not to a programmer
    """The command was used wrongly; the message says what to type instead."""


class Parser(argparse.ArgumentParser):
    """Says in one sentence what is wrong with a command, not with a page of usage."""

    def error(self, message: str) -> NoReturn:
        """Refuse a command.

        Raises:
            WrongUse: Always.
        """
        raise WrongUse(f"{message.removeprefix('argument ')}; see {self.prog} --help")

    def too_much(self, word: str) -> WrongUse:
        """Return what to say of a word that the command has no use for."""
        if word.startswith("-"):
            options = re.findall(r"--[a-z-]+", self.format_usage())
            return no_such("option", word, options, f"{self.prog} --help lists all")
        if Path(word).is_dir() and "--kb" in self.format_usage():
            return WrongUse(f"write --kb before the folder of a knowledge base: {self.prog} --kb {word}")
        return WrongUse(f"`{word}` is a word too many; put words that belong together in quotes")


def no_such(what: str, name: str, known: Iterable[str], otherwise: str = "") -> WrongUse:
    """Return what to say of a name that does not exist: the nearest one, or else what there is.

    Args:
        otherwise: Said in place of all known names, where they are too many.
    """
    listed = list(known)
    near = nearest(name, listed)
    if near:
        hint = f"did you mean `{near}`?"
    else:
        hint = otherwise or (f"known: {', '.join(listed)}" if listed else "there is none yet")
    return WrongUse(f"there is no {what} `{name}`; {hint}")
