"""English: the small words of a told step, right for one, two or many cells."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from packbuilder.grid import SYMBOLS, Geometry, cell_name
from packbuilder.ladder.step import Step

_NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")


def digit(d: int) -> str:
    """A digit as printed: 7, or B for 11."""
    return SYMBOLS[d]


def digits_plural(d: int) -> str:
    """``5s``; a letter takes an apostrophe, for "As" would read as a word: ``A's``."""
    return f"{SYMBOLS[d]}s" if d < 10 else f"{SYMBOLS[d]}'s"


def listed(things: Iterable[str], last: str = "and") -> str:
    """``a``, ``a and b``, ``a, b and c``."""
    names = list(things)
    if len(names) < 2:
        return "".join(names)
    return f"{', '.join(names[:-1])} {last} {names[-1]}"


def cells(found: Iterable[int], size: int, last: str = "and") -> str:
    """Cells by name: ``r1c1, r1c2 and r3c4``."""
    return listed((cell_name(cell, size) for cell in found), last)


def digits(found: Iterable[int], last: str = "and") -> str:
    """Digits in a list: ``3, 5 and 7``."""
    return listed((SYMBOLS[d] for d in found), last)


def labels(houses: Iterable[int], geometry: Geometry, last: str = "and") -> str:
    """Houses by label: ``row 4 and block 6``; of one kind, ``rows 4 and 6``."""
    found = [geometry.houses[h] for h in houses]
    kinds = {house.kind for house in found}
    ends = [house.label.removeprefix(f"{house.kind} ") for house in found]
    if len(found) > 1 and len(kinds) == 1 and all(len(end.split()) == 1 for end in ends):
        return f"{kinds.pop()}s {listed(ends, last)}"
    return listed((house.label for house in found), last)


def noun(name: str) -> str:
    """A technique's name inside a sentence: ``naked pair``; but ``X-wing``, for the letter."""
    return name if _begins_with_letter(name) else name[:1].lower() + name[1:]


def article(word: str) -> str:
    """The word with its article, as it is spoken: ``an X-wing``, ``a W-wing``, ``a unique ...``."""
    vowels = "AEFHILMNORSX" if _begins_with_letter(word) else "AEIO"
    return f"{'an' if word[:1].upper() in vowels else 'a'} {word}"


def _begins_with_letter(word: str) -> bool:
    """Whether the word begins with letters that are spelt out: X-wing, XY-chain."""
    return word.partition("-")[0].isupper()


def number(n: int) -> str:
    """A small number in words."""
    return _NUMBERS[n] if n < len(_NUMBERS) else str(n)


def out_of(step: Step, size: int) -> str:
    """What a step strikes, cells of one loss together: ``That takes 5 out of r2c1 and r2c4.``"""
    lost: dict[int, list[int]] = {}
    for cell, d in step.removes:
        lost.setdefault(cell, []).append(d)
    together: dict[tuple[int, ...], list[int]] = {}
    for cell in sorted(lost):
        together.setdefault(tuple(sorted(lost[cell])), []).append(cell)
    parts = [f"{digits(ds)} out of {cells(where, size)}" for ds, where in together.items()]
    return f"That takes {_joined(parts)}."


def _joined(parts: Sequence[str]) -> str:
    """Parts that contain "and" themselves are parted by semicolons."""
    return parts[0] if len(parts) == 1 else f"{'; '.join(parts[:-1])}; and {parts[-1]}"
