"""The contract that every rule keeps: one file a rule, and everything of the rule in that file.

A rule of a puzzle is a list of *parts*: one cage, one thermometer, or the whole of a rule such as
the diagonals. `Kind` is what a rule file defines once: how the rule is written, worded and
recovered from print. `Part` is one piece of it in one puzzle: what it forbids (twice: plainly, to
judge, and as clauses, to prove), what a person can deduce from it, how it looks.

A rule file imports `grid`, this module, `shapes`, and the small tools beside it; never a later
room. It is found by scanning the folder: there is no list to add it to.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Callable, Hashable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any, ClassVar, Literal, NamedTuple, Protocol

from packbuilder.grid import Geometry, House, Values
from packbuilder.rules.cases import Cases
from packbuilder.rules.relations import Relation, Renaming
from packbuilder.rules.shapes import Shape, Side
from packbuilder.rules.tools.flat_forms import FlatForm


class RuleFault(Exception):
    """A rule that is written wrongly.

    ``what`` is wrong and ``mend`` says how to write it; ``path`` leads from the rule's own value to
    the faulty piece (keys and list indices), so that the line in the file can be found.
    """

    def __init__(self, what: str, mend: str, path: tuple[str | int, ...] = ()) -> None:
        super().__init__(f"{what}; {mend}")
        self.what = what
        self.mend = mend
        self.path = path


class Clauses(Protocol):
    """A formula in the making, handed to `Part.encode`. Literals are non-zero ints."""

    size: int

    def digit(self, cell: int, digit: int) -> int:
        """The literal that the cell holds the digit."""

    def at_least(self, cell: int, digit: int) -> int:
        """The literal that the cell holds ``digit`` or more; true for 1, false past the size."""

    def new(self) -> int:
        """A new literal, free until clauses bind it."""

    def add(self, *literals: int) -> None:
        """At least one of these holds (where the part that is being encoded does)."""

    def allow(self, cells: Sequence[int], tuples: Iterable[tuple[int, ...]]) -> None:
        """The cells hold one of these tuples of digits, in order. For few cells."""

    def pairs(self, a: int, b: int, allowed: Callable[[int, int], bool]) -> None:
        """Only pairs of digits that ``allowed`` accepts stand in the two cells."""

    def one_set(self, cells: Sequence[int], sets: Iterable[frozenset[int]]) -> None:
        """The cells, all different, hold exactly the digits of one of these sets."""

    def automaton(
        self,
        cells: Sequence[int],
        start: Hashable,
        step: Callable[[Any, int], Hashable | None],
        accepts: Callable[[Any], bool],
    ) -> None:
        """Reading the cells in order, ``step(state, digit)`` never gives None and ends well.

        States that cannot be reached, or cannot end well, cost nothing.
        """


@dataclass(frozen=True)
class Sight:
    """A position as a rule sees it: for each cell, the digits it may be (bit d-1 for digit d).

    A filled cell has one bit. ``geometry`` has the puzzle's houses, those of its rules included.
    """

    geometry: Geometry
    masks: Sequence[int]

    @property
    def size(self) -> int:
        """Digits of the grid."""
        return self.geometry.size


OPEN = "?"
"""In a design, in place of a number that is still to be found: see `Kind.filled`."""

Draw = Callable[[], float]
"""The next random number, from 0 up to but not 1."""


@dataclass(frozen=True)
class Solved:
    """A full grid for which a rule finds clues that hold on it: see `Kind.random_value`.

    ``free`` are the cells in which no other rule of the puzzle draws anything yet: lines, circles
    and marks in cells keep to them. ``taken`` are the places outside the grid, each a side and an
    index, where a number stands. All chance comes from ``draw``.
    """

    geometry: Geometry
    values: Values
    free: frozenset[int]
    draw: Draw
    taken: frozenset[tuple[Side, int]] = frozenset()


Removes = tuple[tuple[int, int], ...]
"""Candidates that go: (cell, digit) pairs."""


class Deduction(NamedTuple):
    """One thing that a person can conclude from a part, on one rung of the ladder.

    ``technique`` is a slug of the kind's ``techniques``. ``cells`` and ``digits`` are what it rests
    on, in the order in which they are told; ``removes`` are (cell, digit) pairs, never empty, each
    a candidate that is there. ``words`` builds the sentence when it is asked for. ``houses`` are
    those that it reckons with, where its cells do not tell.
    """

    technique: str
    cells: tuple[int, ...]
    digits: tuple[int, ...]
    removes: Removes
    words: Callable[[], str]
    houses: tuple[House, ...] = ()


@dataclass(frozen=True)
class Row:
    """A deduction of a rule in the ladder's table: see `ladder.techniques.Technique`."""

    slug: str
    name: str
    rung: int
    weight: float
    about: str
    idea: str


Form = Literal["page", "text"]
"""What a reader holds: a printed page, or the text edition."""


@dataclass(frozen=True)
class Wording:
    """What a rule, or anything else that readers are told of, means.

    ``means`` says it whole and speaks of nothing that is drawn. ``page`` says besides what it looks
    like in print, and ``text`` how a file without pictures tells it; either may be empty. Where a
    look alone tells whose clue it is, ``printed`` says on pages what ``means`` says.
    """

    means: str
    page: str = ""
    text: str = ""
    printed: str = ""

    @property
    def on_page(self) -> str:
        """What it means, beside what is drawn."""
        return self.printed or self.means

    def said(self, form: Form) -> str:
        """The whole of it, as it stands on a ``page`` or in a ``text``."""
        means = self.on_page if form == "page" else self.means
        return " ".join(some for some in (means, getattr(self, form)) if some)


class Clue(NamedTuple):
    """A clue of a rule in words, told as ``label: words``.

    ``pieces`` are the words, those together that stay on one line, such as ``r1c1 r1c2,``.
    """

    label: str
    pieces: tuple[str, ...]

    @property
    def words(self) -> str:
        """What stands behind the label."""
        return " ".join(self.pieces)


class Picture(NamedTuple):
    """A clue of a rule told as rows of letters: one a cell, ``.`` for a cell that has none."""

    letters: str


Told = Clue | Picture


class Section(Protocol):
    """As much of a rule as a person looks at at one time: a part, or a line of one."""

    @property
    def cells(self) -> tuple[int, ...]:
        """The cells that it speaks of."""

    def name(self, size: int) -> str:
        """How a person points at it."""

    def prune(self, masks: list[int], size: int) -> bool:
        """As `Part.prune`."""


class Part(ABC):
    """One piece of a rule in one puzzle. Subclasses are frozen dataclasses."""

    cells: tuple[int, ...]
    """The cells that it speaks of, in the rule's own order."""

    houses_only: ClassVar[bool] = False
    """Whether `houses` says all that it forbids, so that engines and ladder need nothing else."""

    reckons: ClassVar[bool] = False
    """Whether it adds or counts along its cells, which takes more than a look at its digits."""

    at_a_glance: ClassVar[bool] = True
    """Whether a person sees without a pencil what it forbids: see `ladder.glances`."""

    renaming: ClassVar[Renaming] = "none"
    """How the digits of a puzzle that has it may be renamed."""

    many: ClassVar[str] = ""
    """What such parts are called where they may be of more than one type: ``dots``."""

    @abstractmethod
    def name(self, size: int) -> str:
        """How a person points at it: ``cage 23 at r4c5``, ``thermometer from r1c1``."""

    @abstractmethod
    def holds(self, values: Values, size: int) -> bool:
        """Whether a full grid keeps it. Plain on purpose: it judges both engines."""

    @abstractmethod
    def encode(self, clauses: Clauses) -> None:
        """The part as clauses. Shares no helper with `holds` or `prune`."""

    @abstractmethod
    def prune(self, masks: list[int], size: int) -> bool:
        """Strike impossible candidates from ``masks`` in place, for the second engine.

        Sound always; False if the part cannot hold any more, and, once all its cells have one
        candidate, exactly when it does not hold. Need not be complete before. Called very often.
        """

    def houses(self, geometry: Geometry) -> tuple[House, ...]:
        """Sets of cells that may not repeat a digit because of this part."""
        return ()

    def relations(self, size: int, turned: bool = False) -> tuple[Relation, ...]:
        """All that it says beyond its houses; ``turned``: once every digit d is size + 1 - d.

        Where the rule cannot say that (a black dot: twice as much), the relation is given a name
        that no part has. What follows from other parts is left out. A part that does not tell is
        only ever like itself, in its own place.
        """
        return (Relation(repr(self), self.cells, tuple(range(len(self.cells)))),)

    def flat_forms(self, size: int) -> tuple[FlatForm, ...]:
        """All that it forbids, said as pairs and sums; none where these cannot say it."""
        return ()

    def sections(self, size: int) -> tuple[Section, ...]:
        """The part in sections, where it is more than a person looks at at one time."""
        return (self,)

    def deduce(self, sight: Sight) -> Iterator[Deduction]:
        """What a person can conclude from it in a position, in a fixed order."""
        return iter(())

    @abstractmethod
    def shapes(self) -> tuple[Shape, ...]:
        """How it looks."""

    def elsewhere(self) -> str:
        """How to write it so that its number outside the grid stands elsewhere; empty: it cannot
        be written so."""
        return ""


class Kind(ABC):
    """A rule of the trade. A rule file defines one instance, named ``KIND``."""

    slug: ClassVar[str]
    """Its name in the manifest: ``thermometers``."""
    title: ClassVar[str]
    """Its name in print: ``Thermometers``."""
    about: ClassVar[str]
    """One sentence for ``packbuilder rules``."""
    example: ClassVar[str]
    """A whole puzzle entry in YAML, small, unique, with this rule: tested to load, prove, draw."""
    techniques: ClassVar[tuple[Row, ...]] = ()
    takes_the_rest: ClassVar[bool] = False
    """Whether its random clues take all places that other rules leave: they are drawn last."""

    @abstractmethod
    def read(self, value: Any, geometry: Geometry) -> tuple[Part, ...]:
        """The parts that the manifest's value means. Raises RuleFault.

        ``value`` is what stands under the rule's name: text, a list or a mapping of text; None
        where the rule is written as a bare name.
        """

    @abstractmethod
    def schema(self) -> dict[str, Any]:
        """JSON Schema of the value under the rule's name ({"type": "null"} for a bare name)."""

    def warnings(self, parts: Sequence[Part], size: int) -> list[tuple[str, tuple[int, ...]]]:
        """What is legal and mostly a slip, such as a cage in two pieces: in words, with cells."""
        return []

    def random_value(self, grid: Solved) -> Any:
        """A random value for `read` that a solved grid keeps: what `packbuilder set` begins with.

        Enough of the rule to solve by, as one would print it; None where nothing can be found. A
        rule that is a bare name has no value: grids are made to keep it.
        """
        return None

    def fewer(self, value: Any) -> list[Any]:
        """The value with each of its clues left out in turn, in the order of the clues.

        Empty where only one clue is left, or where none may go (cages that tile the grid, or dots
        that are all shown).
        """
        if not isinstance(value, list) or len(value) < 2:
            return []
        return [value[:k] + value[k + 1 :] for k in range(len(value))]

    def limited(self, value: Any, count: int, grid: Solved) -> Any:
        """A random value with so many of its clues and no more; None where it has fewer."""
        while len(fewer := self.fewer(value)) > count:
            value = fewer[int(grid.draw() * len(fewer))]
        return value if (len(fewer) or 1) == count else None

    def filled(self, value: Any, values: Values | None, geometry: Geometry) -> Any:
        """A value of a design with a number for each that is `OPEN`: what a full grid makes it.

        Without a grid they are left out; None: then nothing is left. Whatever else may be wrong
        with the value stays, for `read` to find.
        """
        return value

    @abstractmethod
    def write(self, parts: Sequence[Part], geometry: Geometry) -> tuple[Told, ...]:
        """The clues of a puzzle in words that need no picture, cell by cell.

        They stand in the text edition and in what screen readers are told of a grid. None for a
        rule that the whole grid keeps.
        """

    @abstractmethod
    def parse(self, told: Sequence[Told], geometry: Geometry) -> tuple[Part, ...]:
        """The parts that clues in words mean: the inverse of `write`, in the same order.

        Raises RuleFault where they mean none; its ``path`` is of no use there.
        """

    @abstractmethod
    def wording(self, parts: Sequence[Part], size: int) -> Wording:
        """The rule as a reader is told it: one to three sentences, true of these parts."""

    @abstractmethod
    def cases(self, parts: Sequence[Part], geometry: Geometry) -> Cases:
        """What a reader is shown of it in a grid of that kind: a case that is right, one that is
        wrong.

        ``parts`` are those of the puzzles for which it is shown; the geometry has no regions but
        blocks. Cells are near the upper left corner; what breaks the rule keeps rows, columns and
        blocks.
        """

    @abstractmethod
    def recover(self, shapes: Sequence[Shape], geometry: Geometry) -> tuple[Part, ...]:
        """The parts that these printed shapes mean to a reader, in any order.

        Shapes of other rules are passed over. Parts that have no shape (anti-knight, or "all dots
        are shown") cannot be recovered and are not given: the rule's printed name stands for them.
        """
