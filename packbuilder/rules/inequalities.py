"""Inequalities: signs on edges that say which of two digits is the larger."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from itertools import pairwise
from typing import Any

from packbuilder.grid import SYMBOLS, Geometry, Values, cell_name
from packbuilder.rules.cases import Case, Cases
from packbuilder.rules.contract import (
    Clauses,
    Deduction,
    Kind,
    Part,
    Row,
    RuleFault,
    Sight,
    Solved,
    Told,
    Wording,
)
from packbuilder.rules.relations import Relation
from packbuilder.rules.shapes import Edge, Shape
from packbuilder.rules.tools import words as words
from packbuilder.rules.tools.cells import edges, items, one_cell, shown, touch
from packbuilder.rules.tools.clue_words import clue, clues_of
from packbuilder.rules.tools.edge_links import components
from packbuilder.rules.tools.masks import (
    digits_of,
    everything,
    least,
    most,
    single,
    union_of,
    up_to,
)
from packbuilder.rules.tools.random_clues import share_of
from packbuilder.rules.tools.schema import COMPARED, listing

Signs = tuple[tuple[int, int], ...]
"""Pairs of cells, the smaller digit's first."""

_WRITTEN = '["r1c1 < r1c2", "r2c1 > r3c1"]'


@dataclass(frozen=True)
class Inequality(Part):
    """One sign; ``cells`` are the smaller digit's and the larger digit's.

    ``chain`` are the signs that hang together with it, for deductions only.
    """

    cells: tuple[int, int]
    chain: Signs = field(default=(), compare=False, repr=False)
    renaming = "reversal"

    def name(self, size: int) -> str:
        """``sign r1c1 < r1c2``."""
        return f"sign {_signs_told(self.cells, size)}"

    def holds(self, values: Values, size: int) -> bool:
        """The first is smaller."""
        return values[self.cells[0]] < values[self.cells[1]]

    def relations(self, size: int, turned: bool = False) -> tuple[Relation, ...]:
        """The lesser and the greater."""
        cells = self.cells[::-1] if turned else self.cells
        return (Relation("less", cells, (0, 1)),)

    def encode(self, clauses: Clauses) -> None:
        """Where the first is at least d, the second is at least d + 1."""
        low, high = self.cells
        for d in range(1, clauses.size + 1):
            clauses.add(-clauses.at_least(low, d), clauses.at_least(high, d + 1))

    def prune(self, masks: list[int], size: int) -> bool:
        """The bounds that each cell gives the other."""
        low, high = self.cells
        masks[high] &= -1 << (masks[low] & -masks[low]).bit_length()
        masks[low] &= (1 << masks[high].bit_length() >> 1) - 1 if masks[high] else 0
        return masks[low] != 0 != masks[high]

    def deduce(self, sight: Sight) -> Iterator[Deduction]:
        """The first sign of a chain tells the bounds that the chain gives."""
        if self.chain and self.chain[0] == self.cells:
            graph = _graph(self.chain)
            for up in (True, False):
                yield from _Bounds(graph, sight, up).deduce()
            for up in (True, False):
                yield from _over_several(graph, sight, up)

    def shapes(self) -> tuple[Shape, ...]:
        """The sign, read from the first cell of the edge to the second."""
        a, b = sorted(self.cells)
        return (Edge((a, b), "<" if self.cells == (a, b) else ">"),)


@dataclass(frozen=True)
class _Graph:
    """A chain of signs: its cells from small to large, and what stands next to each."""

    order: tuple[int, ...]
    below: dict[int, tuple[int, ...]]
    above: dict[int, tuple[int, ...]]


@lru_cache(maxsize=1024)
def _graph(signs: Signs) -> _Graph:
    below: dict[int, list[int]] = {}
    above: dict[int, list[int]] = {}
    for low, high in signs:
        below.setdefault(high, []).append(low)
        below.setdefault(low, [])
        above.setdefault(low, []).append(high)
        above.setdefault(high, [])
    order: list[int] = []
    left = dict(sorted(below.items()))
    while left:
        free = [cell for cell, lows in left.items() if not any(low in left for low in lows)]
        order += free
        for cell in free:
            del left[cell]
    return _Graph(
        tuple(order),
        {cell: tuple(found) for cell, found in below.items()},
        {cell: tuple(found) for cell, found in above.items()},
    )


class _Bounds:
    """The bounds along chains of signs, seen upwards (the least a cell can be) or downwards.

    ``bound`` is what each cell can be at least (at most), ``limit`` what the cell before it asks,
    ``because`` that cell, and ``lost`` the candidates past the limit.
    """

    def __init__(self, graph: _Graph, sight: Sight, up: bool) -> None:
        self.sight, self.up = sight, up
        self.order = graph.order if up else graph.order[::-1]
        self.bound: dict[int, int] = {}
        self.limit: dict[int, int] = {}
        self.because: dict[int, int] = {}
        self.lost: dict[int, int] = {}
        before = graph.below if up else graph.above
        self.sound = all(self._visit(cell, before[cell]) for cell in self.order)

    def _visit(self, cell: int, before: Sequence[int]) -> bool:
        """Bound a cell by those before it; False where nothing is left for it."""
        up, kept = self.up, self.sight.masks[cell]
        if before:
            binding = (max if up else min)(before, key=lambda c: self.bound[c])
            limit = self.bound[binding] + (1 if up else -1)
            lost = kept & (up_to(limit - 1) if up else ~up_to(limit))
            kept &= ~lost
            # A chain starts anew at a cell whose own candidates bound it further.
            if lost or (kept and (least if up else most)(kept) == limit):
                self.because[cell], self.limit[cell] = binding, limit
            if lost:
                self.lost[cell] = lost
        self.bound[cell] = least(kept) if up else most(kept)
        return kept != 0

    def deduce(self) -> Iterator[Deduction]:
        """A deduction for each chain, from its far end, with all that its cells lose."""
        told: set[int] = set()
        for end in reversed(self.order) if self.sound else ():
            if end in self.lost and end not in told:
                chain = [end]
                while chain[-1] in self.because:
                    chain.append(self.because[chain[-1]])
                hit = [cell for cell in reversed(chain) if cell in self.lost and cell not in told]
                told.update(hit)
                yield self._step(tuple(reversed(chain)), tuple(hit))

    def _step(self, chain: tuple[int, ...], hit: tuple[int, ...]) -> Deduction:
        size, start = self.sight.size, self.bound[chain[0]]
        removes = tuple((cell, d) for cell in hit for d in digits_of(self.lost[cell]))
        edge, sign, nothing = ("least", "<", 1) if self.up else ("most", ">", size)
        placed = single(self.sight.masks[chain[0]])

        def tell() -> str:
            known, first = "", cell_name(chain[0], size)
            if placed:
                known = f"{first} is {SYMBOLS[start]}, and "
            elif start != nothing:
                known = f"{first} is at {edge} {SYMBOLS[start]}, and "
            signs = f" {sign} ".join(cell_name(cell, size) for cell in chain)
            bounds = [self._bound_told(cell, k == 0) for k, cell in enumerate(hit)]
            return f"{known}{signs}, so {words.listed(bounds)}. {words.takes_out(removes, size)}"

        return Deduction("inequality", chain, (start,), removes, tell)

    def _bound_told(self, cell: int, first: bool) -> str:
        """``r1c2 is at least 3``; at the end of the digits ``r1c2 is 9``; later ones in short."""
        size, limit = self.sight.size, self.limit[cell]
        name, verb = cell_name(cell, size), "is " if first else ""
        if limit == (size if self.up else 1):
            return f"{name} is {SYMBOLS[limit]}"
        return f"{name} {verb}at {'least' if self.up else 'most'} {SYMBOLS[limit]}"


def _over_several(graph: _Graph, sight: Sight, up: bool) -> Iterator[Deduction]:
    """A cell that is larger (or smaller) than several cells of one house, which all differ."""
    size, masks, houses = sight.size, sight.masks, sight.geometry.houses
    before = graph.below if up else graph.above
    for cell in graph.order:
        if single(masks[cell]):
            continue
        beyond = _all_before(cell, before)
        told: set[tuple[int, ...]] = set()
        for h in sorted({h for other in beyond for h in sight.geometry.houses_of[other]}):
            crowd = tuple(other for other in houses[h].cells if other in beyond)
            if len(crowd) < 2 or crowd in told:
                continue
            told.add(crowd)
            limit = _least_top(crowd, masks, size, up)
            lost = masks[cell] & (up_to(limit) if up else ~up_to(limit - 1))
            if lost and lost != masks[cell]:
                yield _over_several_step(cell, crowd, houses[h].label, limit, lost, sight, up)


def _all_before(cell: int, before: Mapping[int, Sequence[int]]) -> set[int]:
    """The cells that signs lead to, one after the other."""
    found: set[int] = set()
    todo = [cell]
    while todo:
        new = [c for c in before.get(todo.pop(), ()) if c not in found]
        found.update(new)
        todo += new
    return found


def _least_top(crowd: Sequence[int], masks: Sequence[int], size: int, up: bool) -> int:
    """The least that the largest of some different cells can be (up), or the reverse.

    A bound by counting: up to it, every cell has a digit and all have enough between them.
    """
    for step in range(1, size + 1):
        limit = step if up else size + 1 - step
        allowed = up_to(limit) if up else everything(size) & ~up_to(limit - 1)
        within = [masks[cell] & allowed for cell in crowd]
        if all(within) and union_of(within).bit_count() >= len(crowd):
            return limit
    return 0 if up else size + 1


def _over_several_step(
    cell: int, crowd: tuple[int, ...], label: str, limit: int, lost: int, sight: Sight, up: bool
) -> Deduction:
    size = sight.size
    removes = tuple((cell, d) for d in digits_of(lost))

    def tell() -> str:
        than, edge = ("larger", "least") if up else ("smaller", "most")
        differ = "differ, so the" if len(crowd) == 2 else "all differ, so the"
        end = f"{than} of the two" if len(crowd) == 2 else f"{than[:-1]}st of them"
        return (
            f"In {label}, {words.cells(crowd, size)} {differ} {end} is at "
            f"{edge} {SYMBOLS[limit]}; and {cell_name(cell, size)} is {than} than each of them. "
            f"{words.takes_out(removes, size)}"
        )

    return Deduction("inequality-crowd", (*crowd, cell), (limit,), removes, tell)


class Inequalities(Kind):
    """Signs between cells say which digit is larger."""

    slug = "inequalities"
    title = "Inequalities"
    about = "A sign between two cells points at the smaller digit."
    example = """\
id: inequalities
title: Inequalities
size: 6
grid: |
  ......
  ..5...
  ......
  ......
  6.....
  ......
rules:
  - inequalities:
      - r1c6 > r1c5 > r2c5 > r3c5 > r3c6
      - r2c2 < r2c3
      - r3c2 < r4c2
      - r5c3 > r6c3 > r6c4
"""
    techniques = (
        Row("inequality", "Inequality", 2, 7,
            "A chain of signs says how many digits must be smaller or larger; digits past that "
            "bound go.",
            "Follow the signs: each one along a chain leaves its ends less room."),
        Row("inequality-crowd", "Inequality over several", 3, 12,
            "A cell is larger (or smaller) than several cells of one house, which all differ; "
            "that bounds it further than a chain does.",
            "Signs from several cells of one house meet: those cells all differ."),
    )  # fmt: skip

    def read(self, value: Any, geometry: Geometry) -> tuple[Part, ...]:
        """The signs in reading order of their edges."""
        size = geometry.size
        found: dict[tuple[int, int], tuple[int, int]] = {}
        for k, written in enumerate(items(value, _WRITTEN)):
            for low, high in _signs(written, size, (k,)):
                edge = (min(low, high), max(low, high))
                if edge in found:
                    raise RuleFault(
                        f"{words.cells(edge, size)} have two signs between them",
                        "leave one out",
                        (k,),
                    )
                found[edge] = (low, high)
                _check_order(found.values(), (low, high), size, (k,))
        return _linked(found.values())

    def schema(self) -> dict[str, Any]:
        """A list of signs."""
        return listing(COMPARED)

    def random_value(self, grid: Solved) -> Any:
        """The signs on half of the edges."""
        size, values = grid.geometry.size, grid.values
        found = share_of(edges(size), 0.5, grid.draw)
        return [
            f"{cell_name(a, size)} {'<' if values[a] < values[b] else '>'} {cell_name(b, size)}"
            for a, b in found
        ]

    def write(self, parts: Sequence[Part], geometry: Geometry) -> tuple[Told, ...]:
        """``r1c1 less than: r1c2 r2c1``, for each cell that is less than others."""
        size, more = geometry.size, dict[int, list[int]]()
        for part in parts:
            low, high = part.cells
            more.setdefault(low, []).append(high)
        return tuple(
            clue(f"{cell_name(low, size)} less than", sorted(more[low]), size)
            for low in sorted(more)
        )

    def parse(self, told: Sequence[Told], geometry: Geometry) -> tuple[Part, ...]:
        """A sign for each cell behind a label."""
        value = []
        for one in clues_of(told):
            low, less, rest = one.label.partition(" less than")
            if not less or rest or not one.words:
                raise RuleFault(f"{one.label!r} compares no cells", "write it like r1c1 less than")
            value += [f"{low} < {high}" for high in one.words.split()]
        return self.read(value, geometry)

    def wording(self, parts: Sequence[Part], size: int) -> Wording:
        """What a sign means."""
        return Wording(
            "Where two cells that share a side are compared, the digit of one is less than that of "
            "the other.",
            page="The sign between them points at the lesser.",
            text="Each line names a cell, and behind it those whose digits are greater.",
        )

    def cases(self, parts: Sequence[Part], geometry: Geometry) -> Cases:
        """Two signs at one digit."""
        digit, above, below = (3, 5, 1) if geometry.size > 5 else (2, 4, 1)
        value = ["r1c1 < r1c2", "r2c1 < r1c1"]
        return Cases(
            Case(
                {"r1c1": digit, "r1c2": above, "r2c1": below},
                f"{digit} is less than {above}, and {below} less than {digit}.",
                value,
            ),
            Case(
                {"r1c1": digit, "r1c2": above, "r2c1": digit + 1},
                f"The sign points at {digit + 1}, which is not less than {digit}.",
                value,
                "r1c1 r2c1",
            ),
        )

    def recover(self, shapes: Sequence[Shape], geometry: Geometry) -> tuple[Part, ...]:
        """The signs that are drawn."""
        return _linked(
            shape.cells if shape.mark == "<" else shape.cells[::-1]
            for shape in shapes
            if isinstance(shape, Edge) and shape.mark in ("<", ">")
        )


def _signs(written: Any, size: int, path: tuple[int]) -> list[tuple[int, int]]:
    """``r1c1 < r1c2 > r2c2``: a pair for each sign."""
    pieces = re.split(r"\s*([<>])\s*", written.strip()) if isinstance(written, str) else []
    if len(pieces) < 3:
        raise RuleFault(
            f"{shown(written)} has no sign between cells", 'write it like "r1c1 < r1c2"', path
        )
    named = [one_cell(piece, size, path) for piece in pieces[::2]]
    for a, b in pairwise(named):
        if not touch(a, b, size):
            raise RuleFault(
                f"{cell_name(a, size)} and {cell_name(b, size)} do not share a side",
                "name two cells that do",
                path,
            )
    return [
        (a, b) if sign == "<" else (b, a)
        for (a, b), sign in zip(pairwise(named), pieces[1::2], strict=True)
    ]


def _check_order(
    signs: Iterable[tuple[int, int]], new: tuple[int, int], size: int, path: tuple[int]
) -> None:
    """With the new sign there is neither a circle nor a chain longer than the digits."""
    above: dict[int, list[int]] = {}
    below: dict[int, list[int]] = {}
    for low, high in signs:
        above.setdefault(low, []).append(high)
        below.setdefault(high, []).append(low)
    if new[0] in _all_before(new[1], above):
        raise RuleFault(
            f"with {_signs_told(new, size)} the signs go round in a circle",
            "turn one of them round",
            path,
        )
    chain = [*reversed(_longest(new[0], below)), *_longest(new[1], above)]
    if len(chain) > size:
        raise RuleFault(
            f"the signs make a chain of {len(chain)} cells, from {cell_name(chain[0], size)} up to "
            f"{cell_name(chain[-1], size)}, but there are only {size} digits",
            "leave one of its signs out",
            path,
        )


def _longest(cell: int, beyond: Mapping[int, Sequence[int]]) -> list[int]:
    """The longest chain that starts at a cell; no circle can be reached from it."""
    known: dict[int, list[int]] = {}

    def from_(here: int) -> list[int]:
        if here not in known:
            tails = [from_(other) for other in beyond.get(here, ())]
            known[here] = [here, *max(tails, key=len, default=[])]
        return known[here]

    return from_(cell)


def _signs_told(signs: Sequence[int], size: int) -> str:
    return " < ".join(cell_name(cell, size) for cell in signs)


def _linked(signs: Iterable[tuple[int, int]]) -> tuple[Inequality, ...]:
    """The signs in reading order of their edges, each with its chain."""
    known = {(min(pair), max(pair)): pair for pair in signs}
    chain_of = {
        edge: tuple(known[other] for other in chain)
        for chain in components(known)
        for edge in chain
    }
    return tuple(Inequality(known[edge], chain_of[edge]) for edge in sorted(known))


KIND = Inequalities()
