"""The back of the file: answers, credits, and the end."""

from __future__ import annotations

from collections.abc import Iterator

from packbuilder import __version__
from packbuilder.book.book import Book
from packbuilder.book.cover import ON_COVER, cover_picture
from packbuilder.book.how_to_play import puzzles_told
from packbuilder.plaintext.facts import answer_head, puzzle_head, setter_of
from packbuilder.plaintext.grids import grid_rows
from packbuilder.plaintext.words import own, said
from packbuilder.plan.outline import SECTION, TOPIC, Node, To

_PERMISSION = (
    "Every guest gave permission for the puzzles under their name to be printed in this pack; the "
    "puzzles stay their own."
)
_PROOF = (
    "Every grid in this pack was proved to have exactly one solution by two engines that share no "
    "code, and then read back from this very file, grids, clues and words, to see that what is "
    "written here is what was proved."
)


def sections(book: Book) -> Iterator[Node]:
    """The solved grids, the credits, and the last line: a reader knows that nothing is missing."""
    yield Node(SECTION, "Answers")
    if picture := cover_picture(book):
        answer = own(picture.answer, "pack: cover: answer")
        yield Node(TOPIC, ON_COVER, (said(answer),))
    tried = (lesson.trial for lesson in book.lessons if lesson.trial)
    for entry in (*book.entries, *tried):
        grid = grid_rows(entry.solution, entry.puzzle.geometry)
        lead = said(To("Puzzle: line {}", (puzzle_head(entry),)))
        yield Node(*answer_head(entry), (grid, lead))
    yield from _credits(book)
    yield Node(SECTION, "End of the file")


def _credits(book: Book) -> Iterator[Node]:
    """Who set the puzzles, with whose leave, under which licence, and how the file was made."""
    setters: dict[str, list[int]] = {}
    for entry in book.entries:
        setters.setdefault(setter_of(entry.puzzle), []).append(entry.number)
    named = (f"{name}: {puzzles_told(nums, 'text').lower()}" for name, nums in setters.items())
    yield Node(SECTION, "Credits")
    yield Node(TOPIC, "Setters", (said(*named),))
    if set(setters) != {own(book.pack.byline, "pack: byline")}:
        yield Node(TOPIC, "Permission", (said(_PERMISSION),))
    if licence := own(book.pack.licence, "pack: licence"):
        yield Node(TOPIC, "Licence", (said(licence),))
    yield Node(TOPIC, "Proof", (said(_PROOF),))
    yield Node(TOPIC, "Press", (said(f"Made with packbuilder {__version__}."),))
