"""Evidence: what closes cells to digits, for each step of a solve: so much, and no more.

A digit with one cell left in a house: the other empty cells are closed to it, each by something
that a person can point at. A cell with one digit left is closed to all others. The last empty cell
of a house needs nothing. A strike rests on the same: on houses that hold a digit to a few cells,
and on cells that are left with a few digits (see `basis`).

What closes a cell is, the plainest first, a placed digit that it sees; a part of the rules, with
the placed digits that it takes; or an earlier step. Of all that would do, the evidence is the least
(see `cover`): what a presenter would point at.

Nothing here is worked out before it is asked for: a rating knows nothing of it. For the steps of a
path see `reasons`.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Literal, NamedTuple

from packbuilder.grid import Geometry, Values
from packbuilder.ladder.basis import basis_of
from packbuilder.ladder.cover import Closer, least_cover
from packbuilder.ladder.glances import Glances
from packbuilder.ladder.rungs import Ladder
from packbuilder.ladder.step import Step
from packbuilder.ladder.table import DEFAULT
from packbuilder.rules.contract import Part

Kind = Literal["digit", "part", "held", "step"]

_HOLDING = ("pointing", "claiming", "locked-", "naked-")
"""How the slugs of strikes begin that hold each of their digits to their cells."""


@dataclass(frozen=True, slots=True)
class Because:
    """One thing that closes cells to a digit.

    ``kind`` says what it is:

    - ``digit``: a placed digit. ``cells`` is its cell; ``houses`` are those along which it reaches
      the cells that it closes, as few as can be.
    - ``part``: a ``part`` of the rules, for what it says ``about`` some cells. ``cells`` are those
      of the placed digits without which it would not close them: perhaps none.
    - ``held``: an earlier ``step`` that holds the digit to ``cells``; the cells that it closes see
      all of them, along ``houses``.
    - ``step``: any other earlier ``step``. ``cells`` are those that it rests on.

    ``closes`` are the cells that it closes to ``digit``, in order. ``house`` is the one in which
    the places of the digit are counted; -1 where it is a cell's own digits that are. ``step`` is
    the number of a step on the path, from 0; -1 where there is none.
    """

    kind: Kind
    digit: int
    cells: tuple[int, ...]
    closes: tuple[int, ...]
    house: int = -1
    houses: tuple[int, ...] = ()
    part: Part | None = None
    about: tuple[int, ...] = ()
    step: int = -1


class _Source(NamedTuple):
    """What may close a cell: the placed digit of a ``cell``, a ``part``, or a ``step``."""

    cell: int = -1
    part: Part | None = None
    step: int = -1


@dataclass(frozen=True)
class Scene:
    """A position between two steps, as evidence is given in it.

    ``values`` are the digits placed; ``steps`` those taken so far, and ``struck`` says for each
    (cell, digit) that one of them struck, which. ``ladder`` has the parts of the puzzle's rules.
    """

    geometry: Geometry
    values: Values
    steps: Sequence[Step] = ()
    struck: Mapping[tuple[int, int], int] = field(default_factory=dict)
    ladder: Ladder = DEFAULT

    def because(self, step: Step) -> tuple[Because, ...]:
        """What a step rests on that is open in this position.

        For a digit with one place in a house, cell by cell; for a cell with one digit, the nearest
        first; for a strike house by house, then cell by cell. None for a full house; nor for a
        forcing and a refutation, which are told in words only.
        """
        if step.technique == "full-house":
            return ()
        if step.places:
            ((_, digit),) = step.places
            if step.houses:
                return tuple(self.places(step.houses[0], digit, step.cells))
            return tuple(sorted(self._but(step.cells[0], digit), key=self._far))
        if step.part:
            return tuple(self._of_rule(step))
        basis = basis_of(step, self.geometry)
        if basis is None:
            return ()
        held = (b for h, d in basis.held for b in self.places(h, d, step.cells))
        return (*held, *self.digits(basis.bare))

    def places(self, house: int, digit: int, among: Collection[int]) -> Iterator[Because]:
        """Why a digit of a house has no place but ``among`` these cells."""
        others = [c for c in self.geometry.houses[house].cells if c not in among]
        yield from self._closing([c for c in others if not self.values[c]], digit, house)

    def digits(self, cells: Collection[int]) -> Iterator[Because]:
        """Why empty cells cannot be what they cannot be."""
        for digit in range(1, self.geometry.size + 1):
            yield from self._closing([c for c in cells if self.closed(c, digit)], digit)

    def _but(self, cell: int, left: int) -> Iterator[Because]:
        """Why an empty cell can be no digit but one."""
        for digit in range(1, self.geometry.size + 1):
            if digit != left:
                yield from self._closing([cell], digit)

    def seen(self, cell: int, digit: int) -> bool:
        """Whether a placed digit closes an empty cell to itself."""
        return any(self.values[peer] == digit for peer in self.geometry.peers[cell])

    def closed(self, cell: int, digit: int) -> bool:
        """Whether an empty cell cannot be a digit any more."""
        pair = cell, digit
        return pair in self.struck or self.seen(*pair) or pair in self._glances.closed

    def _closing(self, cells: Collection[int], digit: int, house: int = -1) -> Iterator[Because]:
        wanted = frozenset(cells)
        for closer in least_cover(wanted, list(self._closers(wanted, digit))):
            closes = tuple(c for c in cells if c in closer.closes)
            yield self._told(closer.what, digit, closes, house)

    def _closers(self, cells: frozenset[int], digit: int) -> Iterator[Closer[_Source]]:
        """All that closes any of these cells, digits first, the nearest of them first."""
        peers, digits = self.geometry.peers, []
        for cell, value in enumerate(self.values):
            if value == digit and (seen := cells & peers[cell]):
                far = min(self._apart(cell, other) for other in seen)
                digits.append(Closer(_Source(cell), seen, 0, far))
        yield from sorted(digits, key=lambda one: one.far)
        left = cells.difference(*(one.closes for one in digits))
        if not left:
            return
        pairs = [(cell, digit) for cell in cells]
        for part, closed in self._glances.closed_by(pairs):
            yield Closer(_Source(part=part), frozenset(cell for cell, _ in closed), 1)
        by_step: dict[int, set[int]] = {}
        for cell in cells:
            if (cell, digit) in self.struck:
                by_step.setdefault(self.struck[cell, digit], set()).add(cell)
        for k, struck in sorted(by_step.items()):
            yield Closer(_Source(step=k), frozenset(struck), 2)

    def _told(self, source: _Source, digit: int, closes: tuple[int, ...], house: int) -> Because:
        if source.cell >= 0:
            along = self._along((source.cell,), closes)
            return Because("digit", digit, (source.cell,), closes, house, along)
        if source.part:
            needed, about = self._glances.needed(source.part, [(cell, digit) for cell in closes])
            return Because("part", digit, needed, closes, house, part=source.part, about=about)
        step = self.steps[source.step]
        if step.technique.startswith(_HOLDING):
            cells = tuple(c for c in step.cells if not self.values[c])
            along = self._along(cells, closes)
            return Because("held", digit, cells, closes, house, along, step=source.step)
        rests = step.cells
        return Because("step", digit, rests, closes, house, (), step.part, rests, source.step)

    def _of_rule(self, step: Step) -> Iterator[Because]:
        """The part, and the placed digits that it takes."""
        cells = tuple(cell for cell in step.cells if self.values[cell])
        for digit in sorted({d for _, d in step.removes}):
            closes = tuple(cell for cell, d in step.removes if d == digit)
            yield Because("part", digit, cells, closes, part=step.part, about=step.cells)

    def _along(self, cells: Sequence[int], closes: Iterable[int]) -> tuple[int, ...]:
        """The fewest houses that have all of some cells and each of those that they close."""
        common = [h for h in self.geometry.houses_of[cells[0]] if self._holds(h, cells)]
        closers = [
            Closer(h, frozenset(closes).intersection(self.geometry.houses[h].cells)) for h in common
        ]
        return tuple(one.what for one in least_cover(frozenset(closes), closers))

    def _holds(self, house: int, cells: Collection[int]) -> bool:
        return set(cells) <= set(self.geometry.houses[house].cells)

    @cached_property
    def _glances(self) -> Glances:
        rungs = {slug: rows[0].rung for slug, rows in self.ladder.rows.items()}
        return Glances(self.ladder.parts, self.values, self.geometry, rungs)

    def _far(self, one: Because) -> int:
        """How far a digit is from the cell that it closes; what is no digit comes last."""
        return self._apart(one.cells[0], one.closes[0]) if one.kind == "digit" else len(self.values)

    def _apart(self, one: int, other: int) -> int:
        (r, c), (q, k) = divmod(one, self.geometry.size), divmod(other, self.geometry.size)
        return max(abs(r - q), abs(c - k))
