"""Binding: from a passed gate to the book that goes to print, whole or as an edition has it."""

from __future__ import annotations

from dataclasses import replace

from packbuilder.book.book import Book, Entry, Lesson
from packbuilder.book.candidate_room import candidate_size
from packbuilder.book.lessons import lessons
from packbuilder.editions import HALF, LARGE, LARGE_PRINT, SAMPLER, Edition
from packbuilder.errors import Refused
from packbuilder.gate import Checked, Report
from packbuilder.ladder.head.hints import head_hints
from packbuilder.ladder.head.solve import tell
from packbuilder.ladder.hints import Hint, hints
from packbuilder.ladder.path import Path
from packbuilder.layouts.fitting import bands, text_area
from packbuilder.puzzle import BEYOND, Pack, Puzzle


def assemble(report: Report) -> Book:
    """The book of a pack that the gate let pass, its puzzles in printing order.

    Raises Refused where the gate refused the pack: what is not proved is not printed.
    """
    if not report.passed:
        raise Refused("the gate refused this pack; nothing is printed")
    return whole_book(report)


def whole_book(report: Report) -> Book:
    """The book that a pack would be, of its puzzles that have one solution: to see what fits."""
    checked = [one for one in report.checked if one.solution]
    if report.pack.order == "easiest-first":
        checked.sort(key=lambda one: _ease(one.path))
    entries = tuple(entry_of(k, one) for k, one in enumerate(checked, start=1))
    return Book(report.pack, entries, lessons=lessons(report.pack))


def book_of(book: Book, edition: Edition) -> Book:
    """What of a whole book an edition holds, with the edition's paper and layout.

    The sampler has ``pack.sampler`` puzzles, and keeps all for its page on the full pack; hints,
    foreword and primer are for the full pack. Large print takes larger paper than A5.
    Large print leaves candidates out of hints and of the primer where they would not be large: in
    cells that have many, or are small, or where text of rules takes their room; words and cells of
    the step stay. Raises InputError for a layout of large print that is faulty, or not made for
    that paper.
    """
    pack, entries, whole = book.pack, book.entries, book.whole
    paper = edition.paper or (HALF[pack.paper] if edition.folded else pack.paper)
    if edition.name == LARGE_PRINT.name:
        paper = LARGE.get(paper, paper)
    if edition.name == SAMPLER.name:
        return _sampler(book, edition, paper)
    pack = replace(pack, paper=paper, layout=edition.layout or pack.layout)
    if edition.name == LARGE_PRINT.name:
        wide = _measure(pack)
        entries = tuple(_with_large_hints(entry, wide) for entry in entries)
        lessons = tuple(_with_large_frames(lesson, wide) for lesson in book.lessons)
        book = replace(book, lessons=lessons)
    return replace(book, pack=pack, entries=entries, whole=whole, edition=edition)


def _sampler(book: Book, edition: Edition, paper: str) -> Book:
    """A few puzzles from the gentlest to the hardest, evenly, without what explains the others."""
    pack, easiest = book.pack, sorted(book.entries, key=_ease)
    count, last = min(book.pack.sampler, len(easiest)), len(easiest) - 1
    held = {round(k * last / max(count - 1, 1)) for k in range(count)}
    chosen = sorted((easiest[k] for k in held), key=lambda entry: entry.number)
    return replace(
        book,
        pack=replace(pack, paper=paper, foreword=""),
        entries=tuple(replace(entry, hints=()) for entry in chosen),
        whole=book.entries,
        edition=edition,
        lessons=(),
    )


def _measure(pack: Pack) -> float:
    """The width of the text area in points."""
    from packbuilder.layouts.loading import load  # late: it reads files

    return text_area(load(pack.layout, pack.layouts_folder).for_paper(pack.paper), pack.paper)[0]


def _with_large_hints(entry: Entry, wide: float) -> Entry:
    return replace(entry, hints=tuple(_in_large_type(h, entry.puzzle, wide) for h in entry.hints))


def _with_large_frames(lesson: Lesson, wide: float) -> Lesson:
    """A lesson whose frames show candidates if they have room in all of them."""
    if lesson.example is None:
        return lesson
    large = [_in_large_type(frame.hint, lesson.example, wide) for frame in lesson.frames]
    if all(one is frame.hint for one, frame in zip(large, lesson.frames, strict=True)):
        return lesson
    bare = (replace(f, hint=replace(f.hint, shown=(), struck=())) for f in lesson.frames)
    return replace(lesson, frames=tuple(bare))


def _in_large_type(hint: Hint, puzzle: Puzzle, wide: float) -> Hint:
    """A hint without its candidates, if its grid is too large for them or their cells too full, on
    pages of that width."""
    shapes = [shape for part in puzzle.rules for shape in part.shapes()]
    cell = wide / (puzzle.size + bands(shapes, puzzle.size).across)
    if not hint.shown or candidate_size(hint, shapes, 1.0) * cell >= LARGE_PRINT.small:
        return hint
    return replace(hint, shown=(), struck=())


def _ease(one: Path | Entry | None) -> tuple[float, float]:
    assert one is not None  # a passed report has a path for every puzzle
    return float("inf") if one.grade == BEYOND else one.grade, one.effort


def entry_of(number: int, one: Checked) -> Entry:
    """A puzzle that has its one solution, as print has it under a number."""
    assert one.path is not None
    assert one.solution is not None
    return Entry(
        number=number,
        puzzle=one.puzzle,
        solution=one.solution,
        grade=one.path.grade,
        hardest=one.path.hardest,
        effort=one.path.effort,
        techniques=tuple(dict(one.path.techniques).items()),
        hints=_hints(one) if one.puzzle.hinted else (),
        ways=one.path.ways(),
        letters=one.entry.cells if one.entry else (),
    )


def _hints(one: Checked) -> tuple[Hint, ...]:
    """Where no notes are promised, the hints of that solve, if it has knots; else the ladder's."""
    assert one.path is not None
    puzzle, own = one.puzzle, one.puzzle.hints
    if puzzle.promise.no_notes is None:
        return hints(one.path, own)
    told = tell(puzzle.geometry, puzzle.clues, puzzle.rules)
    return head_hints(told, puzzle.geometry, own) or hints(one.path, own)
