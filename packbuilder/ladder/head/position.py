"""A position of a solve in the head: what is seen, what is placed, and what marks do to it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from threading import Lock
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from packbuilder.compiled import Kernel, laid
from packbuilder.compiled.kernel import Example
from packbuilder.grid import Geometry, Values, latin
from packbuilder.ladder.bit_layout import cells_in, fields_of
from packbuilder.ladder.board import alone
from packbuilder.ladder.head import glance
from packbuilder.ladder.head.search import room
from packbuilder.rules.contract import Part

WORK = 1_200_000
"""Lines of marks that one answer may work out: about half a second's worth. The most that an answer
took among 2,000 mixed grids is 770,000; of three there is none after two million."""

Ints = NDArray[np.int64]


class Mark(NamedTuple):
    """One remembered fact: ``digits`` (from 1) are in ``cells``, both in rising order.

    One digit in two or three cells of a house; as many digits as cells; or one cell with two.
    """

    cells: tuple[int, ...]
    digits: tuple[int, ...]

    @property
    def is_set(self) -> bool:
        """True for as many digits as cells."""
        return len(self.cells) == len(self.digits)


@dataclass(frozen=True)
class Find:
    """A mark that is found, and the marks held when it was."""

    held: tuple[Mark, ...]
    mark: Mark


@dataclass(frozen=True)
class Sighting:
    """Placements, as keys (``cell * size + digit - 1``), that come into sight.

    ``finds`` are the marks to set, in order; ``held`` those with which the placements are seen.
    """

    keys: tuple[int, ...]
    finds: tuple[Find, ...] = ()
    held: tuple[Mark, ...] = ()


class Scene:
    """What does not change in a solve: houses, what closes what, and the parts of rules."""

    def __init__(self, geometry: Geometry, parts: Sequence[Part]) -> None:
        self.geometry, self.fields = geometry, fields_of(geometry)
        size, count = geometry.size, geometry.cell_count
        self.parts = tuple(part for part in parts if not part.houses_only)
        longest = max(len(house.cells) for house in geometry.houses)
        self.houses = np.zeros((len(geometry.houses), longest + 1), np.int64)
        clash = np.zeros((count, size, count, size), np.bool_)
        for h, house in enumerate(geometry.houses):
            self.houses[h, : len(house.cells) + 1] = (len(house.cells), *sorted(house.cells))
        each = np.arange(size)
        for cell, peers in enumerate(geometry.peers):
            for peer in peers:
                clash[cell, each, peer, each] = True
            clash[cell, :, cell, :] = ~np.eye(size, dtype=np.bool_)
        self.struck: dict[int, int] = {}
        for (a, d), (b, e) in {x for part in self.parts for x in glance.exclusions(part, size)}:
            clash[a, d - 1, b, e - 1] = clash[b, e - 1, a, d - 1] = True
            key, other = a * size + d - 1, b * size + e - 1
            self._strikes(key, other)
            self._strikes(other, key)
        self.clash = clash.reshape(count * size, count * size)

    @cached_property
    def reach(self) -> tuple[int, ...]:
        """For each candidate those that its being written closes, as an int."""
        packed = np.packbits(self.clash, axis=1, bitorder="little")
        return tuple(int.from_bytes(row.tobytes(), "little") for row in packed)

    def _strikes(self, key: int, other: int) -> None:
        """Note that a digit closes a candidate by a rule."""
        self.struck[key] = self.struck.get(key, 0) | self.fields.spots[other]


def scene_of(geometry: Geometry, parts: Sequence[Part] = ()) -> Scene:
    """The scene of a puzzle, made once."""
    global _last
    if _last is None or _last[0] is not geometry or _last[1] != tuple(parts):
        _last = geometry, tuple(parts), _scene_of(geometry, tuple(parts))
    return _last[2]


_last: tuple[Geometry, tuple[Part, ...], Scene] | None = None


@lru_cache(maxsize=64)
def _scene_of(geometry: Geometry, parts: tuple[Part, ...]) -> Scene:
    return Scene(geometry, parts)


class Play:
    """A grid as its digits are placed: ``bits`` is what is seen with no mark held.

    ``placed`` are the keys that were placed, in order. ``sound`` is False once a digit was placed
    where it was not seen.
    """

    __slots__ = ("bits", "placed", "scene", "sound", "values")

    def __init__(self, scene: Scene, clues: Values) -> None:
        fields, size = scene.fields, scene.fields.size
        self.scene, self.values, self.sound = scene, list(clues), True
        self.placed: list[int] = []
        bits = fields.everything
        for cell, digit in enumerate(clues):
            if digit:
                self.sound = self.sound and bool(bits & fields.spots[cell * size + digit - 1])
                bits &= fields.keep[cell * size + digit - 1]
                bits &= ~scene.struck.get(cell * size + digit - 1, 0)
        self.bits = bits
        self._look()

    def _look(self) -> None:
        """Strike what the parts of rules close at a glance."""
        fields = self.scene.fields
        for part in self.scene.parts:
            for cell, digit in glance.closed(part, self.values, fields.size):
                self.bits &= ~fields.spots[cell * fields.size + digit - 1]

    def copy(self) -> Play:
        """The same position, to be played on apart."""
        twin = Play.__new__(Play)
        twin.scene, twin.bits, twin.sound = self.scene, self.bits, self.sound
        twin.placed, twin.values = self.placed[:], self.values[:]
        return twin

    def place(self, keys: Iterable[int]) -> None:
        """Write placements that are seen at one moment."""
        fields = self.scene.fields
        for key in keys:
            cell, d = divmod(key, fields.size)
            if self.values[cell] != d + 1:
                self.sound = self.sound and bool(self.bits & fields.spots[key])
                self.bits &= fields.keep[key] & ~self.scene.struck.get(key, 0)
                self.values[cell] = d + 1
                self.placed.append(key)
        self._look()

    def place_free(self) -> None:
        """Write all that is seen without a mark, and what is then seen, to the end."""
        fields = self.scene.fields
        while self.sound:
            pool = alone(self.bits, fields.whole_reach, fields.size)
            if not pool:
                return
            keys = []
            while pool:
                key = fields.key_at[(pool & -pool).bit_length() - 1]
                pool &= fields.keep[key]
                keys.append(key)
            self.place(keys)

    @property
    def solved(self) -> bool:
        """True if every cell is filled, and no digit stands where it was not seen."""
        return self.sound and 0 not in self.values


class Desk:
    """Room for the compiled search on one position. One at a time in a process."""

    def __init__(self) -> None:
        self.at = np.zeros(room.ROOM, np.int64)
        self.names = np.full(room.SLOTS + 2 * room.MOST_MARKS, -1, np.int64)
        self.ways = np.empty((room.MOST_MARKS, 18), np.int64)
        self.outdoes = np.empty((room.MOST_MARKS, room.MOST_MARKS), np.int64)
        self.queue = np.zeros((room.MOST_MARKS, 5), np.int64)
        self.sets = np.empty((3, 16), np.int64)
        self.found = np.empty((800, 2), np.int64)
        self.list = np.empty(30_000, np.int64)
        self.pool = np.empty(3_000_000, np.int64)
        self.rows = np.empty(0, np.int64)
        self.pairs = np.empty((room.MOST_PAIRS, 7), np.int64)
        self.pair_table = np.empty(room.PAIR_SLOTS, np.int64)
        self.memo = np.empty((room.MEMO_SLOTS, 3), np.int64)
        self.first = tuple(map(laid, (self.at, self.names, self.ways, self.outdoes)))
        self.last = tuple(
            map(laid, (self.sets, self.found, self.list, self.pool, self.queue, self.pairs,
                       self.pair_table, self.memo))
        )  # fmt: skip

    def set(self, play: Play, most: int, work: int, *, tidy: bool) -> tuple[Any, ...]:
        """Lay a position out: the arguments of the compiled search. Gives the keys by number."""
        scene, at = play.scene, self.at
        fields = scene.fields
        size, count = fields.size, fields.cell_count
        whole = play.bits >> fields.planes_at
        raw = np.frombuffer(whole.to_bytes((size * count + 7) // 8, "little"), np.uint8)
        planes = np.unpackbits(raw, count=size * count, bitorder="little").reshape(size, count)
        keys = np.flatnonzero(planes.T)
        n = len(keys)
        words = (n + 63) // 64
        total = words * (3 * n + 90 + 4 * room.MOST_MARKS + 2 * room.MOST_ROWS)
        if len(self.rows) < total:
            self.rows = np.empty(total, np.int64)
        here = 0
        offsets = []
        for rows in (n, 70, *[1] * 8, n, n, 4 * room.MOST_MARKS, room.MOST_ROWS):
            offsets.append(here)
            here += rows * words
        at[room.SCRATCH : room.MEMO + 1] = (*offsets[1:], here)
        self.rows[offsets[2] : offsets[10]] = 0
        table = np.zeros((n + 1, words * 8), np.uint8)
        table[:n, : (n + 7) // 8] = np.packbits(
            scene.clash[keys[:, None], keys], axis=1, bitorder="little"
        )
        table[n, : (n + 7) // 8] = np.packbits(np.ones(n, np.bool_), bitorder="little")
        self.rows[: n * words] = table[:n].reshape(-1).view(np.int64)
        self.rows[at[room.BASE] : at[room.BASE] + words] = table[n].view(np.int64)
        at[room.MARKS] = at[room.FULL] = at[room.WORK] = at[room.QUEUED] = 0
        at[room.STAMP] = at[room.ZERO] = 0
        at[room.TIDY], at[room.MOST] = tidy, most
        at[room.BUDGET], at[room.SIZE] = work, size
        at[room.WORDS], at[room.CANDIDATES] = words, n
        self.names[: room.SLOTS].fill(-1)
        self.queue[:, 0].fill(0)
        index = np.full((count, room.DIGITS), -1, np.int64)
        index[keys // size, keys % size] = np.arange(n)
        who = keys // size << 4 | keys % size
        seen = (planes.T.astype(np.int64) << np.arange(size)).sum(axis=1)
        self.keys = keys
        return (self.rows, *self.first, index, who, scene.houses, seen, *self.last)

    def row(self, offset: int) -> list[int]:
        """The candidates (keys) of a row."""
        words = int(self.at[room.WORDS])
        raw = self.rows[offset : offset + words].view(np.uint8)
        on = np.unpackbits(raw, count=len(self.keys), bitorder="little")
        return [int(key) for key in self.keys[np.flatnonzero(on)]]

    def mark(self, number: int) -> Mark:
        """A mark by its number."""
        key = int(self.names[room.KEYS + number])
        digits = tuple(d + 1 for d in cells_in(key & (1 << room.DIGITS) - 1))
        spots = (key >> room.DIGITS + room.CELL * t & room.NONE for t in range(3))
        return Mark(tuple(cell for cell in spots if cell != room.NONE), digits)


_DESK = Desk()
_LOCK = Lock()


class Least(NamedTuple):
    """The fewest marks that bring a placement into sight: see `least`."""

    marks: int | None
    known: bool
    sighting: Sighting
    work: int


def least(play: Play, most: int = 3, *, work: int = WORK, light: bool = False) -> Least:
    """The fewest marks, one to ``most``, that bring a placement into sight where none is.

    ``marks`` is None where no such number does; then ``known`` is False if the search was cut
    short. ``light`` asks for marks that are easy to keep in mind, and how they are found.
    """
    if most < 1:  # no mark at all: nothing that is in sight already counts here
        return Least(None, True, Sighting(()), 0)
    with _LOCK:
        desk = _DESK
        marks = int(search(*desk.set(play, most, work, tidy=not light)))
        if marks == room.ASK_AGAIN:
            marks = int(search(*desk.set(play, most, work, tidy=True)))
        spent = int(desk.at[room.WORK])
        if not marks:
            return Least(None, not desk.at[room.FULL], Sighting(()), spent)
        keys = tuple(desk.row(int(desk.at[room.POOL])))
        finds = _finds(desk, marks) if light else ()
        held = tuple(desk.mark(int(m)) for m in desk.at[room.CHOSEN : room.CHOSEN + 3] if m >= 0)
        return Least(marks, True, Sighting(keys, finds, held), spent)


def _finds(desk: Desk, marks: int) -> tuple[Find, ...]:
    """How the chosen marks come to be held: each find, with what is held when it is made."""
    a, b, c = (int(m) for m in desk.at[room.CHOSEN : room.CHOSEN + 3])
    if marks == 1:
        return (Find((), desk.mark(a)),)
    if marks == 2:
        return (*_way_to(desk, a), Find((desk.mark(a),), desk.mark(b)))
    return (*_way_to_pair(desk, a, b), Find((desk.mark(a), desk.mark(b)), desk.mark(c)))


def _way_to(desk: Desk, m: int) -> tuple[Find, ...]:
    """The finds that lead to a mark held alone."""
    parent = int(desk.queue[m, 3])
    if parent == -1:
        return (Find((), desk.mark(m)),)
    if parent >= 0:
        return (*_way_to(desk, parent), Find((desk.mark(parent),), desk.mark(m)))
    a, b = (int(x) for x in desk.pairs[-2 - parent, :2])
    return (*_way_to_pair(desk, a, b), Find((desk.mark(a), desk.mark(b)), desk.mark(m)))


def _way_to_pair(desk: Desk, a: int, b: int) -> tuple[Find, ...]:
    """The finds that lead to two marks held together."""
    of = desk.pairs[: desk.at[room.PAIRS]]
    row = of[(of[:, 0] == min(a, b)) & (of[:, 1] == max(a, b))][0]
    parent = int(row[5])
    if parent >= 0:
        first, second = (int(x) for x in of[parent, :2])
        new = b if a in (first, second) else a
        held = (desk.mark(first), desk.mark(second))
        return (*_way_to_pair(desk, first, second), Find(held, desk.mark(new)))
    start, count = (int(x) for x in desk.queue[a, 1:3])
    if b not in desk.pool[start : start + count]:
        a, b = b, a
    return (*_way_to(desk, a), Find((desk.mark(a),), desk.mark(b)))


def _example() -> Example:
    """A Latin square of 4x4 where 2 and 4 are in two cells of the last row, and that is enough."""
    desk, play = Desk(), Play(scene_of(latin(4)), (*[0] * 3, 2, *[0] * 3, 4, 3, *[0] * 5, 3, 0))
    play.place_free()
    args = desk.set(play, 3, WORK, tidy=True)
    chosen = Mark((12, 13), (2, 4))
    return args, lambda marks: marks == 1 and desk.mark(int(desk.at[room.CHOSEN])) == chosen


_SEARCH = "packbuilder.ladder.head.search"
search = Kernel(
    f"{_SEARCH}.kernel:search",
    [
        *(f"{_SEARCH}.{name}" for name in ("trials", "marks", "pairs", "threes", "room")),
        "packbuilder.proof.vectors",
        "packbuilder.proof.tables",
    ],
    "the solver without notes",
    _example,
)
