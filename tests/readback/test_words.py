"""Words in print: of captions, introductions, hints, pages to read; each word counts."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import cache
from types import SimpleNamespace

import pytest

from packbuilder.book import Book, Lesson
from packbuilder.book.lessons import lessons
from packbuilder.plan.items import FURNITURE, Disc, Fills, Glyphs, Item, Plan, Strokes, Text, Trace
from packbuilder.readback import read
from packbuilder.readback.lessons import example_of, trials
from packbuilder.reader.digits import Digit, Filled
from tests.readback import books
from tests.readback.altering import (
    altered,
    drawn,
    findings,
    in_grid,
    of_letter,
    planned,
    printed,
    told,
)


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
    """A lesson with an example and a grid to try, and one in words alone."""
    book = books.single()
    pack = replace(book.pack, needs=("skyscraper",))
    words_only = Lesson("sums", "Sums of cages", 3, "Cages add up.", "Add.")
    return replace(book, lessons=(*lessons(pack), words_only))


LESSON = taught().lessons[0]
assert LESSON.example is not None and LESSON.trial is not None
FIRST, LAST = LESSON.frames[0].hint, LESSON.frames[-1].hint
CLUES, TRIED = LESSON.example.clues, LESSON.trial


@pytest.mark.parametrize("known", [True, False])
def test_a_primer_passes(known: bool) -> None:
    assert findings(planned(taught()), taught(), known=known) == ()


def test_a_grid_to_try_may_have_clues_at_its_left() -> None:
    """Its answer's caption begins over them."""
    book = books.ruled("sandwich")
    pack = replace(book.pack, needs=("sandwich-filling",))
    book = replace(book, pack=pack, lessons=lessons(pack))
    assert [one.slug for one in book.lessons if one.trial] == ["sandwich-filling"]
    assert findings(planned(book), book) == ()


def test_a_grid_to_try_is_known_even_where_a_number_stands_by_it() -> None:
    (entry,) = trials(taught())
    clue = SimpleNamespace(face="SourceSansPro-Semibold", colour=(0.0, 0.0, 0.0))
    digits = tuple(
        Digit(cell, digit, 0.0, 0.0, clue)  # type: ignore[arg-type]
        for cell, digit in enumerate(entry.puzzle.clues)
        if digit
    )
    lattice = SimpleNamespace(size=entry.puzzle.size)
    grid = SimpleNamespace(lattice=lattice, filled=Filled(digits, (), ()))
    for part in (None, 1, 2):
        item = SimpleNamespace(grid=grid, part=part)
        assert example_of(taught(), item) == (entry, None)  # type: ignore[arg-type]


def letter(cell: int, new: str) -> Callable[[Glyphs], Glyphs]:
    """A letter of glyphs changed, or (with a blank) gone."""

    def change(item: Glyphs) -> Glyphs:
        k = item.cells.index(cell)
        (x, y, _), rest = item.places[k], [*item.places]
        rest[k : k + 1] = [(x, y, new)] if new else []
        cells = item.cells if new else (*item.cells[:k], *item.cells[k + 1 :])
        return replace(item, places=tuple(rest), cells=cells)

    return change


CLUE = next(c for c, v in enumerate(CLUES) if v)
FOUND = next(c for c, v in enumerate(FIRST.position) if v and not CLUES[c])
LOST = LAST.struck[0][0]


def has(cell: int) -> Callable[[Item], bool]:
    return lambda item: isinstance(item, Glyphs) and cell in item.cells


def white(text: str) -> Callable[[Item], bool]:
    return lambda item: isinstance(item, Text) and item.ink == "paper" and item.text == text


def slanted(item: Item) -> bool:
    return isinstance(item, Strokes) and all(a != c and b != d for a, b, c, d in item.segments)


def is_rails(item: Item) -> bool:
    return isinstance(item, Trace) and item.round_ends and not item.dash


def is_frame(item: Item) -> bool:
    return isinstance(item, Trace) and item.closed and not item.dash and item.fill is None


@pytest.mark.parametrize(
    "where, change, at, code",
    [
        (has(CLUE), letter(CLUE, str(CLUES[CLUE] % 9 + 1)), 0, "digit-wrong"),
        (has(CLUE), letter(CLUE, ""), 1, "digit-missing"),
        (has(FOUND), letter(FOUND, str(FIRST.position[FOUND] % 9 + 1)), 2, "not-unique"),
        (has(FIRST.shown[0][0]), letter(FIRST.shown[0][0], ""), 0, "candidate"),
        (has(LOST), letter(LOST, ""), 0, "candidate"),
        (slanted, lambda i: None, 1, "struck"),
        (white("A"), lambda i: replace(i, text="B"), 0, "link-drawn"),
        (white("B"), lambda i: None, 2, "link-drawn"),
        (is_rails, lambda i: None, 0, "link-drawn"),
        (is_frame, lambda i: None, 0, "outline"),
        (lambda i: isinstance(i, Disc) and i.width and not i.fill, lambda i: None, 0, "evidence"),
    ],
)
def test_each_fault_of_a_frame_is_told(
    where: Callable[[Item], bool], change: Callable[[Item], Item | None], at: int, code: str
) -> None:
    made = altered(planned(taught()), "Primer", where, change, at=at)
    assert told(made, taught(), code).puzzle == "primer: skyscraper"


@pytest.mark.parametrize(
    "old, new, code, words",
    [
        ("Sums of cages", "Sums of boxes", "lesson", "'Sums of cages'"),
        ("the feet", "the shoes", "words", "Skyscraper"),
        ("Cages add up", "Cages add down", "words", "Sums of cages"),
        ("Conclude", "Include", "lesson", "'2 Conclude'"),
        ("Answer: page", "Answer, page", "reference", "the grid to try of 'Skyscraper'"),
        ("finish this grid", "finish that grid", "words", "Skyscraper"),
    ],
)
def test_each_word_of_a_lesson_is_told(old: str, new: str, code: str, words: str) -> None:
    told(reworded(taught(), "Primer", old, new), taught(), code, words)


def test_a_frame_with_the_number_of_another_is_told() -> None:
    made = altered(planned(taught()), "Primer", white("1"), lambda i: replace(i, text="2"))
    told(made, taught(), "lesson", "frame 1 of 'Skyscraper' is not printed")


def test_a_fault_of_the_grid_to_try_or_of_its_answer_is_told() -> None:
    clue = next(c for c, v in enumerate(TRIED.puzzle.clues) if v)
    empty = next(c for c, v in enumerate(TRIED.puzzle.clues) if not v)
    name = "to try, skyscraper"
    for grid, cell in ((f"Puzzle {name}", clue), (f"Answer {name}", empty)):
        wrong = str(TRIED.solution[cell] % 9 + 1)
        made = of_letter(planned(taught()), grid, cell, lambda i, w=wrong: replace(
            i, places=((*i.places[0][:2], w),)))  # fmt: skip
        assert told(made, taught(), "digit-wrong").puzzle == TRIED.puzzle.id
    made = in_grid(planned(taught()), f"Puzzle {name}", lambda items: ())
    told(made, taught(), "lesson", "the grid to try of 'Skyscraper' is not printed")
    made = in_grid(planned(taught()), f"Answer {name}", lambda items: ())
    told(made, taught(), "lesson", "the answer to the grid to try of 'Skyscraper' is not printed")
    back = altered(planned(taught()), "Answers", *saying("Primer: page", "Primer: page 1"))
    told(back, taught(), "reference", "the answer to the grid to try of 'Skyscraper'")


def test_an_example_that_is_faulty_or_missing_is_told() -> None:
    """The lesson itself may be faulty: the print is proved again, whatever the book says."""
    few = tuple(v if k < 30 else 0 for k, v in enumerate(CLUES))
    assert LESSON.example
    frames = tuple(
        replace(f, hint=replace(f.hint, position=few, shown=(), struck=(), because=(), linked=False,
                                letters=(), step=replace(f.hint.step, removes=(), cells=())))
        for f in LESSON.frames
    )  # fmt: skip
    lesson = replace(LESSON, example=replace(LESSON.example, clues=few), frames=frames)
    faulty = replace(taught(), lessons=(lesson,))
    told(planned(faulty), faulty, "not-unique", "two or more solutions")
    gone = altered(
        planned(taught()), "Primer", lambda i: type(i).__name__ == "Figure", lambda i: None
    )
    told(gone, taught(), "lesson", "frame 1 of 'Skyscraper' is not printed")


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
    """Three puzzles in a small layout; one has more to say than there is room beside it."""
    whole = books.plain()
    one, *others = whole.entries
    intro = "The harbour master counts the boats, and the boats count on him. " * 6
    puzzle = replace(one.puzzle, intro=intro.strip(), title="Boats that go home at " + "night " * 8)
    pack = replace(whole.pack, layout="four-up", paper="letter")
    return replace(whole, pack=pack, entries=(replace(one, puzzle=puzzle), *others))


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
