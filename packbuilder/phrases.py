"""Phrases that messages are made of: lists, counts, quotes, and the nearest word to a wrong one."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches

MOST_SHOWN = 40
"""Characters of a text that a message shows."""


def shown(text: object) -> str:
    """A text as a message shows it: whole, where it is not long."""
    whole = str(text)
    return whole if len(whole) <= MOST_SHOWN else whole[: MOST_SHOWN - 3] + "..."


def quoted(text: object) -> str:
    """The same in quotes."""
    return repr(shown(text))


def meant(word: str, known: Iterable[str]) -> str | None:
    """The known word that is nearest to a wrong one; None where none is near."""
    return next(iter(get_close_matches(word.lower(), list(known), n=1)), None)


def nearest(word: str, known: Iterable[str], listed: str = "") -> str:
    """The mend for a word that is not known: the nearest known one, or all of them.

    ``listed`` names the command that lists them, where they are too many for a message.
    """
    known = list(known)
    if near := meant(word, known):
        return f"did you mean {near!r}?"
    return f"`{listed}` lists them" if listed else f"write one of: {', '.join(known)}"


def listed(things: Iterable[str], last: str = "and") -> str:
    """``a``, ``a and b``, ``a, b and c``."""
    names = list(things)
    if len(names) < 2:
        return "".join(names)
    return f"{', '.join(names[:-1])} {last} {names[-1]}"


def first_few(things: Iterable[str], most: int, between: str = ", ", noun: str = "") -> str:
    """The first ``most`` things, and how many more there are: ``a, b and 3 more``.

    Where they are parted by semicolons, in full: ``a; b; and 3 more``. ``noun`` is what one of
    the others is called, such as "cell".
    """
    found = list(things)
    if len(found) <= most:
        return listed(found) if between == ", " else between.join(found)
    told, left = between.join(found[:most]), len(found) - most
    rest = counted(left, f"more {noun}") if noun else f"{left} more"
    return f"{told}{' ' if between == ', ' else between}and {rest}"


def counted(count: int, noun: str, many: str = "") -> str:
    """``1 puzzle``, ``3 puzzles``; ``many`` is the plural where that is not the noun and an s."""
    return f"{count} {noun}" if count == 1 else f"{count} {many or noun + 's'}"
