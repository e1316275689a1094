"""Ruled: the ladder of one puzzle, with the deductions that its own rules allow.

A rule file gives its deductions as `contract.Deduction`, each under a slug of its own table of
rows; here each row becomes a technique of the ladder, on its rung, for the parts of one puzzle.
All earlier techniques see the rules' houses anyway: they are houses of the geometry.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from functools import partial

from packbuilder import rules
from packbuilder.ladder.board import Board
from packbuilder.ladder.find import Find, Finder, Sweep
from packbuilder.ladder.rungs import Ladder, Technique
from packbuilder.ladder.step import as_told
from packbuilder.ladder.table import UNIQUENESS
from packbuilder.ladder.techniques import clues, refutation
from packbuilder.rules.contract import Part, Row, Sight

_OF_ANY_RULE = (
    (
        Row(
            "clue-and-house",
            "Clue and house",
            6,
            41,
            "With a candidate, a clue of a rule could not hold, or would leave a digit no place in "
            "a house; so the candidate goes.",
            "A clue and a house: with one candidate, a clue would leave a digit no place.",
        ),
        clues.clue_and_house,
        clues.strikes_of_one,
    ),
    (
        Row(
            "clues-together",
            "Clues together",
            7,
            46,
            "With a candidate, several clues of rules, each followed into the next, leave a digit "
            "no place or one of them no way to hold; so the candidate goes.",
            "Clues together: with one candidate, one clue strikes what another needs.",
        ),
        clues.clues_together,
        clues.strikes_together,
    ),
)
"""Techniques that need rules and do not ask which: their rows, finders and sweeps."""


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
    rows += tuple(
        _made(row, partial(find, parts=telling), partial(sweep, parts=telling))
        for row, find, sweep in _OF_ANY_RULE
    )
    idle = {one.slug for one in UNIQUENESS}
    own = tuple(_knowing(one, telling) for one in ladder.techniques if one.slug not in idle)
    return replace(ladder, techniques=own + rows, parts=telling)


def _knowing(technique: Technique, parts: tuple[Part, ...]) -> Technique:
    """The technique as it is where rules take part: a refutation follows them too."""
    if technique.find is not refutation.refutation:
        return technique
    return replace(
        technique,
        find=partial(refutation.refutation, parts=parts),
        sweep=partial(refutation.strikes, parts=parts),
    )


def rule_rows() -> tuple[Row, ...]:
    """The rows of every rule that there is, easiest first."""
    found = [row for kind in rules.kinds().values() for row in kind.techniques]
    found += [row for row, _, _ in _OF_ANY_RULE]
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
                    houses = tuple(map(sight.geometry.houses.index, made.houses))
                    find = Find(
                        made.cells, made.digits, houses, removes, told=made.words, part=part
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
    return _made(row, lambda board: finds.of(board, row.slug))


def _made(row: Row, find: Finder, sweep: Sweep | None = None) -> Technique:
    words = row.about, row.idea, as_told
    return Technique(row.slug, row.name, row.rung, row.weight, *words, find=find, sweep=sweep)
