"""Disguise: what makes one puzzle of another, as a map that can be applied, and in words.

A map is told only after it was applied and the other puzzle came out. That check shares nothing
with the search for forms: it moves cells and compares houses, clues and relations.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from itertools import repeat

from packbuilder.errors import PackbuilderError
from packbuilder.grid import SYMBOLS, Geometry, Values, format_grid
from packbuilder.kinship.forms import Form, form_of
from packbuilder.kinship.marks import laid, narrowest
from packbuilder.rules.contract import Part
from packbuilder.rules.relations import Renaming

_TURNS = {
    (False, False, False): "",
    (True, True, False): "given a half turn",
    (False, True, False): "mirrored, left for right",
    (True, False, False): "mirrored, top for bottom",
    (True, False, True): "turned a quarter to the right",
    (False, True, True): "turned a quarter to the left",
    (False, False, True): "mirrored over the diagonal from the top left",
    (True, True, True): "mirrored over the diagonal from the top right",
}
"""What it is called if rows come in reverse, and columns, before (third) they are swapped."""


@dataclass(frozen=True)
class Posed:
    """A puzzle as it is posed. The houses that its parts bring are in the geometry."""

    geometry: Geometry
    clues: Values
    parts: tuple[Part, ...] = ()


@dataclass(frozen=True)
class Disguise:
    """What each line (rows, then columns, numbered on) and each digit becomes; 0 stays 0."""

    lines: tuple[int, ...]
    digits: tuple[int, ...]

    @property
    def size(self) -> int:
        """Cells along one side."""
        return len(self.lines) // 2

    def cell(self, cell: int) -> int:
        """Where a cell goes."""
        row, column = divmod(cell, self.size)
        a, b = sorted((self.lines[row], self.lines[self.size + column]))
        return a * self.size + b - self.size

    def applied(self, clues: Values) -> Values:
        """The clues of the one puzzle as they stand in the other."""
        there = [0] * len(clues)
        for cell, digit in enumerate(clues):
            there[self.cell(cell)] = self.digits[digit]
        return tuple(there)

    @property
    def is_nothing(self) -> bool:
        """Whether all stays as it is."""
        return self.lines == tuple(range(2 * self.size)) and self.digits == tuple(
            range(self.size + 1)
        )

    @property
    def words(self) -> str:
        """The disguise as a clause: ``turned a quarter to the right; digits 1 5 become 5 1``."""
        told = [part for part in (self._page(), self._renamed()) if part]
        return "; ".join(told) or "clue for clue"

    @property
    def as_json(self) -> dict[str, object]:
        """The map: what each row, column and digit becomes (``r4`` or ``c4`` a row or column)."""
        size = self.size
        names = [f"r{k + 1}" for k in range(size)] + [f"c{k + 1}" for k in range(size)]
        lines = [names[line] for line in self.lines]
        digits = {SYMBOLS[d]: SYMBOLS[e] for d, e in enumerate(self.digits) if d}
        return {"rows": lines[:size], "columns": lines[size:], "digits": digits}

    def _page(self) -> str:
        for turn, words in _TURNS.items():
            if self.lines == laid(self.size, *turn):
                return words
        size, swapped = self.size, self.lines[0] >= self.size
        told = ["laid on its side"] if swapped else []
        for kind, lines in (("rows", self.lines[:size]), ("columns", self.lines[size:])):
            became = {"rows": "columns", "columns": "rows"}[kind] if swapped else kind
            there = [1 + line % size for line in lines]
            some = [k for k in range(size) if swapped or there[k] != k + 1]
            if some:
                told.append(
                    f"{kind} {_list(k + 1 for k in some)} become {became} "
                    f"{_list(there[k] for k in some)}"
                )
        return "; ".join(told)

    def _renamed(self) -> str:
        if self.digits == _turned_round(self.size):
            return f"digits turned round: {SYMBOLS[self.size]} for 1, and so on"
        moved = [d for d, e in enumerate(self.digits) if d != e]
        if not moved:
            return ""
        there = (SYMBOLS[self.digits[d]] for d in moved)
        return f"digits {_list(SYMBOLS[d] for d in moved)} become {_list(there)}"


def disguise(one: Posed, other: Posed) -> Disguise | None:
    """What makes the other puzzle of the one; None where nothing does.

    Turns and mirrors come first, for they are easiest seen. Raises PackbuilderError where a map
    that should do it does not: a fault of packbuilder.
    """
    a, b = (form_of(posed.geometry, posed.clues, posed.parts) for posed in (one, other))
    if a.key != b.key:
        return None
    for found in (*_turns(one, other), _between(one, a, b)):
        if carries(found, one, other):
            return found
    raise PackbuilderError(
        f"the grids {format_grid(one.clues)} and {format_grid(other.clues)} have one form, and the "
        "disguise that it gives does not hold: a fault of packbuilder; please report it"
    )


def carries(found: Disguise, one: Posed, other: Posed) -> bool:
    """Whether a disguise makes the other puzzle of the one: houses, clues, rules and all."""
    size, allowed = one.geometry.size, _renaming(one)
    plain = tuple(range(size + 1))
    kept = {
        "any": sorted(found.digits) == list(plain),
        "parity": all((d - e) % 2 == 0 for d, e in enumerate(found.digits)),
        "reversal": found.digits in (plain, _turned_round(size)),
        "none": found.digits == plain,
    }
    turned = allowed == "reversal" and found.digits != plain
    return (
        kept["any"]
        and kept[allowed]
        and allowed == _renaming(other)
        and found.applied(one.clues) == other.clues
        and _houses(one, found.cell) == _houses(other)
        and _relations(one, found.cell, turned) == _relations(other)
    )


def _renaming(posed: Posed) -> Renaming:
    return narrowest({part.renaming for part in posed.parts}, posed.geometry.size)


def _houses(posed: Posed, cell: Callable[[int], int] = int) -> set[frozenset[int]]:
    return {frozenset(map(cell, house.cells)) for house in posed.geometry.houses}


def _relations(
    posed: Posed, cell: Callable[[int], int] = int, turned: bool = False
) -> set[tuple[str, frozenset[tuple[int, int]]]]:
    return {
        (said.says, frozenset(zip(map(cell, said.cells), said.roles or repeat(0), strict=False)))
        for part in posed.parts
        for said in part.relations(posed.geometry.size, turned)
    }


def _turns(one: Posed, other: Posed) -> Iterator[Disguise]:
    """The ways to lay the page, each with digits that fit the clues, if any do."""
    size, free = one.geometry.size, _renaming(one) in ("any", "parity")
    for upside, mirrored, swapped in _TURNS:
        plain = Disguise(laid(size, upside, mirrored, swapped), tuple(range(size + 1)))
        if not free:
            yield plain
            yield Disguise(plain.lines, _turned_round(size))
            continue
        pairs = set(zip(plain.applied(one.clues), other.clues, strict=True))
        if len(dict(pairs)) == len(pairs) == len({e for _, e in pairs}):
            yield Disguise(plain.lines, _completed(dict(pairs), size, _renaming(one)))


def _between(one: Posed, a: Form, b: Form) -> Disguise:
    """The disguise that two puzzles of one form are of each other."""
    size = one.geometry.size
    line_at = {place: line for line, place in enumerate(b.order)}
    lines = tuple(line_at[place] for place in a.order)
    if _renaming(one) in ("reversal", "none"):
        same = a.turned == b.turned
        return Disguise(lines, tuple(range(size + 1)) if same else _turned_round(size))
    digit_of = {number: d for d, number in enumerate(b.numbers, start=1) if number >= 0}
    known = {d: digit_of[number] for d, number in enumerate(a.numbers, start=1) if number >= 0}
    return Disguise(lines, _completed(known, size, _renaming(one)))


def _completed(known: dict[int, int], size: int, allowed: Renaming) -> tuple[int, ...]:
    """Digits for those that are no clue, too: their own where it is free."""
    digits = {0: 0} | known
    free = [d for d in range(1, size + 1) if d not in digits.values()]
    for d in range(1, size + 1):
        if d not in digits:
            fits = [e for e in free if allowed == "any" or (d - e) % 2 == 0]
            digits[d] = d if d in free else (fits or free)[-1]
            free.remove(digits[d])
    return tuple(digits[d] for d in range(size + 1))


def _turned_round(size: int) -> tuple[int, ...]:
    return (0, *range(size, 0, -1))


def _list(items: Iterable[object]) -> str:
    return " ".join(map(str, items))
