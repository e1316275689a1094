"""Kinship: is this the same puzzle as that one, in whatever disguise?

Renaming the digits, swapping rows or columns that stand in one band, swapping whole bands, and
turning or mirroring the page change how a puzzle looks and nothing of how it is solved. All of
them keep one graph, which is what is compared::

    clue ── digit           one vertex a clue, joined to its digit and to its two lines;
      ├──── row ── band ── side        lines join their band, bands one of the two sides
      └──── column ── stack ── side    (a Latin square has no bands: its lines join the sides)

Vertices of one kind have one colour, and only like may take the place of like. Where the regions
are no blocks, every cell is a vertex, joined to each house that it lies in, and a clue to its cell:
a disguise is then whatever keeps the regions. Rows and columns, bands and stacks, have one colour
each, so a grid laid on its side, with its blocks or its regions, is still the same puzzle.

A rule that is more than houses knows more than the graph does: the order of a line, the place of a
sum. A grid with such rules is the same puzzle in another of the eight ways to lay the page, and in
no other disguise; it is compared by what is drawn.

The method is textbook: two coloured graphs are isomorphic exactly when their canonical forms are
equal. The form comes from the BLISS algorithm (Junttila and Kaski 2007) as igraph carries it.
"""

from __future__ import annotations

import struct
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from hashlib import sha256
from itertools import chain

from packbuilder.grid import Geometry, Values, blocks
from packbuilder.rules.contract import Part
from packbuilder.rules.shapes import Corner, Fence, Patch, Path, Shape
from packbuilder.rules.tools.turns import Turn, turns

Edge = tuple[int, int]
_CLUE = -1
"""The colour of clues. They come last, so a frame is the same list for every grid."""


@dataclass(frozen=True)
class _Frame:
    """The part of the graph that every grid of a geometry shares.

    ``joins`` gives, for each cell, the vertices that a clue there is joined to besides its digit;
    ``digits`` is the vertex of digit 1, and the rest follow.
    """

    colours: tuple[int, ...]
    edges: tuple[Edge, ...]
    joins: tuple[tuple[int, ...], ...]
    digits: int
    kind: bytes


def fingerprint(geometry: Geometry, clues: Values, parts: Sequence[Part] = ()) -> str:
    """A text that two grids share exactly when one is the other in disguise.

    ``clues`` has an entry a cell, 0 for an empty one; ``parts`` are those of the puzzle's rules,
    the houses that they bring are in the geometry. The text is 32 hexadecimal digits. Compare
    it only with others from the same version of igraph: another may number the vertices otherwise.
    Raises ValueError where ``clues`` does not fit the geometry.
    """
    from igraph import Graph

    if len(clues) != geometry.cell_count:
        raise ValueError(f"{len(clues)} cells given; the grid has {geometry.cell_count}")
    beyond = [part for part in parts if not part.houses_only]
    if beyond:
        looks = min(_looks(geometry, clues, beyond, turn) for turn in turns(geometry.size))
        return sha256(looks.encode()).hexdigest()[:32]
    frame = _frame(geometry)
    edges = list(frame.edges)
    clue = first = len(frame.colours)
    name = frame.digits - 1
    for joins, digit in zip(frame.joins, clues, strict=True):
        if digit:
            edges.append((clue, name + digit))
            edges.extend([(clue, join) for join in joins])
            clue += 1
    graph = Graph(clue, edges)
    order = graph.canonical_permutation(color=[*frame.colours, *[_CLUE] * (clue - first)])
    # permute_vertices knows which way round the permutation is meant. Renaming the ends of the
    # edges by it here looks the same, gives a valid graph, and is not canonical.
    form = sorted(graph.permute_vertices(order).get_edgelist())
    packed = struct.pack(f"<{2 * len(form)}H", *chain.from_iterable(form))
    return sha256(frame.kind + packed).hexdigest()[:32]


def _looks(geometry: Geometry, clues: Values, parts: Sequence[Part], turn: Turn) -> str:
    """The whole puzzle as it is drawn, in one of the ways to lay the page."""
    houses = sorted(tuple(sorted(turn.cells(house.cells))) for house in geometry.houses)
    turned = sorted((turn.cell(cell), digit) for cell, digit in enumerate(clues) if digit)
    drawn = sorted(_part_looks(part, geometry.size, turn) for part in parts)
    return repr((geometry.size, houses, turned, drawn))


def _part_looks(part: Part, size: int, turn: Turn) -> str:
    """A part as it is drawn; by its name where nothing is."""
    shapes = [_plain(turn.shape(shape)) for shape in part.shapes()]
    return repr((type(part).__name__, sorted(map(repr, shapes)) or part.name(size)))


def _plain(shape: Shape) -> Shape | str:
    """The shape without what does not tell two puzzles apart: which way a line was listed, and
    which of its corners a cage's sum stands in."""
    match shape:
        case Fence() | Patch():
            return replace(shape, cells=tuple(sorted(shape.cells)))
        case Path() if not shape.head:
            return replace(shape, cells=min(shape.cells, shape.cells[::-1]))
        case Corner():
            return shape.text
    return shape


@lru_cache(maxsize=64)
def _frame(geometry: Geometry) -> _Frame:
    shape = geometry.shape or _block_shape(geometry)
    kinds = {house.kind for house in geometry.houses}
    if shape is not None and kinds <= {"row", "column", "block", "region"}:
        return _lines_frame(geometry.size, shape)
    if geometry.regions is None and kinds <= {"row", "column"}:
        return _lines_frame(geometry.size, (1, 1))
    return _cells_frame(geometry)


def _block_shape(geometry: Geometry) -> tuple[int, int] | None:
    """The blocks that a picture of regions draws, if it draws blocks after all."""
    drawn = {frozenset(house.cells) for house in geometry.houses}
    for rows in range(2, geometry.size):
        if geometry.size % rows == 0:
            plain = blocks(rows, geometry.size // rows)
            if drawn == {frozenset(house.cells) for house in plain.houses}:
                return plain.shape
    return None


def _lines_frame(size: int, shape: tuple[int, int]) -> _Frame:
    """Lines in bands, bands on sides. Bands of one line each are a Latin square's: no bands."""
    line, band, side, digit = range(4)
    colours = [line] * (2 * size)
    edges: list[Edge] = []
    for half, height in enumerate(shape):
        for first in range(0, size, height):
            edges += [(half * size + k, len(colours)) for k in range(first, first + height)]
            colours.append(band)
    ends = len(colours)
    for half, height in enumerate(shape):
        start = 2 * size + (size // shape[0] if half else 0)
        edges += [(start + k, ends + half) for k in range(size // height)]
    colours += [side, side]
    digits = len(colours)
    colours += [digit] * size
    joins = tuple((cell // size, size + cell % size) for cell in range(size * size))
    kind = f"{size} {sorted(shape)};".encode()
    return _Frame(tuple(colours), tuple(edges), joins, digits, kind)


def _cells_frame(geometry: Geometry) -> _Frame:
    """Every cell joined to its houses; rows and columns in one colour, other kinds in their own."""
    kinds = sorted({house.kind for house in geometry.houses} - {"row", "column"})
    colour_of = {"row": 2, "column": 2} | {kind: 3 + k for k, kind in enumerate(kinds)}
    cells = geometry.cell_count
    colours = [0] * cells + [1] * geometry.size
    edges = []
    for house in geometry.houses:
        edges += [(cell, len(colours)) for cell in house.cells]
        colours.append(colour_of[house.kind])
    joins = tuple((cell,) for cell in range(cells))
    return _Frame(tuple(colours), tuple(edges), joins, cells, f"{geometry.size} {kinds};".encode())
