"""Rules of marks on edges, each of which says how two digits go together, such as dots.

With ``all-shown`` every such pair has its mark, so edges without one say something too. What the
marks of one rule are, `holds` and `encode` stand in the rule's own file.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, ClassVar, Literal, NamedTuple

from packbuilder.grid import Geometry
from packbuilder.rules.contract import (
    Clue,
    Deduction,
    Kind,
    Part,
    Row,
    RuleFault,
    Sight,
    Solved,
    Told,
)
from packbuilder.rules.shapes import Edge, Shape
from packbuilder.rules.tools import words as words
from packbuilder.rules.tools.cells import edge, edges, items, mapping, yes_no
from packbuilder.rules.tools.clue_words import labelled, parted
from packbuilder.rules.tools.edge_chains import chain_deductions
from packbuilder.rules.tools.edge_links import Fit, Link, components, link_deductions, reach
from packbuilder.rules.tools.neighbours import ForbiddenPairs
from packbuilder.rules.tools.random_clues import pick, written
from packbuilder.rules.tools.schema import EDGE, YES_NO, group, listing

Mark = Literal["white", "black", "X", "V"]


class MarkType(NamedTuple):
    """One of the marks of a rule: its name, the pairs that fit it, what that is, its technique."""

    noun: str
    fit: Fit
    says: str
    technique: str


@dataclass(frozen=True)
class EdgeMark(Part):
    """One mark. ``chain`` are the marks that hang together with it, for deductions only."""

    cells: tuple[int, int]
    mark: Mark
    chain: tuple[Link, ...] = field(default=(), compare=False, repr=False)

    types: ClassVar[Mapping[Mark, MarkType]]
    chained: ClassVar[tuple[str, str]]
    """Techniques of a chain: what it leaves its cells, and which digits it holds."""

    @property
    def link(self) -> Link:
        """What it asks, for deductions."""
        here = self.types[self.mark]
        return Link(*self.cells, here.fit, here.noun)

    def name(self, size: int) -> str:
        """``white dot at r1c1-r1c2``."""
        return f"{self.types[self.mark].noun} at {words.edge(self.cells, size)}"

    def prune(self, masks: list[int], size: int) -> bool:
        """Digits without a partner on the other side."""
        table = reach(size, self.types[self.mark].fit)
        a, b = self.cells
        masks[b] &= table[masks[a]]
        masks[a] &= table[masks[b]]
        return masks[a] != 0

    def deduce(self, sight: Sight) -> Iterator[Deduction]:
        """What the mark says; the first mark of a chain tells what the chain says."""
        here = self.types[self.mark]
        yield from link_deductions(self.link, sight, here.technique, here.says)
        if self.chain and self.chain[0] == self.link:
            yield from chain_deductions(self.chain, sight, *self.chained, self.many)

    def shapes(self) -> tuple[Shape, ...]:
        """The mark on the edge."""
        return (Edge(self.cells, self.mark),)


@dataclass(frozen=True)
class NoMark(ForbiddenPairs):
    """All marks are shown: digits of cells that share a side without one go not so together."""

    none: ClassVar[str]
    """``no dot``, as in "no dot stands between these cells"."""

    @property
    def why_here(self) -> str:  # type: ignore[override]
        """No mark stands there."""
        return f"{self.none} stands between these cells"

    def why(self, of: int, beside: Sequence[int], size: int) -> str:
        """No mark joins the cell to these."""
        return f"{self.none} joins it to {words.cells(beside, size, 'or')}"


class EdgeMarkKind(Kind):
    """A rule of marks, in the manifest a list of edges for each, and whether all are shown."""

    mark: ClassVar[type[EdgeMark]]
    unmarked: ClassVar[type[NoMark]]
    one: ClassVar[str]
    """What a mark is called in messages: ``dot``."""
    example_value: ClassVar[str]
    """How the value is written, for messages."""

    @property
    def _keys(self) -> dict[str, Mark]:
        return {mark.lower(): mark for mark in self.mark.types}

    def read(self, value: Any, geometry: Geometry) -> tuple[Part, ...]:
        """The marks in reading order, then, if all are shown, what their absence says."""
        given = mapping(value, (*self._keys, "all-shown"), self.example_value)
        all_shown = "all-shown" in given and yes_no(given["all-shown"], ("all-shown",))
        size = geometry.size
        found: dict[tuple[int, int], Mark] = {}
        for key, mark in self._keys.items():
            if key not in given:
                continue
            self.check(mark, size)
            for k, text in enumerate(items(given[key], '["r1c1 r1c2"]', (key,))):
                cells = edge(text, size, (key, k))
                if cells in found:
                    what = f"{words.cells(cells, size)} have two {self.one}s between them"
                    raise RuleFault(what, "leave one out", (key, k))
                found[cells] = mark
        if not found and not all_shown:
            raise RuleFault(f"there is no {self.one}", f"write them like {self.example_value}")
        marks = self._linked(found.items())
        if not all_shown:
            return marks
        pairs = tuple(pair for pair in edges(size) if pair not in found)
        cells_of = tuple(sorted({cell for pair in pairs for cell in pair}))
        return (*marks, self.unmarked(cells_of, pairs))

    def check(self, mark: Mark, size: int) -> None:
        """Raise RuleFault for a mark that can stand nowhere in a grid of this size."""

    def schema(self) -> dict[str, Any]:
        """Lists of edges, and whether they are all."""
        return group({**dict.fromkeys(self._keys, listing(EDGE)), "all-shown": YES_NO})

    def random_value(self, grid: Solved) -> Any:
        """Every mark that stands on a solved grid. A toss says whether the reader is told so."""
        found: dict[str, list[str]] = {}
        size, values = grid.geometry.size, grid.values
        for a, b in edges(size):
            fits = [
                key
                for key, mark in self._keys.items()
                if self.mark.types[mark].fit(values[a], values[b])
            ]
            if fits:
                found.setdefault(pick(fits, grid.draw), []).append(written((a, b), size))
        all_shown = grid.draw() < 0.5
        if not found and not all_shown:
            return None
        return {key: found[key] for key in self._keys if key in found} | {
            "all-shown": "true" if all_shown else "false"
        }

    def fewer(self, value: Any) -> list[Any]:
        """The value without each mark in turn; none may go where all are shown."""
        if value["all-shown"] == "true":
            return []
        marks = [(key, k) for key in self._keys for k in range(len(value.get(key, ())))]
        return [_without(value, key, k) for key, k in marks] if len(marks) > 1 else []

    def limited(self, value: Any, count: int, grid: Solved) -> Any:
        """So many of the marks, and then they are not all."""
        return super().limited({**value, "all-shown": "false"}, count, grid)

    def write(self, parts: Sequence[Part], geometry: Geometry) -> tuple[Told, ...]:
        """``white: r1c1 r1c2, r3c1 r4c1``; ``shown: some``."""
        told: list[Told] = []
        marks = [part for part in parts if isinstance(part, EdgeMark)]
        for mark in self.mark.types:
            pairs = [written(p.cells, geometry.size) for p in marks if p.mark == mark]
            told += parted(mark, pairs)
        shown = "some" if len(marks) == len(parts) else "all"
        return (*told, Clue("shown", (shown,)))

    def parse(self, told: Sequence[Told], geometry: Geometry) -> tuple[Part, ...]:
        """Edges behind the name of each mark, and whether all are shown."""
        given = labelled(told, (*self.mark.types, "shown"))
        shown = given.pop("shown", "")
        if shown not in ("all", "some"):
            raise RuleFault("nothing says whether all marks are shown", "write all or some")
        value: dict[str, Any] = {mark.lower(): text.split(", ") for mark, text in given.items()}
        value["all-shown"] = "true" if shown == "all" else "false"
        return self.read(value, geometry)

    def recover(self, shapes: Sequence[Shape], geometry: Geometry) -> tuple[Part, ...]:
        """The marks that are drawn."""
        return self._linked(
            (shape.cells, mark)
            for shape in shapes
            if isinstance(shape, Edge)
            for mark in self.mark.types
            if shape.mark == mark
        )

    def _linked(self, found: Iterable[tuple[tuple[int, int], Mark]]) -> tuple[EdgeMark, ...]:
        """The marks in reading order, each with its chain."""
        known = {cells: self.mark(cells, mark) for cells, mark in found}
        chain_of = {
            cells: tuple(known[other].link for other in chain)
            for chain in components(known)
            for cells in chain
        }
        return tuple(
            self.mark(cells, known[cells].mark, chain_of[cells]) for cells in sorted(known)
        )


def _without(value: dict[str, Any], key: str, k: int) -> dict[str, Any]:
    left = value[key][:k] + value[key][k + 1 :]
    return {
        name: left if name == key else marks for name, marks in value.items() if name != key or left
    }


def rows_of(
    slugs: tuple[str, str, str, str, str],
    names: tuple[str, str, str, str, str],
    one: str,
    many: str,
    all_shown: str,
) -> tuple[Row, ...]:
    """The techniques of two or three digits, of a chain (two of them), of a digit's places, and of
    a line's orders.

    ``one`` and ``many`` are what marks are called, and ``all_shown`` says that they are all there.
    """
    either, chain, held, place, order = zip(slugs, names, strict=True)
    return (
        Row(*either, 3, 12,
            f"{all_shown}: a cell has two or three digits left, and each of them would rule out "
            f"the same digit in a cell that no {one} joins to it.",
            f"A missing {one}: whichever digit a cell takes, the same digit is ruled out beside "
            "it."),
        Row(*chain, 3, 13,
            f"{many.capitalize()} join three to five cells; a digit that no way of filling them "
            "uses goes.",
            f"A chain of {many}: few digits fill all of its cells together."),
        Row(*held, 4, 16,
            f"However cells joined by {many} are filled, one digit is among them; cells that see "
            "all its places lose it.",
            f"Cells joined by {many}: one digit is among them, however they are filled."),
        Row(*place, 4, 18,
            f"{all_shown}: a digit's few places in a house lie so close together that a digit in "
            "or beside them all would leave it none.",
            f"A missing {one}: the few places of a digit lie so close that one cell could block "
            "them all."),
        Row(*order, 6, 39,
            f"{all_shown}: a row or column is gone through in all its orders; a digit that none of "
            "them puts into a cell goes.",
            f"A missing {one}: the digits of a row or column can be put in few orders."),
    )  # fmt: skip
