"""English: the small words of a told step, right for one, two or many cells."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from itertools import groupby

from packbuilder.grid import SYMBOLS, Geometry, cell_name, losses
from packbuilder.ladder.step import Step
from packbuilder.phrases import listed as listed

_NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")
_ORDINALS = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth",
             "tenth")  # fmt: skip


def digit(d: int) -> str:
    """A digit as printed: 7, or B for 11."""
    return SYMBOLS[d]


def a_digit(d: int) -> str:
    """A digit with its article, as it is spoken: ``a 6``, ``an 8``."""
    return f"{'an' if SYMBOLS[d] in '8AEF' else 'a'} {SYMBOLS[d]}"


def in_regions(text: str) -> str:
    """Words on a grid with blocks, as said of one with regions: the noun alone."""
    return re.sub(r"\b(a|one|the|that|same) block\b", r"\1 region", text)


def digits_plural(d: int) -> str:
    """``5s``; a letter takes an apostrophe, for "As" would read as a word: ``A's``."""
    return f"{SYMBOLS[d]}s" if d < 10 else f"{SYMBOLS[d]}'s"


def cells(found: Iterable[int], size: int, last: str = "and") -> str:
    """Cells by name: ``r1c1, r1c2 and r3c4``."""
    return listed((cell_name(cell, size) for cell in found), last)


def digits(found: Iterable[int], last: str = "and") -> str:
    """Digits in a list: ``3, 5 and 7``."""
    return listed((SYMBOLS[d] for d in found), last)


def label(h: int, geometry: Geometry) -> str:
    """A house as it is told: ``row 4``. A region goes by its first cell: no letter is printed."""
    house = geometry.houses[h]
    if house.kind == "region":
        return f"the region of {cell_name(house.cells[0], geometry.size)}"
    return house.label


def labels(houses: Iterable[int], geometry: Geometry, last: str = "and") -> str:
    """Houses as they are told: ``row 4 and block 6``; of one kind, ``rows 4 and 6``."""
    found = list(houses)
    kinds = {geometry.houses[h].kind for h in found}
    told = [label(h, geometry) for h in found]
    if len(found) > 1 and len(kinds) == 1:
        kind = kinds.pop()
        start = "the region of " if kind == "region" else f"{kind} "
        ends = [one.removeprefix(start) for one in told]
        if all(len(end.split()) == 1 for end in ends):
            return f"{start.replace(kind, f'{kind}s')}{listed(ends, last)}"
    return listed(told, last)


def by_kind(houses: Iterable[int], geometry: Geometry) -> str:
    """Many houses, those of one kind together: ``rows 2 and 8, and column 3``."""
    found = list(houses)
    kinds = groupby(found, key=lambda h: geometry.houses[h].kind)
    parts = [labels(group, geometry) for _, group in kinds]
    if len(parts) in (1, len(found)):
        return listed(parts)
    return f"{', '.join(parts[:-1])}, and {parts[-1]}"


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


def ordinal(k: int) -> str:
    """``first`` for 0; past the tenth a number with its ending."""
    return _ORDINALS[k] if k < len(_ORDINALS) else f"{k + 1}th"


def out_of(step: Step, size: int) -> str:
    """What a step strikes: see `takes_out`."""
    return takes_out(step.removes, size)


def takes_out(removes: Iterable[tuple[int, int]], size: int) -> str:
    """What is struck, cells of one loss together: ``That takes 5 out of r2c1 and r2c4.``"""
    return f"That takes {joined(struck(removes, 'out of', size))}."


def struck(removes: Iterable[tuple[int, int]], way: str, size: int) -> list[str]:
    """``5 out of r2c1 and r2c4`` (``way`` is "out of"): cells of one loss together, a part each."""
    return [f"{digits(ds)} {way} {cells(where, size)}" for ds, where in losses(removes)]


def joined(parts: Sequence[str]) -> str:
    """A list of parts; semicolons part them where one of them has an "and" of its own."""
    if len(parts) > 1 and any(" and " in part for part in parts):
        return f"{'; '.join(parts[:-1])}; and {parts[-1]}"
    return listed(parts)


def cannot(found: Iterable[int], what: str, size: int) -> str:
    """``r1c1 cannot be 5``, ``neither r1c1 nor r1c2 can be 5``, ``none of ... can be 5``.

    ``what`` is what follows "be", with its blank: `` 5``, or nothing where that is said already.
    """
    names = [cell_name(cell, size) for cell in dict.fromkeys(found)]
    if len(names) == 1:
        return f"{names[0]} cannot be{what}"
    if len(names) == 2:
        return f"neither {names[0]} nor {names[1]} can be{what}"
    return f"none of {listed(names)} can be{what}"
