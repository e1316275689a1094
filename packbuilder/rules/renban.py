"""Renban: each line holds a set of consecutive digits, in any order and none twice."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from typing import ClassVar

from packbuilder.grid import SYMBOLS, Geometry, House, Values, cell_name
from packbuilder.rules.cases import Case, Cases
from packbuilder.rules.contract import (
    Clauses,
    Deduction,
    Part,
    Removes,
    Row,
    Sight,
    Wording,
)
from packbuilder.rules.relations import Relation
from packbuilder.rules.tools.cells import Where
from packbuilder.rules.tools.deducing import conclusion, held, losing, removals
from packbuilder.rules.tools.fillings import few_ways
from packbuilder.rules.tools.lines import (
    Line,
    PlainLineKind,
    is_loop,
    loops_told,
    no_longer,
    ways_row,
)
from packbuilder.rules.tools.masks import (
    common_to,
    digits_of,
    everything,
    least,
    most,
    single,
    union_of,
    up_to,
)
from packbuilder.rules.tools.words import cells as named
from packbuilder.rules.tools.words import listed, number, takes_out


@dataclass(frozen=True)
class Renban(Line):
    """A line of k cells with k digits in a row, in any order."""

    word = "renban line"
    style = "dotted"
    renaming = "reversal"

    def holds(self, values: Values, size: int) -> bool:
        """Whether a full grid keeps it."""
        digits = sorted(values[cell] for cell in self.cells)
        return digits == list(range(digits[0], digits[0] + len(digits)))

    def relations(self, size: int, turned: bool = False) -> tuple[Relation, ...]:
        """The cells in any order."""
        return (Relation("digits in a row", self.cells),)

    def encode(self, clauses: Clauses) -> None:
        """One of the runs of as many digits as the line has cells."""
        count = len(self.cells)
        clauses.one_set(
            self.cells,
            (frozenset(range(d, d + count)) for d in range(1, clauses.size - count + 2)),
        )

    def prune(self, masks: list[int], size: int) -> bool:
        """Keep what lies in a run that fits; a digit of all such runs may have a single place."""
        runs = _runs(self.cells, masks, size)
        kept, needed = union_of(runs), common_to(runs)
        once = twice = 0
        for cell in self.cells:
            mask = masks[cell] & kept
            masks[cell] = mask
            twice |= once & mask
            once |= mask
        alone = once & ~twice & needed
        if alone:
            for cell in self.cells:
                if masks[cell] & alone:
                    masks[cell] &= alone
        return bool(runs)

    def houses(self, geometry: Geometry) -> tuple[House, ...]:
        """The line: no digit stands on it twice."""
        return (House("renban", f"the {self.name(geometry.size)}", self.cells),)

    def deduce(self, sight: Sight) -> Iterator[Deduction]:
        """How far the digits can lie from one cell; which runs fit; which digits every run has."""
        yield from self._range(sight)
        yield from self._sets(sight)
        yield from self._needs(sight)
        yield from few_ways(self, "renban-ways", self.cells, self._stays_close, sight)

    def _stays_close(self, row: tuple[int, ...], digit: int) -> bool:
        digits = (*row, digit)
        return digit not in row and max(digits) - min(digits) < len(self.cells)

    def _range(self, sight: Sight) -> Iterator[Deduction]:
        masks, size, reach = sight.masks, sight.size, len(self.cells) - 1
        lowest = min(self.cells, key=lambda cell: most(masks[cell]))
        highest = max(self.cells, key=lambda cell: least(masks[cell]))
        top, bottom = most(masks[lowest]), least(masks[highest])
        for anchor, edge, bound, out, side in (
            (lowest, top, top + reach, everything(size) & ~up_to(top + reach), "most"),
            (highest, bottom, bottom - reach, up_to(bottom - reach - 1), "least"),
        ):
            removes = removals(masks, [(cell, out) for cell in self.cells if cell != anchor])
            if removes:
                known = single(masks[anchor])
                start = SYMBOLS[edge] if known else f"at {side} {SYMBOLS[edge]}"
                words = partial(_tell_range, self, anchor, start, (side, bound), size)
                cells = (anchor, *losing(removes))
                yield Deduction("renban-range", cells, (edge,), removes, words)

    def _sets(self, sight: Sight) -> Iterator[Deduction]:
        runs = _runs(self.cells, sight.masks, sight.size)
        kept = union_of(runs)
        wanted = [(cell, sight.masks[cell] & ~kept) for cell in self.cells if runs]
        tell = partial(_tell_sets, self, runs, sight.size)
        yield from conclusion(sight, "renban-sets", self.cells, wanted, tell, digits_of(kept))

    def _needs(self, sight: Sight) -> Iterator[Deduction]:
        """A digit of every run that fits stands on the line: its places there rule out others."""
        runs = _runs(self.cells, sight.masks, sight.size)
        for d in digits_of(common_to(runs)):
            places, wanted = held(self.cells, d, sight)
            tell = partial(_tell_needs, self, runs, (d, tuple(places)), sight.size)
            yield from conclusion(sight, "renban-needs", self.cells, wanted, tell, (d,))


def _runs(cells: tuple[int, ...], masks: Sequence[int], size: int) -> list[int]:
    """The runs of digits, as masks, of which each cell has some digit and each digit some cell."""
    union = union_of(masks[cell] for cell in cells)
    first = (1 << len(cells)) - 1
    return [
        run
        for run in (first << k for k in range(size - len(cells) + 1))
        if run & union == run and all(masks[cell] & run for cell in cells)
    ]


def _tell_range(line: Renban, anchor: int, start: str, end: tuple[str, int], size: int) -> str:
    side, bound = end
    limit = "higher" if side == "most" else "lower"
    return (
        f"The {line.name(size)} holds {number(len(line.cells))} consecutive digits, and "
        f"{cell_name(anchor, size)} is {start}, so none of them is {limit} than "
        f"{SYMBOLS[bound]}."
    )


def _tell_sets(line: Renban, runs: list[int], size: int, removes: Removes) -> str:
    told = listed((_span(run) for run in runs), "or")
    return (
        f"Of all runs of {number(len(line.cells))} consecutive digits, the {line.name(size)} has "
        f"room only for {told}. {takes_out(removes, size)}"
    )


def _tell_needs(
    line: Renban, runs: list[int], found: tuple[int, tuple[int, ...]], size: int, removes: Removes
) -> str:
    digit, places = found
    d, told = SYMBOLS[digit], listed((_span(run) for run in runs), "or")
    start = f"The {line.name(size)} holds {told}, so {d} is on it"
    if len(places) == 1:
        return f"{start}, and only {cell_name(places[0], size)} has room for it: it is {d}."
    return (
        f"{start}, in {named(places, size, 'or')}; a cell that sees all of these cannot be {d}. "
        f"{takes_out(removes, size)}"
    )


def _span(run: int) -> str:
    return f"{SYMBOLS[least(run)]} to {SYMBOLS[most(run)]}"


class RenbanLines(PlainLineKind):
    """The rule."""

    slug = "renban"
    title = "Renban lines"
    about = "Each renban line holds consecutive digits, in any order and none twice."
    part = Renban
    techniques: ClassVar[tuple[Row, ...]] = (
        Row("renban-range", "Renban range", 3, 6,
            "The digits of a renban line lie close together, so a bound on one cell bounds all.",
            "How far apart the digits of a renban line can be."),
        Row("renban-sets", "Renban sets", 4, 15,
            "Some runs of consecutive digits do not fit the cells of a renban line; a digit that "
            "only they have leaves the line.",
            "The few runs of digits that are left for a renban line."),
        Row("renban-needs", "Renban needs", 4, 16,
            "A digit that every run left for a renban line has must be on the line; where it can "
            "be there rules it out elsewhere.",
            "A digit that a renban line cannot do without."),
        ways_row("renban-ways", "renban line", 29),
    )  # fmt: skip
    example = """\
id: renban
title: Renban lines
size: 6
grid: |
  ......
  16....
  ...4..
  ......
  3.....
  .....1
rules:
  - renban:
      - r5c4 r5c5 r5c6
      - r2c6 r3c6 r3c5 r4c4
      - r5c2 r5c1 r6c1 r6c2 r6c3
      - r2c2 r3c2 r4c1
"""

    def line(self, cells: tuple[int, ...], geometry: Geometry, path: Where) -> Part:
        """One line. Raises RuleFault where it is longer than there are digits."""
        no_longer(cells[is_loop(cells) :], geometry.size, "renban line", path)
        return super().line(cells, geometry, path)

    def begins(self, digits: Sequence[int], size: int) -> bool:
        """While no digit comes twice and all lie close together."""
        most = min(size, self.lengths[1])
        return len(set(digits)) == len(digits) and max(digits) - min(digits) < most

    def wording(self, parts: Sequence[Part], size: int) -> Wording:
        """The rule in words."""
        return Wording(
            "The digits on each line are consecutive, in any order, and none is repeated: on a "
            "line of three cells they might be 2, 4 and 3.",
            page="These lines are rows of beads.",
            text=loops_told(parts),
        )

    def cases(self, parts: Sequence[Part], geometry: Geometry) -> Cases:
        """Three digits in a row, and three with a gap."""
        low, value = 3 if geometry.size > 5 else 1, ["r1c1 r2c2 r2c3"]
        return Cases(
            Case(
                {"r1c1": low + 2, "r2c2": low, "r2c3": low + 1},
                f"{low}, {low + 1} and {low + 2}, in another order.",
                value,
            ),
            Case(
                {"r1c1": low + 2, "r2c2": low, "r2c3": low + 3},
                f"{low}, {low + 2} and {low + 3}: the {low + 1} is missing.",
                value,
                "r1c1 r2c2 r2c3",
            ),
        )


KIND = RenbanLines()
