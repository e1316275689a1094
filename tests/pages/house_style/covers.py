"""Covers: their picture shows what it says, and their riddle has the one answer that is printed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from packbuilder.plan.items import Disc, Figure, Fills, Glyphs, Text, Trace
from packbuilder.puzzle import Puzzle
from tests.pages.house_style.measuring import Look, Mark, Printed, Told, bare


def covers_ask_what_can_be_answered(p: Printed) -> Told:
    """Under the picture stand a line that explains it and a question, among the answers what that
    is. Of the open disc: the one digit that its row lacks, in a solved grid that is none of the
    book's. Of clues and steps: the one puzzle that has its clues so; no digit but a clue is shown.
    """
    look = p.looks[0]
    if p.book.pack.cover.design == "plain":
        if look.pictures:
            yield "a plain cover has a picture"
        return
    asked = [m.text for m in look.lines if m.text.endswith("?")]
    answer = _answer(p)
    if not asked or not answer:
        yield f"the cover asks {asked} and the answers say {answer!r}"
    pictures = [marks for figure, marks in look.pictures if _is_picture(figure)]
    if len(pictures) != 1:
        yield f"the cover has {len(pictures)} pictures"
    elif len([m for m in pictures[0] if isinstance(m.item, Disc)]) > 9:
        yield from _discs(p, pictures[0], answer)
    elif not p.book.pack.cover.file:
        yield from _puzzle(p, pictures[0], answer)


def _is_picture(figure: Figure) -> bool:
    return not figure.tag.alt.startswith("QR code")


def _answer(p: Printed) -> str:
    """What stands under its heading among the answers."""
    for look in p.looks:
        lines = [i.text for i in look.page.items if isinstance(i, Text)]
        if look.section == "Answers" and "The picture on the cover" in lines:
            rest = lines[lines.index("The picture on the cover") + 1 :]
            return " ".join(rest)
    return ""


def _grid(marks: Sequence[Mark]) -> list[Mark]:
    """Marks of one size of cell, row by row."""
    key = lambda m: (-round((m.box[1] + m.box[3]) / 2, 1), m.box[0] + m.box[2])  # noqa: E731
    return sorted(marks, key=key)


def _discs(p: Printed, marks: Sequence[Mark], answer: str) -> Told:
    discs = _grid([mark for mark in marks if isinstance(mark.item, Disc)])
    size = round(len(discs) ** 0.5)
    sizes = sorted({round(m.box[2] - m.box[0], 1) for m in discs if m.item.fill})  # type: ignore[union-attr]
    told = [sizes.index(round(m.box[2] - m.box[0], 1)) + 1 if m.item.fill else 0 for m in discs]  # type: ignore[union-attr]
    if len(sizes) != size or told.count(0) != 1:
        yield f"the discs have {len(sizes)} sizes, and {told.count(0)} are open"
        return
    k = told.index(0)
    row = told[k // size * size : k // size * size + size]
    (digit,) = {*range(1, size + 1)} - {*row}
    if f"The open disc is {digit}." not in answer:
        yield f"the open disc is {digit}, and the answer {answer!r}"
    told[k] = digit
    lines = [told[n : n + size] for n in range(0, len(told), size)]
    lines += [told[n::size] for n in range(size)]
    if any(sorted(line) != [*range(1, size + 1)] for line in lines):
        yield "the discs are no solved grid"
    if tuple(told) in {entry.solution for entry in (*p.book.entries, *p.book.whole)}:
        yield "the discs are the answer of a puzzle"


def _puzzle(p: Printed, marks: Sequence[Mark], answer: str) -> Told:
    """The clues of a puzzle, or where they stand."""
    found = [
        e for e in p.book.entries if bare(f"Puzzle {e.number}{e.puzzle.title}") in bare(answer)
    ]
    entry = max(found, key=lambda e: len(e.puzzle.title), default=None)
    if entry is None:
        yield f"no puzzle is that of the answer {answer!r}"
        return
    same = [e for e in p.book.entries if set(_seen(marks, e.puzzle)) == set(_due(marks, e.puzzle))]
    if [e.number for e in same] != [entry.number]:
        yield f"the picture is of the puzzles {[e.number for e in same]}, not {entry.number}"


def _seen(marks: Sequence[Mark], puzzle: Puzzle) -> Iterator[tuple[int, str]]:
    """The cells in which something stands, by the frame of all: a digit, or a square for a clue."""
    left, right = min(m.box[0] for m in marks), max(m.box[2] for m in marks)
    top = max(m.box[3] for m in marks)
    pitch = (right - left) / puzzle.size
    for mark in marks:
        x, y = (mark.box[0] + mark.box[2]) / 2, (mark.box[1] + mark.box[3]) / 2
        cell = int((top - y) / pitch) * puzzle.size + int((x - left) / pitch)
        wide, high = mark.box[2] - mark.box[0], mark.box[3] - mark.box[1]
        if isinstance(mark.item, Glyphs) and mark.text != "?":
            yield cell, mark.text
        square = abs(wide - high) < 0.1 and wide > 0.5 * pitch
        if square and isinstance(mark.item, Fills | Trace) and not _has_digits(marks):
            yield cell, "x"


def _due(marks: Sequence[Mark], puzzle: Puzzle) -> Iterator[tuple[int, str]]:
    for cell, clue in enumerate(puzzle.clues):
        if clue:
            yield cell, " 123456789ABCDEFG"[clue] if _has_digits(marks) else "x"


def _has_digits(marks: Sequence[Mark]) -> bool:
    return any(m.text not in ("", "?") for m in marks)


def covers_tell_issue_count_grade_and_maker(p: Printed) -> Told:
    """In the masthead and under the title, in words."""
    look: Look = p.looks[0]
    words = bare("".join(m.text for m in look.lines))
    grades = sorted(str(e.grade) for e in p.book.entries)  # a word, beyond, comes last
    for one in (p.book.pack.byline, p.book.pack.title, grades[0], grades[-1]):
        if bare(one) not in words:
            yield f"the cover does not say {one!r}"
