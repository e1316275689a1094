"""Words in print: of captions, introductions, hints, pages to read; each word counts."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import cache

import pytest

from packbuilder.book import Book, Lesson
from packbuilder.grid import blocks
from packbuilder.plan.items import FURNITURE, Fills, Glyphs, Item, Plan, Text
from packbuilder.readback import read
from tests.readback import books
from tests.readback.altering import altered, drawn, findings, in_grid, planned, printed, told


@cache
def spoken() -> Book:
    """Three puzzles, one ruled; every field of words is filled."""
    whole = books.ruled("inequalities", "cages")
    pack = replace(whole.pack, theme="Grids by the water, and one ashore.", licence="All rights "
                   "kept; copy it for your own table.", foreword="The harbour is quiet.\n\nBoats "
                   "are up on trestles, and nets under the roof.")  # fmt: skip
    one, two = whole.entries
    puzzle = replace(one.puzzle, intro="Mind the middle: the corners help less than they seem to.")
    return replace(whole, pack=pack, entries=(replace(one, puzzle=puzzle), two))


def saying(old: str, new: str) -> tuple[Callable[[Item], bool], Callable[[Text], Text]]:
    return (
        lambda item: isinstance(item, Text) and old in item.text,
        lambda item: replace(item, text=item.text.replace(old, new, 1)),
    )


def reworded(book: Book, section: str, old: str, new: str, *, at: int = 0) -> Plan:
    """The plan with a word of a section turned."""
    return altered(planned(book), section, *saying(old, new), at=at)


TURNED: list[tuple[str, str, str, str, str]] = [
    ("Cover", "Harbour Lights", "Harbor Lights", "caption", "the pack's title"),
    ("Cover", "Ada Quill", "Ada Quilt", "caption", "the byline"),
    ("Cover", "water, and one", "one, and water", "words", "the theme"),
    ("Foreword", "quiet", "quite", "words", "the foreword"),
    ("Foreword", "trestles, and nets", "nets, and trestles", "words", "the foreword"),
    ("The rules", "less than", "more than", "words", "Inequalities"),
    ("The rules", "sum", "product", "words", "Cages"),
    ("The rules", "is wrong", "is not", "words", "The rules"),
    ("The rules", "1 + 3 + 6", "1 + 4 + 6", "words", "Cages"),
    ("How to play", "Write a digit", "Write a letter", "words", "6x6"),
    ("How to play", "all rules", "no rules", "words", "Rules"),
    ("How to play", "pure reasoning", "a guess", "words", "How to play"),
    ("How to play", "third shows", "third tells", "words", "Hints"),
    ("Ideas in the hints", "Two cells", "Three cells", "words", "Naked pair"),
    ("The rules", "Cages", "Boxes", "rule-name", "'Cages No digit"),
    ("The rules", "Puzzle 2", "Puzzle 1", "rule-name", "'Puzzle 2'"),
    ("Puzzles", "Set by Ada Quill", "Set by Ada Quilt", "caption", "the setter, 'Ada Quill'"),
    ("Puzzles", "A Room of", "Room of", "caption", "the title is 'A Room of"),
    ("Puzzles", "Grade 2", "Grade 3", "words", "nothing beside it says 'Grade 2'"),
    ("Puzzles", "the middle", "the corners", "words", "its introduction"),
    ("Puzzles", "corners help less", "less corners help", "words", "its introduction"),
    ("First hints", "the middle rows", "the middle", "words", "the hint does not say"),
    ("Second hints", "the same two", "two", "words", "the hint does not say"),
    ("Third hints", "only two digits", "only ten digits", "words", "the hint does not say"),
    ("Third hints", "A Room", "Room", "caption", "the title is"),
    ("Answers", "A Room", "Room", "caption", "the title is"),
    ("Credits", "Ada Quill, puzzles 1, 2", "Ada Quill, puzzle 1", "caption", "a setter's line"),
    ("Credits", "Ada Quill", "Ida Quill", "caption", "a setter's line in the credits"),
    ("Credits", "All rights", "No rights", "words", "the licence"),
    ("Credits", "proved to have", "said to have", "not-as-planned", ""),
    ("Puzzles", "Two puzzles", "Ten puzzles", "not-as-planned", ""),
]  # fmt: skip


@pytest.mark.parametrize("section, old, new, code, words", TURNED)
def test_each_word_that_is_turned_is_told(
    section: str, old: str, new: str, code: str, words: str
) -> None:
    at = 1 if (section, old) == ("Puzzles", "Grade 2") else 0  # the opener tells grades too
    told(reworded(spoken(), section, old, new, at=at), spoken(), code, words)


def test_words_of_the_pack_that_nobody_printed_are_told() -> None:
    book = spoken()
    asked = replace(book, pack=replace(book.pack, foreword=f"{book.pack.foreword}\n\nOne more."))
    (found,) = read(printed(planned(book)), asked).findings
    assert (found.code, found.page) == ("words", 3)


CAPTIONS: list[tuple[str, str, str, str]] = [
    ("Puzzles", "Low Water", "Low …", "caption"),
    ("Puzzles", "2", "", "grid-unknown"),
    ("Puzzles", "2", "7", "grid-unknown"),
    ("Puzzles", "2", "1", "grid-doubled"),
    ("Answers", "Low Water", "High Water", "caption"),
    ("Answers", "2", "7", "grid-unknown"),
    ("Third hints", "Hint 2", "Hint 7", "grid-unknown"),
    ("Third hints", "Hint 2", "2", "grid-unknown"),
]


@pytest.mark.parametrize("section, old, new, code", CAPTIONS)
def test_a_wrong_caption_is_told(book: Book, plan: Plan, section: str, old: str, new: str,
                                 code: str) -> None:  # fmt: skip
    def caption(item: Item) -> bool:
        return isinstance(item, Text) and item.text == old and item.tag is not FURNITURE

    made = altered(plan, section, caption, lambda i: replace(i, text=new) if new else None)
    told(made, book, code)


# --- the primer ----------------------------------------------------------------------------------


@cache
def taught() -> Book:
    """A lesson with an example, and one in words alone."""
    geometry = blocks(2, 3)
    clues, solution = books.carve(geometry, 77, 14)
    hint = books.hint(geometry, clues, solution, 5)
    lesson = Lesson("naked-pair", "Naked pair", 4, "Two cells, two digits.", "Look for two.",
                    geometry, clues, hint, look=("Take a house.", "Look for twins."),
                    seen=("Both lack the same.",))  # fmt: skip
    words_only = Lesson("sums", "Sums of cages", 3, "Cages add up.", "Add.")
    return replace(books.single(), lessons=(lesson, words_only))


LESSON = taught().lessons[0]
assert LESSON.hint is not None
POSITION, SHOWN = LESSON.hint.position, LESSON.hint.shown


@pytest.mark.parametrize("known", [True, False])
def test_a_primer_passes(known: bool) -> None:
    assert findings(planned(taught()), taught(), known=known) == ()


def letter(cell: int, new: str, *, small: bool = False) -> Callable[[Glyphs], Glyphs]:
    """A letter of glyphs changed, or (with a blank) gone."""

    def change(item: Glyphs) -> Glyphs:
        k = item.cells.index(cell)
        (x, y, _), rest = item.places[k], [*item.places]
        rest[k : k + 1] = [(x, y, new)] if new else []
        cells = item.cells if new else (*item.cells[:k], *item.cells[k + 1 :])
        return replace(item, places=tuple(rest), cells=cells)

    return change


CLUE = next(c for c, v in enumerate(LESSON.clues) if v)
FOUND = next(c for c, v in enumerate(POSITION) if v and not LESSON.clues[c])


@pytest.mark.parametrize(
    "face, change, code",
    [
        ("Semibold", letter(CLUE, str(LESSON.clues[CLUE] % 6 + 1)), "digit-wrong"),
        ("Semibold", letter(CLUE, ""), "digit-missing"),
        ("Light", letter(FOUND, str(POSITION[FOUND] % 6 + 1)), "not-unique"),
        ("small", letter(SHOWN[0][0], ""), "candidate"),
    ],
)
def test_each_fault_of_an_example_is_told(
    face: str, change: Callable[[Glyphs], Glyphs], code: str
) -> None:
    def glyphs(item: Item) -> bool:
        if not isinstance(item, Glyphs) or not item.cells:
            return False
        if face == "small":  # candidates, in the face of clues
            return SHOWN[0][0] in item.cells
        return item.face == f"SourceSansPro-{face}"

    made = altered(planned(taught()), "Primer", glyphs, change)
    assert told(made, taught(), code).puzzle == "primer: naked-pair"


@pytest.mark.parametrize(
    "old, new, code, words",
    [
        ("Sums of cages", "Sums of boxes", "lesson", "'Sums of cages'"),
        ("Look for twins", "Look for three", "words", "Naked pair"),
        ("Cages add up", "Cages add down", "words", "Sums of cages"),
        ("Example", "See here", "not-as-planned", ""),
    ],
)
def test_each_word_of_a_lesson_is_told(old: str, new: str, code: str, words: str) -> None:
    told(reworded(taught(), "Primer", old, new), taught(), code, words)


def test_an_example_that_is_faulty_or_missing_is_told() -> None:
    """The lesson itself may be faulty: the print is proved again, whatever the book says."""
    few = tuple(v if k < 9 else 0 for k, v in enumerate(LESSON.clues))
    assert LESSON.hint
    step = replace(LESSON.hint.step, removes=())
    hint = replace(LESSON.hint, position=few, shown=(), struck=(), step=step)
    faulty = replace(taught(), lessons=(replace(LESSON, clues=few, hint=hint),))
    told(planned(faulty), faulty, "not-unique", "two or more solutions")
    gone = altered(
        planned(taught()), "Primer", lambda i: type(i).__name__ == "Figure", lambda i: None
    )
    told(gone, taught(), "lesson", "the example of 'Naked pair' is not printed")


# --- hidden, or too early ------------------------------------------------------------------------


def test_words_that_are_covered_are_told(book: Book, plan: Plan) -> None:
    white = Fills(((70.0, 235.0, 200.0, 255.0),), "paper")
    told(drawn(plan, "Puzzles", white), book, "hidden-text", "in the file and not in the ink")


def test_an_answer_outside_the_answers_is_told(book: Book, plan: Plan) -> None:
    table = next(i for p in plan.pages if p.section == "Answers" for i in p.items if
                 type(i).__name__ == "Table" and i.summary.startswith("Answer 2"))  # fmt: skip
    told(drawn(plan, "Credits", table), book, "answer-shown", number=2)
    early = in_grid(plan, "Puzzle 2", lambda _: table.items)
    told(early, book, "grid-missing")


# --- pages of notes ------------------------------------------------------------------------------


@cache
def noted() -> Book:
    """Two puzzles in a small layout, of which one has more to say than there is room beside it."""
    whole = books.ruled("inequalities", "cages")
    one, two = whole.entries
    intro = "The harbour master counts the boats, and the boats count on him. " * 6
    puzzle = replace(one.puzzle, intro=intro.strip(), title="Boats that go home at " + "night " * 8)
    pack = replace(whole.pack, layout="gift-card")
    return replace(whole, pack=pack, entries=(replace(one, puzzle=puzzle), two))


def test_a_title_in_two_lines_and_a_page_of_notes_are_read() -> None:
    plan = planned(noted())
    assert [page.section for page in plan.pages].count("Notes") == 1
    assert findings(plan, noted()) == ()


@pytest.mark.parametrize(
    "section, old, new, code, words",
    [
        ("Notes", "harbour master", "harbour mistress", "words", "its introduction"),
        ("Notes", "Puzzle: page", "Puzzle page", "reference-missing", "Puzzles"),
        ("Puzzles", "Notes: page", "Notes, page", "reference-missing", "Notes"),
        ("Puzzles", "night night", "night light", "caption", "the title is"),
    ],
)
def test_each_word_of_them_counts(section: str, old: str, new: str, code: str, words: str) -> None:
    at = 1 if old == "night night" else 0  # the opener has the title too
    told(reworded(noted(), section, old, new, at=at), noted(), code, words)


def test_a_page_of_notes_that_is_not_there_is_told() -> None:
    plan = planned(noted())
    (page,) = (page for page in plan.pages if page.section == "Notes")
    bare = replace(page, items=tuple(item for item in page.items if not isinstance(item, Text)))
    made = replace(plan, pages=tuple(bare if one is page else one for one in plan.pages))
    told(made, noted(), "words", "its introduction")
