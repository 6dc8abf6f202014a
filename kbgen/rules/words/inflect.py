"""Forms of English words, so that the table holds one line a verb."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable

BASE, DOES, DONE, DOING = "base", "does", "done", "doing"
_ALONE = frozenset("# @ it them".split())
_VOWELS = "aeiou"
# Verbs of one syllable with a short vowel double their last letter; these look like it and do not.
_SINGLE = frozenset("fix screw draw slow open loosen slacken fasten disconnect weigh peg-out".split())


def forms_of(verbs: Iterable[str], irregular: str) -> dict[str, tuple[tuple[str, str], ...]]:
    """Return every form with the verbs it may be and what form it is of each.

    Args:
        irregular: Lines of verb, does, done, doing.
    """
    known = {line.split()[0]: tuple(line.split()) for line in irregular.strip().splitlines()}
    found: defaultdict[str, dict[tuple[str, str], None]] = defaultdict(dict)
    for verb in verbs:
        forms = known.get(verb) or (verb, _does(verb), _past(verb), _doing(verb))
        for form, name in zip(forms, (BASE, DOES, DONE, DOING), strict=True):
            found[form][verb, name] = None
    return {form: tuple(each) for form, each in found.items()}


def lemmas_of(verbs: Iterable[str], irregular: str) -> dict[str, frozenset[str]]:
    """Return every form with the verbs it may be."""
    known = forms_of(dict.fromkeys(verbs), irregular)
    return {form: frozenset(verb for verb, _ in each) for form, each in known.items()}


def plurals(words: Iterable[str]) -> frozenset[str]:
    """Return words with their plurals; a sign and a pronoun have none."""
    return frozenset(each for word in words for each in (word, word if word in _ALONE else _does(word)))


def _does(verb: str) -> str:
    if verb.endswith(("s", "x", "ch", "sh", "z")):
        return f"{verb}es"
    if verb.endswith("y") and verb[-2:-1] not in _VOWELS:
        return f"{verb[:-1]}ies"
    return f"{verb}s"


def _past(verb: str) -> str:
    if verb.endswith("e"):
        return f"{verb}d"
    return f"{_stem(verb)}ed"


def _doing(verb: str) -> str:
    return f"{verb[:-1]}ing" if verb.endswith("e") else f"{_stem(verb)}ing"


def _stem(verb: str) -> str:
    short = (
        len(verb) > 2
        and verb not in _SINGLE
        and verb[-1] not in "aeiouwxy"
        and verb[-2] in _VOWELS
        and verb[-3] not in _VOWELS
        and sum(letter in _VOWELS for letter in verb) == 1
    )
    return verb + verb[-1] if short else verb
