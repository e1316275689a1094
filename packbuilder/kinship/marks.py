"""A puzzle as marks on lines and bands, as the canonical form reads it (`canon` has a picture)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from hashlib import sha256

from packbuilder.grid import Geometry, blocks
from packbuilder.kinship.canon import CHOSEN, ODD, WORD, Frame, stir
from packbuilder.rules.contract import Part
from packbuilder.rules.relations import Relation, Renaming

HOUSE = "house"
"""What a house says that is no row, no column and no block."""


@dataclass(frozen=True)
class Marked:
    """A puzzle but for its clues.

    ``shape`` is the height of a band and the width of a stack. ``labels`` names the kind of each
    label: of the digits, then of the ``relations``. ``renaming`` is how digits may be renamed.
    """

    size: int
    shape: tuple[int, int]
    relations: tuple[Relation, ...]
    labels: tuple[str, ...]
    renaming: Renaming

    @property
    def kinds(self) -> tuple[str, ...]:
        """The names of all kinds of label, sorted."""
        return tuple(sorted(set(self.labels)))


def marked(geometry: Geometry, parts: Sequence[Part] = (), *, turned: bool = False) -> Marked:
    """The houses and rules of a puzzle; ``turned``: once every digit d is size + 1 - d."""
    return _marked(geometry, tuple(parts), turned)


@lru_cache(maxsize=64)
def _marked(geometry: Geometry, parts: tuple[Part, ...], turned: bool) -> Marked:
    size = geometry.size
    shape, houses = _blocks_and_other_houses(geometry)
    found = [Relation(HOUSE, cells) for cells in houses]
    found += [relation for part in parts for relation in part.relations(size, turned)]
    relations = tuple(dict.fromkeys(map(_in_order, found)))
    allowed = narrowest({part.renaming for part in parts}, size)
    labels = (*_digit_kinds(size, allowed), *(relation.says for relation in relations))
    return Marked(size, shape, relations, labels, allowed)


def narrowest(renamings: set[Renaming], size: int) -> Renaming:
    """How digits may be renamed where each of these is to be kept to."""
    narrow = renamings - {"any"}
    if not narrow:
        return "any"
    if narrow == {"parity", "reversal"} and size % 2:  # 1 for 9 and 2 for 8 keep odd digits odd
        return "reversal"
    return narrow.pop() if len(narrow) == 1 else "none"


def _digit_kinds(size: int, allowed: Renaming) -> list[str]:
    """What kind of label each digit is: within a kind, digits may take one another's names."""
    if allowed == "any":
        return ["digit"] * size
    if allowed == "parity":
        return ["odd digit" if d % 2 else "even digit" for d in range(1, size + 1)]
    return [f"digit {d}" for d in range(1, size + 1)]


def _in_order(relation: Relation) -> Relation:
    """The relation with its cells in one order, however they were listed."""
    roles = relation.roles or (0,) * len(relation.cells)
    pairs = sorted(zip(roles, relation.cells, strict=True))
    return Relation(relation.says, tuple(c for _, c in pairs), tuple(r for r, _ in pairs))


def _blocks_and_other_houses(
    geometry: Geometry,
) -> tuple[tuple[int, int], tuple[tuple[int, ...], ...]]:
    """The shape of the blocks, (1, 1) without; and the houses that are none, nor rows or columns.

    Blocks are found by their cells, whether they are called so or were drawn as regions.
    """
    size, lines = geometry.size, ("row", "column")
    houses = dict.fromkeys(tuple(sorted(h.cells)) for h in geometry.houses if h.kind not in lines)
    for rows in range(2, size):
        if size % rows == 0:
            known = {house.cells for house in blocks(rows, size // rows).houses[2 * size :]}
            if known <= houses.keys():
                return (rows, size // rows), tuple(h for h in houses if h not in known)
    return (1, 1), tuple(houses)


@lru_cache(maxsize=64)
def frame_of(size: int, shape: tuple[int, int]) -> Frame:
    """The lines in their bands, and the bands on their sides. Bands of one line are a line each."""
    lines = 2 * size
    across, down = size // shape[0], size // shape[1]
    sides = lines + across + down
    of_line = [lines + line // shape[0] for line in range(size)]
    of_line += [lines + across + line // shape[1] for line in range(size)]
    of_band = [sides] * across + [sides + 1] * down
    bands = [word_of(f"band of {shape[0]}")] * across + [word_of(f"band of {shape[1]}")] * down
    start = [word_of("line")] * lines + bands + [word_of("side")] * 2
    return Frame(size, across + down, of_line + of_band, start)


def laid(size: int, upside: bool, mirrored: bool, swapped: bool) -> tuple[int, ...]:
    """The places of the lines once rows come in reverse, columns do, and then the two change."""
    rows = [size - 1 - k if upside else k for k in range(size)]
    columns = [size - 1 - k if mirrored else k for k in range(size)]
    return (*(k + size * swapped for k in rows), *(k + size * (not swapped) for k in columns))


@lru_cache(maxsize=1024)
def word_of(name: str) -> int:
    """64 bits that stand for a name."""
    return int.from_bytes(sha256(name.encode()).digest()[:8], "little")


@lru_cache(maxsize=256)
def weight_of(role: int) -> int:
    """64 bits that stand for a role; odd, so that nothing is lost of what they are a factor of."""
    word: int = stir((ODD + role * CHOSEN) & WORD)
    return word | 1
