"""Ruled: the ladder of one puzzle, with the deductions that its own rules allow.

A rule file gives its deductions as `contract.Deduction`, each under a slug of its own table of
rows; here each row becomes a technique of the ladder, on its rung, for the parts of one puzzle.
All earlier techniques see the rules' houses anyway: they are houses of the geometry.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from packbuilder import rules
from packbuilder.ladder.board import Board
from packbuilder.ladder.find import Find
from packbuilder.ladder.rungs import Ladder, Technique
from packbuilder.ladder.step import as_told
from packbuilder.ladder.table import UNIQUENESS
from packbuilder.rules.contract import Part, Row, Sight


def with_rules(ladder: Ladder, parts: Sequence[Part]) -> Ladder:
    """The ladder with a row for everything that a person can deduce from these parts.

    The ladder itself where the parts bring nothing but houses. Where they bring more, the rows that
    take the puzzle to have one solution go: two digits that could change places as far as houses
    go may well be told apart by a sum or a line.
    """
    telling = tuple(part for part in parts if not part.houses_only)
    if not telling:
        return ladder
    finds = _Finds(telling)
    rows = tuple(_technique(row, finds) for row in _rows(telling))
    idle = {one.slug for one in UNIQUENESS}
    own = tuple(one for one in ladder.techniques if one.slug not in idle)
    return replace(ladder, techniques=own + rows, parts=telling)


def rule_rows() -> tuple[Row, ...]:
    """The rows of every rule that there is, easiest first."""
    found = [row for kind in rules.kinds().values() for row in kind.techniques]
    return tuple(sorted(found, key=lambda row: (row.rung, row.weight, row.slug)))


class _Finds:
    """What the parts allow in a position, worked out once for all rows that ask."""

    def __init__(self, parts: Sequence[Part]) -> None:
        self._parts = parts
        self._position: tuple[int, ...] = ()
        self._by_slug: dict[str, list[Find]] = {}

    def of(self, board: Board, slug: str) -> list[Find]:
        """The finds of one row, in the order of the parts."""
        position = (board.bits, *board.values)
        if self._position != position:
            self._position, self._by_slug = position, {}
            sight = sight_of(board)
            size = board.fields.size
            for part in self._parts:
                for made in part.deduce(sight):
                    removes = tuple(cell * size + digit - 1 for cell, digit in made.removes)
                    find = Find(
                        made.cells, made.digits, (), removes, told=made.words, part=part
                    )
                    self._by_slug.setdefault(made.technique, []).append(find)
        return self._by_slug.get(slug, [])


def sight_of(board: Board) -> Sight:
    """A position as the parts of rules see it."""
    masks = [
        1 << value - 1 if value else board.digits_of(cell)
        for cell, value in enumerate(board.values)
    ]
    return Sight(board.fields.geometry, masks)


def _rows(parts: Iterable[Part]) -> Iterator[Row]:
    modules = {type(part).__module__ for part in parts}
    for kind in rules.kinds().values():
        if type(kind).__module__ in modules:
            yield from kind.techniques


def _technique(row: Row, finds: _Finds) -> Technique:
    return Technique(
        row.slug,
        row.name,
        row.rung,
        row.weight,
        row.about,
        row.idea,
        as_told,
        find=lambda board: finds.of(board, row.slug),
    )
