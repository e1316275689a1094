"""Small words for the sentences of rules: cells, digits and lists of things."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from packbuilder.grid import SYMBOLS, cell_name, losses

_NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")


def listed(things: Iterable[str], last: str = "and") -> str:
    """``a``, ``a and b``, ``a, b and c``."""
    names = list(things)
    if len(names) < 2:
        return "".join(names)
    return f"{', '.join(names[:-1])} {last} {names[-1]}"


def cells(found: Iterable[int], size: int, last: str = "and") -> str:
    """Cells by name: ``r1c1, r1c2 and r3c4``."""
    return listed((cell_name(cell, size) for cell in found), last)


def without_one(found: Sequence[int], size: int) -> tuple[str, str]:
    """``Leave out any one of r1c1, r1c2 and r1c3, and``, then ``each of the three``.

    Of two ``Leave out r1c1 or r1c2, and``, then ``each of the two``.
    """
    one = f"any one of {cells(found, size)}" if len(found) > 2 else cells(found, size, "or")
    return f"Leave out {one}, and", f"each of the {number(len(found))}"


def edge(found: tuple[int, int], size: int) -> str:
    """An edge by its cells: ``r1c1-r1c2``."""
    return "-".join(cell_name(cell, size) for cell in found)


def digits(found: Iterable[int], last: str = "and") -> str:
    """Digits in a list: ``3, 5 and 7``; past 9 letters."""
    return listed((SYMBOLS[d] for d in found), last)


def sets(masks: Iterable[int]) -> str:
    """Sets of digits, as masks: ``3 and 5``, or, where there are several, ``1+7, 2+6 or 3+5``."""
    found = [[d for d in range(1, mask.bit_length() + 1) if mask >> (d - 1) & 1] for mask in masks]
    if len(found) == 1:
        return digits(found[0])
    return listed(("+".join(SYMBOLS[d] for d in ds) for ds in found), "or")


def number(n: int) -> str:
    """A small number in words."""
    return _NUMBERS[n] if n < len(_NUMBERS) else str(n)


def takes_out(removes: Iterable[tuple[int, int]], size: int) -> str:
    """What a deduction strikes, cells of one loss together: ``That takes 5 out of r2c1.``"""
    parts = [f"{digits(ds)} out of {cells(where, size)}" for ds, where in losses(removes)]
    if len(parts) > 1 and any(" and " in part for part in parts):
        return f"That takes {'; '.join(parts[:-1])}; and {parts[-1]}."
    return f"That takes {listed(parts)}."


def in_cells(removes: Iterable[tuple[int, int]], size: int) -> str:
    """Digits in cells, as what may not be: ``1 or 9 in r1c2, or 3 in r2c2``."""
    return ", or ".join(
        f"{digits(ds, 'or')} in {cells(where, size, 'or')}" for ds, where in losses(removes)
    )


def ways_to_that(removes: Iterable[tuple[int, int]], masks: Sequence[int], size: int) -> str:
    """What a count of all ways strikes, or what it leaves, whichever is the shorter to say.

    ``No way to do so has 3 in r1c2.``; ``The ways to do so leave 1 or 9 for r1c2.``
    ``masks`` are the candidates before.
    """
    lost = list(removes)
    struck = set(lost)
    left = [
        (cell, d)
        for cell in dict.fromkeys(cell for cell, _ in lost)
        for d in range(1, size + 1)
        if masks[cell] >> (d - 1) & 1 and (cell, d) not in struck
    ]
    if len(left) >= len(lost):
        return f"No way to do so has {in_cells(lost, size)}."
    parts = [f"{digits(ds, 'or')} for {cells(where, size)}" for ds, where in losses(left)]
    told = f"{'; '.join(parts[:-1])}; and {parts[-1]}" if len(parts) > 1 else parts[0]
    return f"The ways to do so leave {told}."


def all_digits(size: int) -> str:
    """The digits of a grid: ``1 to 9``, ``1 to G``."""
    return f"1 to {SYMBOLS[size]}"
