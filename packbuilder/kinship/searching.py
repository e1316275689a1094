"""The search for forms made ready: on lists as it stands, or compiled on arrays."""

from __future__ import annotations

import struct
from collections.abc import Callable, Sequence
from typing import Any, ClassVar, NamedTuple

from packbuilder.grid import Values
from packbuilder.kinship import canon
from packbuilder.kinship.marks import Marked, frame_of, weight_of, word_of

NODE_LIMIT = 50_000
"""Positions that a search may look at. Puzzles need a handful, the evenest Latin squares of 16x16
some thousands."""

PLAIN_LIMIT = 300
"""The same in plain Python: what needs more is worth compiling the search."""


class Means(NamedTuple):
    """What a search runs on: how words, ints and tables of ints are kept, and who runs it."""

    words: Callable[[Sequence[int]], Any]
    ints: Callable[[Sequence[int]], Any]
    table: Callable[[Sequence[Sequence[int]]], Any]
    packed: Callable[[Any], bytes]
    run: Callable[..., None]


PLAIN = Means(
    words=list,
    ints=list,
    table=lambda rows: [list(row) for row in rows],
    packed=lambda row: struct.pack(f"<{len(row)}q", *row),
    run=canon.forms,
)


class Results(NamedTuple):
    """What became of some grids, by their number: see `canon.forms`."""

    nodes: Any
    forms: Any
    orders: Any
    numbers: Any


class Search:
    """The search for puzzles that share all but their clues. One thread at a time may use it."""

    _last: ClassVar[Search | None] = None

    @classmethod
    def of(cls, puzzle: Marked, means: Means) -> Search:
        """The search for such puzzles: the last one, if it was for the same."""
        last = cls._last
        if last is None or last.puzzle is not puzzle or last.means is not means:
            last = cls._last = cls(puzzle, means)
        return last

    def __init__(self, puzzle: Marked, means: Means) -> None:
        self.puzzle, self.means = puzzle, means
        size, words, ints = puzzle.size, means.words, means.ints
        frame, labels = frame_of(size, puzzle.shape), len(puzzle.labels)
        marks = [
            (cell, label, role)
            for label, relation in enumerate(puzzle.relations, start=size)
            for cell, role in zip(relation.cells, relation.roles, strict=True)
        ]
        kinds = [puzzle.kinds.index(name) << 8 for name in puzzle.labels]
        room = [0] * (size * size)
        self.frame = frame._replace(parent=ints(frame.parent), start=words(frame.start))
        self.marks = canon.Marks(
            len(marks),
            ints([cell // size for cell, _, _ in marks] + room),
            ints([size + cell % size for cell, _, _ in marks] + room),
            ints([label for _, label, _ in marks] + room),
            words([weight_of(role) for _, _, role in marks] + room),
            ints([kinds[label] | role for _, label, role in marks] + room),
            words([word_of(name) for name in puzzle.labels]),
        )
        self.notes = ints(kinds[:size])
        self.most = len(marks) + len(room)
        lengths = canon.room(size, frame.bands, labels, self.most)
        of_words, of_ints = ([[0] * length for length in one] for one in lengths)
        self.work = canon.Work(*map(words, of_words), *map(ints, of_ints))

    def run(self, grids: Sequence[Values]) -> Results:
        """The form of each grid."""
        size, means = self.puzzle.size, self.means
        limit = PLAIN_LIMIT if means is PLAIN else NODE_LIMIT
        nodes = means.ints([0] * len(grids))
        forms, orders, numbers = (
            means.table([[0] * width] * len(grids))
            for width in (1 + self.most, 2 * size, len(self.puzzle.labels))
        )
        means.run(
            means.table(grids), self.frame, self.marks, self.notes, self.work, limit,
            nodes, forms, orders, numbers,
        )  # fmt: skip
        return Results(nodes, forms, orders, numbers)

    def marks_in(self, results: Results, k: int) -> bytes:
        """The marks of a form that was found, eight bytes each."""
        return self.means.packed(results.forms[k][1 : 1 + results.forms[k][0]])
