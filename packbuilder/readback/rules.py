"""The rules of one printed grid against the book: each part is drawn, whole, and no other is."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from functools import partial

from packbuilder import rules
from packbuilder.grid import Geometry, cell_name
from packbuilder.puzzle import Puzzle
from packbuilder.readback.report import Fault, first_few
from packbuilder.readback.shape_names import cells_of, told
from packbuilder.reader.drawn import Drawn
from packbuilder.reader.drawn.style import Frame
from packbuilder.reader.lattices import Lattice
from packbuilder.reader.marks import Drawing
from packbuilder.rules.contract import Part
from packbuilder.rules.houses import without_houses
from packbuilder.rules.shapes import Corner, Path, Shape
from packbuilder.rules.tools.lines import either_way

Told = tuple[tuple[int, ...], str]
"""Cells, and a sentence about them."""


def check_rules(
    drawn: Drawn, puzzle: Puzzle, letters: Sequence[Shape] = (), *, answer: bool = False
) -> Iterator[Fault]:
    """The shapes drawn are those of the puzzle's rules, and mean its parts and no others.

    The ``letters`` by which solvers enter stand in corners too. In an ``answer`` nothing is written
    in corners.
    """
    n = puzzle.size
    due = {part: part.shapes() for part in puzzle.rules}
    written = [s for shapes in due.values() for s in shapes if isinstance(s, Corner)]
    given = written if answer else []  # so that a cage in an answer still is one with its sum
    lacking = [s for s in letters if s not in drawn.shapes]
    words = [(cells_of(s, n), f"{told(s, n)} is not printed") for s in lacking]
    yield from _faults("entry-letter", words)
    found = [s for s in drawn.shapes if not (answer and isinstance(s, Corner))]
    found = [s for s in found if s not in letters]
    amiss = [s for s in drawn.shapes if answer and isinstance(s, Corner)]
    seen = {plain_shape(shape) for shape in (*found, *given)}
    wanted = {plain_shape(shape) for shapes in due.values() for shape in shapes}
    lost = [part for part, shapes in due.items() if any(plain_shape(s) not in seen for s in shapes)]
    base = without_houses(puzzle.geometry, puzzle.rules)
    recovered = recover(puzzle.rule_names, (*found, *given), base)
    known = {_print(part) for part in puzzle.rules}
    new = [part for part in recovered if _print(part) not in known]
    missing, wrong, extra = _compared(lost, new, seen, n)
    yield from _faults("rule-missing", missing)
    yield from _faults("rule-wrong", wrong)
    yield from _faults("rule-extra", extra)
    explained = {plain_shape(shape) for part in new for shape in part.shapes()} | wanted
    stray = [s for s in found if plain_shape(s) not in explained] + amiss
    yield from _faults(
        "mark-stray",
        [(cells_of(s, n), f"{told(s, n)} belongs to no rule of this grid") for s in stray],
    )
    shaped = {part for part, shapes in due.items() if shapes}
    if not lost and not new and set(recovered) != shaped:
        names = sorted(p.name(n) for p in set(recovered) ^ shaped)
        yield Fault("rule-wrong", f"as they are printed, its rules mean others: {names[0]}")


def recover(names: Iterable[str], shapes: Sequence[Shape], geometry: Geometry) -> tuple[Part, ...]:
    """The parts that printed shapes mean where the rules of these names hold."""
    kinds = rules.kinds()
    return tuple(part for name in names for part in kinds[name].recover(shapes, geometry))


def check_strays(drawn: Drawn, lattice: Lattice, known: Collection[int] = ()) -> Iterator[Fault]:
    """Nothing is drawn or written in a grid or its bands that the house style does not know.

    ``known`` are the places, among the drawings that are of no rule, of those that tell a step.
    """
    n, frame = lattice.size, Frame.of(lattice)
    odd = [drawing for k, drawing in enumerate(drawn.others) if k not in known]
    cells = [_nearest(frame, *_middle(d)) for d in odd]
    yield from _faults(
        "mark-stray",
        [
            ((cell,), f"what is drawn in or at {cell_name(cell, n)} is no mark of the house style")
            for cell in dict.fromkeys(cells)
        ],
    )
    astray = [(_nearest(frame, (g.x0 + g.x1) / 2, (g.y0 + g.y1) / 2), g) for g in drawn.astray]
    yield from _faults(
        "stray-text",
        [
            ((cell,), f"{g.text!r} outside {cell_name(cell, n)} is no clue in its place")
            for cell, g in astray
        ],
    )


def _middle(drawing: Drawing) -> tuple[float, float]:
    left, bottom, right, top = drawing.box
    return (left + right) / 2, (bottom + top) / 2


def _nearest(frame: Frame, x: float, y: float) -> int:
    column, row = (min(max(int(v // 1), 0), frame.size - 1) for v in frame.place(x, y))
    return row * frame.size + column


def plain_shape(shape: Shape) -> Shape:
    """A shape as it looks: a line without a head has no direction, and a loop no beginning."""
    if isinstance(shape, Path) and not shape.head:
        return Path(either_way(shape.cells), shape.style)
    return shape


def _print(part: Part) -> tuple[type[Part], frozenset[Shape]]:
    """What of a part can be told from print."""
    return type(part), frozenset(part.shapes())


# --- what differs, in words --------------------------------------------------------------------


def _compared(
    lost: Iterable[Part], new: Iterable[Part], seen: set[Shape], size: int
) -> tuple[list[Told], list[Told], list[Told]]:
    """Parts that are not printed, that are printed as another one, and that are too much."""
    left = list(new)
    missing, wrong = [], []
    for part in lost:
        akin = [p for p in left if _akin(part, p)]
        if not akin:
            missing.append(_missing(part, seen, size))
        else:
            twin = max(akin, key=partial(_common, part))
            left.remove(twin)
            wrong.append(_changed(part, twin, size))
    extra = [
        (p.cells, f"{_a(p.name(size))} is printed, which the puzzle does not have") for p in left
    ]
    return missing, wrong, extra


def _akin(a: Part, b: Part) -> bool:
    """Whether one part may be the other one, printed wrongly: the same kind, most cells shared."""
    same_kind = type(a).__module__ == type(b).__module__
    return same_kind and 2 * _common(a, b) > max(len(a.cells), len(b.cells))


def _common(a: Part, b: Part) -> int:
    return len(set(a.cells) & set(b.cells))


def _missing(part: Part, seen: set[Shape], size: int) -> Told:
    shapes = part.shapes()
    gone = [s for s in shapes if plain_shape(s) not in seen]
    if len(gone) == len(shapes):
        return _spot(part, gone, size), f"{part.name(size)} is not printed"
    what = " and ".join(told(s, size) for s in gone)
    return _spot(part, gone, size), f"{part.name(size)} is not whole: {what} is not printed"


def _spot(part: Part, gone: Sequence[Shape], size: int) -> tuple[int, ...]:
    """The cells to look at: where the missing shapes stand, if there are any."""
    return tuple(dict.fromkeys(c for s in gone for c in cells_of(s, size))) or part.cells


def _changed(part: Part, twin: Part, size: int) -> Told:
    name, other = part.name(size), twin.name(size)
    gone = [c for c in part.cells if c not in twin.cells]
    more = [c for c in twin.cells if c not in part.cells]
    words = [f"{name} is printed as {other}"] if other != name else [f"{name} is printed"]
    for some, how in ((gone, "without"), (more, "with")):
        if some:
            words.append(f"{how} {', '.join(cell_name(c, size) for c in some)}")
    if len(words) == 1 and other == name:
        words.append("as another one")
    cells = tuple(gone + more) or _spot(part, part.shapes(), size)
    return cells, " ".join(words)


def _a(name: str) -> str:
    return name if name.startswith("the ") else f"{'an' if name[0] in 'aeiouX' else 'a'} {name}"


def _faults(code: str, told_: Sequence[Told]) -> Iterator[Fault]:
    """One fault for all: the first few are told, the rest are counted."""
    if told_:
        cells = dict.fromkeys(cell for cells, _ in told_ for cell in cells)
        yield Fault(code, first_few([words for _, words in told_]), tuple(cells))
