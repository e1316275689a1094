"""The cover's picture: what it shows, the line that explains it, its riddle and the answer.

Pages draw it, the text edition tells it, and the read-back looks for it.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from packbuilder.artwork import Drawing, read_drawing
from packbuilder.book.book import Book, Entry
from packbuilder.book.wording import technique_names
from packbuilder.grid import SYMBOLS, Geometry, default_shape, read_blocks
from packbuilder.ladder.english import article, noun
from packbuilder.ladder.hints import Hint
from packbuilder.phrases import counted, listed
from packbuilder.proof import kernel
from packbuilder.puzzle import BEYOND

OPEN = "?"
"""Stands where the riddle asks."""
ON_COVER = "The picture on the cover"
"""What heads the riddle's answer."""
FOLDING = (
    "To make this booklet: print on both sides, turned over the short edge. Lay the sheets on one "
    "another as they come, with this page outside. Fold them along the dashes, and staple them at "
    "the two short strokes."
)
"""What is told on a booklet's first sheet."""
EMPTY, CLUE = ".", "x"

_FEWEST_CLUES = 8
"""Fewer make no picture."""


@dataclass(frozen=True)
class CoverPicture:
    """What stands on a cover besides titles.

    ``signs`` has a sign for each cell of a picture made of cells: in ``discs`` the digit that is
    drawn, in ``technique`` the clue, in ``clues`` an x for each clue; a full stop for none, and a
    question mark where the riddle asks. ``filled`` are the cells of towers and tiles. ``drawing``
    is a creator's own picture instead.
    """

    design: str
    about: str
    riddle: str
    answer: str
    geometry: Geometry | None = None
    signs: str = ""
    filled: frozenset[int] = frozenset()
    drawing: Drawing | None = None

    @property
    def rows(self) -> list[list[str]]:
        """Its signs, row by row; none of a creator's own picture."""
        size = self.geometry.size if self.geometry else 1
        return [[*self.signs[k : k + size]] for k in range(0, len(self.signs), size)]

    @property
    def in_words(self) -> str:
        """What it shows, row by row, for those who do not see it."""
        told = (", ".join(_SPOKEN.get(sign, sign) for sign in row) for row in self.rows)
        return "; ".join(f"row {k}: {row}" for k, row in enumerate(told, start=1))


_SPOKEN = {EMPTY: "blank", CLUE: "clue", OPEN: "open"}


def grades_told(book: Book) -> str:
    """``grade 5``, ``grades 1 to 4``, ``grades 2 to 6 and beyond``: how hard the puzzles are."""
    grades = sorted({entry.grade for entry in book.entries if entry.grade != BEYOND})
    parts = []
    if grades:
        ends = f"s {grades[0]} to {grades[-1]}" if len(grades) > 1 else f" {grades[0]}"
        parts.append(f"grade{ends}")
    if any(entry.grade == BEYOND for entry in book.entries):
        parts.append("beyond" if parts else "beyond grade 8")
    return listed(parts)


def count_told(book: Book) -> str:
    """``18 puzzles``; in a sampler ``3 of 18 puzzles``."""
    count = len(book.entries)
    return f"{count} of {counted(len(book.whole), 'puzzle')}" if book.whole else counted(
        count, "puzzle"
    )  # fmt: skip


def cover_picture(book: Book) -> CoverPicture | None:
    """The picture of a book's cover; None for a plain one.

    Where no puzzle of the edition suits the design, it is ``discs``.
    """
    asked = book.pack.cover
    if asked.file:
        drawing = read_drawing(asked.data, asked.file)
        return CoverPicture("own", asked.about, asked.riddle, asked.answer, drawing=drawing)
    design = asked.design or ("technique" if book.pack.needs else "discs")
    if design == "plain":
        return None
    return _MADE[design](book) or _discs(book)


def looks(entry: Entry) -> tuple[bool, int, int]:
    """How good a picture the clues of a puzzle make: more is better."""
    given = [bool(clue) for clue in entry.puzzle.clues]
    return (given == given[::-1], min(entry.puzzle.size, 9), -entry.number)


def _drawn(book: Book, most: int) -> int:
    """A number below ``most`` that is the pack's own."""
    text = f"{book.pack.title} {book.pack.issue}"
    return int.from_bytes(hashlib.sha256(text.encode()).digest()[:6], "big") % most


def _named(entry: Entry) -> str:
    return f"Puzzle {entry.number}, {entry.puzzle.title}"


def _here(book: Book) -> str:
    return "sampler" if book.whole else "pack"


# --- a solved grid -------------------------------------------------------------------------------


def _discs(book: Book) -> CoverPicture:
    """A solved grid that is none of the pack's, a disc for each digit; one is left open."""
    sizes = [entry.puzzle.size for entry in book.entries]
    size = max((size for size in sizes if size <= 9 and default_shape(size)), default=9)
    geometry = read_blocks(None, size)
    own, seed = {entry.solution for entry in (*book.entries, *book.whole)}, _drawn(book, 2**40)
    while (grid := tuple(kernel.random_solution(geometry, seed))) in own:
        seed += 1
    cell = _inner(geometry, range(len(grid)), seed)
    return CoverPicture(
        "discs",
        "The picture is a solved grid: the greater the digit, the larger the disc.",
        "One disc is left open: which digit is it?",
        f"The open disc is {SYMBOLS[grid[cell]]}.",
        geometry,
        "".join(OPEN if k == cell else SYMBOLS[digit] for k, digit in enumerate(grid)),
    )


def _inner(geometry: Geometry, cells: Sequence[int], seed: int) -> int:
    """One of the cells, no nearer to the edge than need be: all round it is to be seen."""
    size = geometry.size
    middle = [c for c in cells if min(*divmod(c, size)) > 1 and max(*divmod(c, size)) < size - 2]
    return (middle or list(cells))[seed % len(middle or cells)]


# --- the clues of a puzzle -----------------------------------------------------------------------


def _clues(book: Book) -> CoverPicture | None:
    """Where a puzzle has its clues; one of them is left open. No other has them in these places."""
    places = [[bool(clue) for clue in entry.puzzle.clues] for entry in book.entries]
    may = [e for e, own in zip(book.entries, places, strict=True)
           if places.count(own) == 1 and sum(own) >= _FEWEST_CLUES]  # fmt: skip
    if not may:
        return None
    entry = max(may, key=looks)
    clues, geometry = entry.puzzle.clues, entry.puzzle.geometry
    seed = _drawn(book, 2**40)
    cell = _inner(geometry, [k for k, clue in enumerate(clues) if clue], seed)
    return CoverPicture(
        "clues",
        f"The picture shows where one puzzle of this {_here(book)} has its clues.",
        "Which puzzle is it, and which digit stands in the open square?",
        f"{_named(entry)}; the digit {SYMBOLS[clues[cell]]}.",
        geometry,
        "".join(OPEN if k == cell else CLUE if d else EMPTY for k, d in enumerate(clues)),
    )


# --- a step --------------------------------------------------------------------------------------


def _technique(book: Book) -> CoverPicture | None:
    """A step of a puzzle on its own clues: of what the pack promises, or else the hardest."""
    hinted = {entry.number: entry.hints for entry in (*book.entries, *book.whole)}
    plain = [entry for entry in book.entries if entry.puzzle.spoil and not entry.puzzle.rules]
    may = [(e, hint) for e in plain for hint in hinted[e.number] if _is_pattern(e, hint)]
    if not may:
        return None

    def worth(one: tuple[Entry, Hint]) -> tuple[bool, int, int]:
        entry, hint = one
        promised = hint.step.technique in (*book.pack.needs, *entry.puzzle.promise.needs)
        size, filled = entry.puzzle.size, _filled(entry, hint)
        return promised, hint.step.rung, sum(cell + size in filled for cell in filled)

    entry, hint = max(may, key=worth)
    step, clues = hint.step, entry.puzzle.clues
    name = technique_names(book.pack).get(step.technique, step.technique.replace("-", " "))
    digits = [SYMBOLS[d] for d in sorted(step.digits)]
    what = "digits" if len(digits) > 1 else "digit"
    return CoverPicture(
        "technique",
        f"The picture shows {article(noun(name))} in one puzzle of this {_here(book)}.",
        f"Which puzzle is it, and which {what} is it made of?",
        f"{_named(entry)}; the {what} {listed(digits)}.",
        entry.puzzle.geometry,
        "".join(OPEN if k in step.cells else SYMBOLS[d] if d else EMPTY
                for k, d in enumerate(clues)),
        frozenset(_filled(entry, hint)),
    )  # fmt: skip


def _is_pattern(entry: Entry, hint: Hint) -> bool:
    """Whether a step is to be seen as a picture: some empty cells, and digits that it speaks of."""
    cells = hint.step.cells
    return 1 < len(cells) < 9 and bool(hint.step.digits) and not any(
        entry.puzzle.clues[cell] for cell in cells
    )  # fmt: skip


def _filled(entry: Entry, hint: Hint) -> set[int]:
    """The cells of a step; those between two of them too, if a house of the step joins them."""
    geometry, cells = entry.puzzle.geometry, hint.step.cells
    found, held = set(cells), set[int]()
    for house in (geometry.houses[h] for h in hint.step.houses):
        if held >= {*cells}:  # the houses that hold the digit are told first
            break
        held |= {*house.cells}
        ends = [k for k, cell in enumerate(house.cells) if cell in cells]
        if house.kind in ("row", "column") and len(ends) == 2:
            found |= {*house.cells[ends[0] : ends[1] + 1]}
    return found


_MADE: dict[str, Callable[[Book], CoverPicture | None]] = {
    "technique": _technique,
    "discs": _discs,
    "clues": _clues,
}
