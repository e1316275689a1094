"""The board: a deck for the screen, 16:9, a page a look; a key press shows the next.

Measures are those of a page of 960 by 540 points, for a grid of nine: digits of 35 points, type of
30 to 56, so that a phone held on its side can be read. Nothing rests on colour: what is held has a
tint and a pattern, what closes a ring, what is closed a cross, what falls a black tile.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from packbuilder.editions import Edition
from packbuilder.grid import SYMBOLS, Values, cell_name
from packbuilder.ladder.english import digits, label
from packbuilder.ladder.head.sentences import NamedMark
from packbuilder.pages.grid_place import GridPlace, placed_in
from packbuilder.pages.grids import CLUE, FOUND
from packbuilder.pages.rule_marks import over
from packbuilder.pages.rule_shapes import under
from packbuilder.phrases import listed
from packbuilder.plan.inks import inks
from packbuilder.plan.items import (
    Box,
    Disc,
    Fills,
    Glyphs,
    Item,
    Page,
    Plan,
    Rings,
    Segment,
    Strokes,
    Text,
    Trace,
)
from packbuilder.puzzle import Pack, Puzzle
from packbuilder.script.looks import Look, where
from packbuilder.script.wording import BOARD
from packbuilder.typography.fonts import FIGURE_HEIGHT
from packbuilder.typography.typeface import face_for, width

WIDE, HIGH = 960.0, 540.0
SIDE, LEFT, TOP = 495.0, 24.0, 517.5
"""The grid: its side, and its upper left corner."""

COLUMN, RIGHT = 553.0, 936.0
"""Where words stand."""

BOLD, SERIF, SANS = "SourceSerifPro-Semibold", "SourceSerifPro-Regular", "SourceSansPro-Regular"
EDITION = Edition("board", "a deck for the screen, a page a look", links=False, tagged=False)
DIGIT, TILE_DIGIT, HELD_DIGIT = 0.64, 0.74, 0.32
"""Type sizes, as shares of a cell."""


@dataclass(frozen=True)
class BoardPage:
    """What a page shows: a look, or, where it is None, a grid as it stands; its words."""

    values: Values
    look: Look | None
    words: tuple[str, ...]


def board_pages(puzzle: Puzzle, looks: Sequence[Look]) -> tuple[BoardPage, ...]:
    """The grid at the start, then a page a look."""
    size = puzzle.size
    given = sum(value > 0 for value in puzzle.clues)
    start = (BOARD["start"].format(title=puzzle.title), BOARD["begin"].format(clues=given))
    pages = [BoardPage(puzzle.clues, None, start)]
    for look in looks:
        pages.append(BoardPage(look.before, look, tuple(_words(look, puzzle, size))))
    return tuple(pages)


def board(pack: Pack, puzzle: Puzzle, pages: Sequence[BoardPage]) -> Plan:
    """The deck as a plan."""
    year, month = map(int, pack.issue.split("-"))
    return Plan(
        width=WIDE,
        height=HIGH,
        pages=tuple(
            Page(folio, "Board", tuple(_items(puzzle, page)))
            for folio, page in enumerate(pages, start=1)
        ),
        bookmarks=(),
        edition=EDITION,
        inks=inks(0.33, 0.5, 0.9),
        creep=0.0,
        title=f"{puzzle.title}, on the board",
        author=pack.byline,
        subject=pack.title,
        keywords=("number-placement puzzles",),
        dated=(year, month),
    )


def _words(look: Look, puzzle: Puzzle, size: int) -> Iterator[str]:
    """The head, a line for each held mark, the house, and what falls."""
    geometry = puzzle.geometry
    if look.place and look.held:
        yield BOARD[f"hold {len(look.held)}"]
    elif look.held:
        yield BOARD["keep"]
    elif look.name:
        yield look.name
    yield from (_short(mark, puzzle) for mark in look.held)
    if look.place:
        if told := where(look, geometry):
            yield told[0].upper() + told[1:]
        at = cell_name(look.place[0], size)
        yield BOARD["only" if look.house >= 0 else "last"].format(cell=at)
    elif look.loses and not look.held:
        cells = dict.fromkeys(cell for cell, _ in look.loses)
        count = BOARD["cells"].format(count=len(cells))
        names = listed(cell_name(cell, size) for cell in cells) if len(cells) <= 3 else count
        yield BOARD["gone"].format(cells=names)


def _short(mark: NamedMark, puzzle: Puzzle) -> str:
    """Where a mark stands: ``Row 1``."""
    if mark.house < 0:
        return cell_name(mark.cells[0], puzzle.size)
    told = label(mark.house, puzzle.geometry)
    return told[0].upper() + told[1:]


def _items(puzzle: Puzzle, page: BoardPage) -> Iterator[Item]:
    size = puzzle.size
    shapes = [shape for part in puzzle.rules for shape in part.shapes()]
    place = placed_in(LEFT, TOP, SIDE, size, shapes)
    look = page.look
    yield from under(place, shapes)
    for k, mark in enumerate(look.held if look else ()):
        yield from (item for cell in mark.cells for item in _tint(k, place.box(cell)))
    yield from grid_lines(puzzle, place, (0.9, 3.4, 4.6))
    yield from over(place, shapes)
    if look:
        yield from _reach(puzzle, place, look)
        yield from _signs(place, look)
        yield from _held_digits(place, look)
    yield from digit_items(place, puzzle.clues, page.values, DIGIT)
    if look and look.place:
        yield from _tile(place.box(look.place[0]), look.place[1])
    yield from _column(page, place.cell)


def grid_lines(
    puzzle: Puzzle, place: GridPlace, widths: tuple[float, float, float]
) -> Iterator[Item]:
    """Cell lines, borders and frame, at these widths."""
    size, region = place.size, puzzle.geometry.regions
    thin: list[Segment] = []
    heavy: list[Segment] = []
    for cell in range(size * size):
        left, bottom, right, top = place.box(cell)
        for other, line in (
            (cell + 1 if cell % size < size - 1 else None, (right, bottom, right, top)),
            (cell + size if cell + size < size * size else None, (left, bottom, right, bottom)),
        ):
            if other is not None:
                apart = region is not None and region[cell] != region[other]
                (heavy if apart else thin).append(line)
    left, top = place.at(0, 0)
    right, bottom = place.at(size, size)
    frame = ((left, top, right, top), (right, top, right, bottom),
             (right, bottom, left, bottom), (left, bottom, left, top))  # fmt: skip
    for width_, segments in zip(widths, (thin, heavy, frame), strict=True):
        if segments:
            yield Strokes(width_, tuple(segments), square=width_ != widths[0])


def digit_items(place: GridPlace, clues: Values, values: Values, share: float) -> Iterator[Item]:
    """Clues in the clue face, found digits light."""
    type_size = place.cell * share
    for face, clue in ((CLUE, True), (FOUND, False)):
        cells = [c for c, value in enumerate(values) if value and bool(clues[c]) == clue]
        if cells:
            places = tuple(_letter(place, c, SYMBOLS[values[c]], face, type_size) for c in cells)
            yield Glyphs(face, type_size, places)


def _letter(
    place: GridPlace, cell: int, letter: str, face: str, type_size: float
) -> tuple[float, float, str]:
    x, y = place.middle(cell)
    return (
        x - width(letter, face, type_size) / 2,
        y - FIGURE_HEIGHT * type_size / 2,
        letter,
    )


def _tint(k: int, box: Box) -> Iterator[Item]:
    """The tint and the pattern of the k-th thing held: slanted lines, dots, level lines."""
    left, bottom, right, _ = box
    yield Fills((box,), "fill")
    side = right - left
    steps = 8
    if k == 1:
        for i in range(1, steps):
            for j in range(1, steps):
                yield Disc(left + i * side / steps, bottom + j * side / steps, 0.9, fill="quiet")
        return
    lines: list[Segment] = []
    for i in range(1, 2 * steps):
        at = i * side / steps
        if k == 0:
            lines.append((left + max(0.0, at - side), bottom + min(at, side),
                          left + min(at, side), bottom + max(0.0, at - side)))  # fmt: skip
        elif at < side:
            lines.append((left, bottom + at, right, bottom + at))
    yield Strokes(1.1, tuple(lines), "quiet")


def _plate(box: Box, told: str, type_size: float) -> Iterator[Item]:
    """Small digits in the middle of a box on a white plate."""
    left, bottom, right, top = box
    wide = width(told, CLUE, type_size)
    x, y = (left + right - wide) / 2, (bottom + top - FIGURE_HEIGHT * type_size) / 2
    pad = 0.28 * type_size
    yield Fills(((x - pad, y - pad, x + wide + pad, y + FIGURE_HEIGHT * type_size + pad),), "paper")
    letters, at = [], x
    for letter in told:
        letters.append((at, y, letter))
        at += width(letter, CLUE, type_size)
    yield Glyphs(CLUE, type_size, tuple(letters))


def _held_digits(place: GridPlace, look: Look) -> Iterator[Item]:
    """In each held cell the digits that it may be, by all that is held; and what is lost."""
    told: dict[int, set[int]] = {}
    for mark in look.held:
        for cell in mark.cells:
            told.setdefault(cell, set()).update(mark.digits)
    if not look.place and not look.held:
        for cell, d in look.loses:
            told.setdefault(cell, set()).add(d)
    for cell, some in sorted(told.items()):
        if look.place is None or cell != look.place[0]:
            text = "".join(SYMBOLS[d] for d in sorted(some))
            yield from _plate(place.box(cell), text, place.cell * HELD_DIGIT)


def _signs(place: GridPlace, look: Look) -> Iterator[Item]:
    """Rings round what closes, crosses on what is closed, frames round what loses."""
    s = place.cell
    yield from (Disc(*place.middle(cell), 0.385 * s, 3.0) for cell in look.ringed)
    held = {cell for mark in look.held for cell in mark.cells}
    crosses = []
    for cell in look.crossed:
        if cell in held:
            continue
        x, y = place.middle(cell)
        arm = 0.125 * s
        crosses += [
            ((x - arm, y - arm), (x + arm, y + arm)),
            ((x - arm, y + arm), (x + arm, y - arm)),
        ]
    if crosses:
        yield Trace(tuple(crosses), 4.0, round_ends=True)
    rests = tuple(_inset(place.box(cell), 0.07 * s) for cell in look.rests if look.place is None)
    if rests:
        yield Rings(2.2, 0.2 * s, rests)
    lost = tuple(
        _inset(place.box(cell), 0.085 * s)
        for cell in dict.fromkeys(cell for cell, _ in look.loses)
        if cell not in held and not look.held
    )
    yield from (_frame(box, 4.0) for box in lost)


def _frame(box: Box, weight: float) -> Item:
    """A square frame."""
    left, bottom, right, top = box
    corners = ((left, bottom), (right, bottom), (right, top), (left, top))
    return Trace((corners,), weight, closed=True)


def _inset(box: Box, by: float) -> Box:
    left, bottom, right, top = box
    return left + by, bottom + by, right - by, top - by


def _reach(puzzle: Puzzle, place: GridPlace, look: Look) -> Iterator[Item]:
    """Dots from each digit that closes to the cells that it closes."""
    if look.place is None or look.house < 0:
        return
    s, geometry = place.cell, puzzle.geometry
    busy = {c for c, value in enumerate(look.before) if value} | set(look.crossed)
    dots: set[tuple[float, float]] = set()
    for one in look.ringed:
        for other in look.crossed:
            if other not in geometry.peers[one]:
                continue
            (r, c), (r2, c2) = divmod(one, place.size), divmod(other, place.size)
            region = geometry.regions
            if r != r2 and c != c2 and region is not None and region[one] == region[other]:
                cells = {i for i, g in enumerate(region) if g == region[one]}
                dots |= set(_edge(cells, place))
                continue
            (x, y), (x2, y2) = place.middle(one), place.middle(other)
            count = max(2, round(max(abs(x - x2), abs(y - y2)) / (s / 7)))
            for k in range(count + 1):
                at = x + (x2 - x) * k / count, y + (y2 - y) * k / count
                if all(_clear(at, place.middle(b), 0.34 * s) for b in busy):
                    dots.add((round(at[0], 2), round(at[1], 2)))
    yield from (Disc(x, y, 1.7, fill="ink") for x, y in sorted(dots))


def _clear(at: tuple[float, float], middle: tuple[float, float], by: float) -> bool:
    return (at[0] - middle[0]) ** 2 + (at[1] - middle[1]) ** 2 > by * by


def _edge(cells: Iterable[int], place: GridPlace) -> Iterator[tuple[float, float]]:
    """Dots along the inside edge of a region."""
    inside, size, s = set(cells), place.size, place.cell
    for cell in inside:
        left, bottom, right, top = _inset(place.box(cell), 0.075 * s)
        row, column = divmod(cell, size)
        for outside, (x, y), (x2, y2) in (
            (row == 0 or cell - size not in inside, (left, top), (right, top)),
            (cell + size not in inside, (left, bottom), (right, bottom)),
            (column == 0 or cell - 1 not in inside, (left, bottom), (left, top)),
            (column == size - 1 or cell + 1 not in inside, (right, bottom), (right, top)),
        ):
            if outside:
                yield from (
                    (round(x + (x2 - x) * k / 6, 2), round(y + (y2 - y) * k / 6, 2))
                    for k in range(7)
                )


def _tile(box: Box, d: int) -> Iterator[Item]:
    """What falls: white on black."""
    left, bottom, right, top = box
    side = right - left
    yield Fills((_inset(box, 0.045 * side),), "ink")
    face, type_size = "SourceSansPro-Bold", TILE_DIGIT * side
    letter = SYMBOLS[d]
    x = (left + right - width(letter, face, type_size)) / 2
    y = (bottom + top - FIGURE_HEIGHT * type_size) / 2
    yield Glyphs(face, type_size, ((x, y, letter),), "paper")


def _column(page: BoardPage, cell: float) -> Iterator[Item]:
    """The words beside the grid: the head, swatches of what is held, what falls."""
    look, words = page.look, list(page.words)
    if look is None:
        yield from _line(words[0], COLUMN, 400.0, BOLD, 50.0)
        yield from _line(words[1], COLUMN, 340.0, SERIF, 42.0)
        return
    if look.held or look.name:
        yield from _line(words.pop(0), COLUMN, 476.0, BOLD, 50.0)
    y = 438.0
    for k, mark in enumerate(look.held):
        box = (COLUMN, y - 62, COLUMN + 62, y)
        yield from _tint(k, box)
        yield _frame(box, 2.0)
        yield from _plate(box, "".join(SYMBOLS[d] for d in mark.digits), 22.0)
        yield from _line(words.pop(0), COLUMN + 80, y - 45, SANS, 42.0)
        y -= 78
    if not words:
        return
    if look.held:
        yield Strokes(3.0, ((COLUMN, 190.0, RIGHT, 190.0),))
    if look.place:
        if len(words) > 1:
            yield from _line(words.pop(0), COLUMN, 142.0, SERIF, 52.0)
        box = (COLUMN, 22.0, COLUMN + 92, 114.0)
        yield from _tile(box, look.place[1])
        yield from _line(words.pop(0), COLUMN + 112, 52.0, BOLD, 50.0)
    else:
        lost = digits(sorted({d for _, d in look.loses}))
        yield from _line(f"{lost} {words.pop(0)}", COLUMN, 60.0, BOLD, 46.0)


def _line(text: str, x: float, y: float, face: str, size: float) -> Iterator[Item]:
    """A line of type, made smaller where it would not fit; two lines where that is too small."""
    face = face_for(text, face)
    room = RIGHT - x
    fitted = min(size, size * room / max(width(text, face, size), 1.0))
    if fitted >= 26.0 or " " not in text:
        yield Text(x, y, text, face, fitted)
        return
    words = text.split()
    half = min(
        range(1, len(words)),
        key=lambda k: max(width(" ".join(part), face, size) for part in (words[:k], words[k:])),
    )
    parts = [" ".join(words[:half]), " ".join(words[half:])]
    fitted = min(size, *(size * room / width(part, face, size) for part in parts))
    yield Text(x, y + fitted * 1.15, parts[0], face, fitted)
    yield Text(x, y, parts[1], face, fitted)
