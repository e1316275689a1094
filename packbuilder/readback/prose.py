"""Cover, foreword, how to play, primer, credits: word for word as the book has them."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

from packbuilder.book import Book
from packbuilder.book.cover import FOLDING, ON_COVER, count_told, cover_picture, grades_told
from packbuilder.book.how_to_play import printed_words, puzzles_told, rule_entries
from packbuilder.book.wording import numerals
from packbuilder.readback.report import Finding
from packbuilder.readback.words import grade_in_words
from packbuilder.reader.pages import SeenPage
from packbuilder.reader.text import (
    ANSWERS,
    BACK_COVER,
    COVER,
    CREDITS,
    FOREWORD,
    FULL_PACK,
    HOW_TO_PLAY,
    IDEAS,
    PRIMER,
    RULES,
    body,
    columns,
    plain,
)

PROSE = (COVER, FOREWORD, HOW_TO_PLAY, PRIMER, RULES, IDEAS, ANSWERS, FULL_PACK, CREDITS,
         BACK_COVER)  # fmt: skip
"""The sections that are read for their words."""

Told = Sequence[str]
"""What a page says: the words of each of its columns."""


class Due(NamedTuple):
    """Words that a reader is to find in a section; ``code`` is what it is a fault of."""

    section: str
    code: str
    what: str
    words: str


def told_on(page: SeenPage) -> Told:
    """What a page says between its head and its foot; of the cover, all. Rows are read across."""
    if page.section == FULL_PACK:
        return [plain("".join(r.text for r in body(page.runs))), *columns(body(page.runs))]
    return columns(page.runs if page.section in (COVER, BACK_COVER) else body(page.runs))


def check_prose(
    told: Mapping[str, Sequence[Told]], book: Book, first: Mapping[str, int]
) -> Iterator[Finding]:
    """All that is due is printed whole, in one column, or from one page over to the next ones.

    ``told`` is what the pages of sections say, ``first`` the first page of each.
    """
    for section, code, what, words in _due(book):
        if not _is_told(plain(words), told.get(section, ())):
            some = f"{words[:60]}…" if len(words) > 60 else words
            told_ = f"{what} is not printed word for word: {some!r}"
            yield Finding(code, told_, first.get(section))


def _is_told(due: str, pages: Sequence[Told]) -> bool:
    """Whether words stand in a column, or begin at the end of one, fill columns of the pages that
    follow, and end at the head of one."""
    if any(due in text for page in pages for text in page):
        return True
    begun: set[str] = set()  # what is still to come
    for page in pages:
        if any(text.startswith(rest) for rest in begun for text in page):
            return True
        begun = {
            *(rest[len(text) :] for rest in begun for text in page if rest.startswith(text)),
            *(due[k:] for k in range(1, len(due)) for text in page if text.endswith(due[:k])),
        }
    return False


def _due(book: Book) -> Iterator[Due]:
    pack = book.pack
    yield Due(COVER, "caption", "the pack's title", pack.title)
    yield Due(COVER, "words", "the theme", pack.theme)
    yield Due(COVER, "caption", "the byline", pack.byline)
    count = f"{count_told(book)}, {grades_told(book)}"
    yield Due(COVER, "words", "how many puzzles there are, and how hard", count)
    if picture := cover_picture(book):
        yield Due(COVER, "words", "what the cover's picture is", picture.about)
        yield Due(COVER, "words", "the cover's riddle", picture.riddle)
        answer = f"{ON_COVER} {picture.answer}"
        yield Due(ANSWERS, "words", "the answer of the cover's riddle", answer)
    for part in re.split(r"\n\s*\n", pack.foreword) if pack.foreword.strip() else ():
        yield Due(FOREWORD, "words", "the foreword", part)
    for rule in rule_entries(book, "page"):
        title, told_ = rule.kind.title, puzzles_told(rule.numbers, "page")
        if book.whole:
            yield Due(HOW_TO_PLAY, "rule-name", "a rule's heading", f"{title} {told_}")
        else:
            yield Due(RULES, "rule-name", "a rule's heading", f"{title} {rule.told[0]}")
            yield Due(RULES, "rule-name", f"whose rule {title!r} is", told_)
    for section, name, words in printed_words(book):
        yield Due(section, "words", name, words)
    for lesson in book.lessons:
        yield Due(PRIMER, "lesson", "the name of a lesson", lesson.name)
        for k, frame in enumerate(lesson.frames, start=1):
            yield Due(PRIMER, "lesson", "the title of a frame", f"{k} {frame.title}")
    if book.edition.folded:
        yield Due(BACK_COVER, "caption", "the pack's title", pack.title)
        yield Due(BACK_COVER, "words", "how the booklet is folded", FOLDING)
    last = ANSWERS if book.whole else CREDITS
    for words in setters_lines(book):
        yield Due(last, "caption", "a setter's line in the credits", words)
    yield Due(last, "words", "the licence", pack.licence)
    if book.whole and pack.link:
        yield Due(FULL_PACK, "words", "the link to the full pack", pack.link)
    for entry in book.whole:
        puzzle = entry.puzzle
        words = f"{entry.number} {puzzle.title} {puzzle.setter} {grade_in_words(entry.grade)}"
        yield Due(FULL_PACK, "caption", "a puzzle of the full pack", words)


def setters_lines(book: Book) -> Iterator[str]:
    """What the credits say of each setter."""
    setters: dict[str, list[int]] = {}
    for entry in book.entries:
        setters.setdefault(entry.puzzle.setter, []).append(entry.number)
    for setter, numbers in setters.items():
        which = "puzzle" if len(numbers) == 1 else "puzzles"
        yield f"{setter}, {which} {numerals(numbers)}"
