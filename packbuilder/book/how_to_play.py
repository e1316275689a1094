"""How to play, in words: all that a pack tells its readers of grids, rules and ideas, said once.

Pages and text edition print the same sentences; what only one of them says, because it has a
picture or has none, stands beside what both say.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from packbuilder import rules
from packbuilder.book.book import Book, Lesson
from packbuilder.book.examples import GRID_EXAMPLES, family, rule_example
from packbuilder.book.wording import numerals, promises, technique_names, technique_rows
from packbuilder.grid import SYMBOLS, Geometry
from packbuilder.ladder.english import in_regions, out_of
from packbuilder.puzzle import BEYOND, Puzzle
from packbuilder.rules.contract import Form, Kind, Wording

TITLE = "How to play"
LEAD = "Every puzzle has exactly one solution, and pure reasoning finds it."
_MOST_TOLD = 20  # numbers and ranges in a note on a page


@dataclass(frozen=True)
class RuleTopic:
    """One rule, as it is told for the puzzles of some numbers."""

    kind: Kind
    wording: Wording
    numbers: tuple[int, ...]


@dataclass(frozen=True)
class Idea:
    """One technique of the pack's hints, named, in a sentence."""

    name: str
    rung: int
    about: str


# --- grids and rules -----------------------------------------------------------------------------


def kinds_of_grid(book: Book) -> list[tuple[Geometry, tuple[int, ...]]]:
    """Each kind of grid with the numbers of its puzzles, in order of first appearance."""
    found: dict[str, tuple[Geometry, list[int]]] = {}
    for entry in book.entries:
        geometry = entry.puzzle.geometry
        found.setdefault(geometry.name(), (geometry, []))[1].append(entry.number)
    return [(geometry, tuple(numbers)) for geometry, numbers in found.values()]


def grid_wording(geometry: Geometry) -> Wording:
    """What is to be written into a kind of grid."""
    n = geometry.size
    digits, each = f"a digit from 1 to {n}", "each of them once"
    if n > 9:
        letters = "the letter A" if n == 10 else f"a letter from A to {SYMBOLS[n]}"
        digits = f"a digit from 1 to 9 or {letters}"
        each = f"all {n} of them once"
    houses, page, text = "every row and every column holds", "", ""
    if geometry.shape:
        high, wide = geometry.shape
        area = f"block of {high} rows and {wide} columns"
        page = "Heavy lines part the blocks."
    elif geometry.regions is not None:
        area = "region"
        page = "Heavy lines part the regions."
        text = (
            "The regions stand below the grid as a picture of small letters: the cells with one "
            "letter are a region."
        )
    if geometry.regions is not None:
        houses = f"every row, every column and every {area} holds"
    means = f"Write {digits} in each empty cell, so that {houses} {each}."
    if geometry.regions is None:
        means += (
            " There are no blocks: cells that touch only at a corner may hold the same digit where "
            "no other rule forbids it."
        )
    return Wording(means, page, text)


def rule_topics(book: Book, form: Form) -> list[RuleTopic]:
    """Each rule in order of first appearance, once for each way in which it is told."""
    found: dict[str, dict[str, tuple[Kind, Wording, list[int]]]] = {}
    for entry in book.entries:
        puzzle = entry.puzzle
        for slug in dict.fromkeys(puzzle.rule_names):
            kind = rules.kinds()[slug]
            wording = kind.wording(rules.parts_of(kind, puzzle.rules), puzzle.size)
            topics = found.setdefault(slug, {})
            topics.setdefault(wording.said(form), (kind, wording, []))[2].append(entry.number)
    return [
        RuleTopic(kind, wording, tuple(numbers))
        for topics in found.values()
        for kind, wording, numbers in topics.values()
    ]


def rule_words(puzzle: Puzzle) -> list[str]:
    """What each rule of a puzzle means, as it stands at the puzzle itself.

    Several are told with their names.
    """
    told: dict[str, str] = {}
    for slug in puzzle.rule_names:
        kind = rules.kinds()[slug]
        told[kind.title] = kind.wording(rules.parts_of(kind, puzzle.rules), puzzle.size).on_page
    return [*told.values()] if len(told) < 2 else [f"{name}: {it}" for name, it in told.items()]


# --- the words of hints --------------------------------------------------------------------------


def names_wording(book: Book) -> Wording:
    """How hints name cells, blocks and houses."""
    geometries = [entry.puzzle.geometry for entry in book.entries]
    words = "A cell goes by its row and its column, counted from the top left: r4c7 is in row 4, "
    words += "column 7."
    if any(geometry.shape for geometry in geometries):
        words += " Blocks are counted like words on a page: block 1 is at the top left."
    if any(family(geometry) == "irregular" for geometry in geometries):
        words += " A region goes by its first cell: the region of r1c1."
    return Wording(
        f"{words} A house is a row, a column or any other set of cells that may not repeat a "
        "digit; the candidates of a cell are the digits that it may still hold."
    )


def grades_wording(book: Book) -> Wording:
    """What a grade is."""
    from packbuilder.ladder.rungs import RUNGS  # late: it loads the ladder

    words = (
        "A grade is the hardest step that the easiest way through a puzzle asks for. Grade 1 is "
        f"seen at a glance; grade {RUNGS} is the highest."
    )
    if any(entry.grade == BEYOND for entry in book.entries):
        words += (
            " A puzzle beyond these grades asks for more than any idea that a grade stands for."
        )
    return Wording(words, page="With each grade one more lozenge is filled.")


def promises_words(book: Book) -> list[str]:
    """What the lines of a puzzle promise: a paragraph for each kind that any puzzle has."""
    made = [line for entry in book.entries for line in promises(entry, book.pack)]
    told = {
        "Turns on": "Turns on: easier ideas alone do not finish the puzzle; with the one that is "
        "named there they do.",
        "Only by": "Only by: with the idea that is named there, easier ones finish the puzzle; "
        "without it, not even all others of its grade do.",
        "No notes": "No notes: you can solve it without writing anything but the digits, if you "
        "keep so many facts in mind at one time; a fact is where a digit can go in a house, or "
        "which digits some cells share.",
        "No clue to spare": "No clue to spare: take away any one of its clues, and the puzzle has "
        "more than one solution.",
    }
    return [words for start, words in told.items() if any(m.startswith(start) for m in made)]


def has_hints(book: Book) -> bool:
    """Whether any puzzle has a hint."""
    return any(entry.hints for entry in book.entries)


HINTS = {
    "page": "Stuck? The first hint says where to look, the second which idea will help, the third "
    "shows the step. Each kind has pages of its own, so that you see no more than you want; page "
    "numbers lead from one to the next.",
    "text": "Stuck? The first hint says where to look, the second which idea will help, the third "
    "tells the step and gives the grid as it stands just before. Each kind has a section of its "
    "own, so that you hear no more than you want; line numbers lead from one to the next.",
}


def ideas(book: Book) -> list[Idea]:
    """The techniques of the pack's hints, easiest first."""
    used: dict[tuple[str, int], set[str]] = {}
    for entry in book.entries:
        for hint in entry.hints:
            kinds = used.setdefault((hint.step.technique, hint.step.rung), set())
            kinds.add(family(entry.puzzle.geometry))
    found = [row for row in technique_rows(book.pack) if (row.slug, row.rung) in used]
    told = []
    for row in found:
        twice = sum(other.slug == row.slug for other in found) > 1 and row.rung > 1
        name = f"{row.name}, in a line" if twice else row.name
        regions = used[row.slug, row.rung] == {"irregular"}  # no blocks to speak of
        about = in_regions(row.about) if regions else row.about
        told.append(Idea(name, row.rung, about))
    return told


def uniqueness_words(book: Book, form: Form) -> str:
    """Which techniques on the pack's paths take a puzzle to have one solution; empty for none."""
    from packbuilder.ladder.table import UNIQUENESS  # late: it loads every technique

    resting = {technique.slug for technique in UNIQUENESS}
    found: dict[str, list[int]] = {}
    for entry in book.entries:
        slugs = {slug for slug, _ in entry.techniques} | {h.step.technique for h in entry.hints}
        for slug in sorted(slugs & resting):
            found.setdefault(slug, []).append(entry.number)
    if not found:
        return ""
    names = technique_names(book.pack)
    told = "; ".join(
        f"{names.get(slug, slug)} ({puzzles_told(numbers, form).lower()})"
        for slug, numbers in found.items()
    )
    return (
        f"These ideas rest on the puzzle having one solution: {told}. That each puzzle has just "
        "one was proved without them."
    )


def puzzles_told(numbers: Sequence[int], form: Form) -> str:
    """``Puzzle 3``, ``Puzzles 3, 5–7``; a page says how many, where they would be a long list."""
    told = numerals(numbers, to="–" if form == "page" else " to ")
    if form == "page" and told.count(",") >= _MOST_TOLD:
        return f"{len(numbers)} puzzles"
    return f"{'Puzzle' if len(numbers) == 1 else 'Puzzles'} {told}"


# --- all of it -----------------------------------------------------------------------------------


def printed_words(book: Book) -> Iterator[tuple[str, str]]:
    """All that the how-to-play and primer pages of a book say: what it is about, and the words.

    In the order in which they are printed; headings, notes, captions and keys of pictures are left
    out. Each of them is a paragraph of a page; pages set quotes and dashes as print has them.
    """
    yield TITLE, LEAD
    shown: set[str] = set()
    for geometry, _ in kinds_of_grid(book):
        kind = family(geometry)
        yield geometry.name(), grid_wording(geometry).said("page")
        if kind not in shown:
            yield geometry.name(), GRID_EXAMPLES[kind].why
        shown.add(kind)
    for topic in rule_topics(book, "page"):
        kind_ = topic.kind
        yield kind_.title, topic.wording.said("page")
        if kind_.slug not in shown:
            example = rule_example(kind_.slug)
            yield from ((kind_.title, words) for words in example.said_with(topic.wording))
        shown.add(kind_.slug)
    yield "Names", names_wording(book).said("page")
    yield "Grades", grades_wording(book).said("page")
    if told := promises_words(book):
        yield "Promises", " ".join(told)
    if has_hints(book):
        yield "Hints", HINTS["page"]
    yield from ((idea.name, idea.about) for idea in ideas(book))
    if words := uniqueness_words(book, "page"):
        yield "Uniqueness", words
    for lesson in book.lessons:
        yield from ((lesson.name, words) for words in _taught(lesson))


def _taught(lesson: Lesson) -> Iterator[str]:
    yield lesson.about
    yield from lesson.look or (lesson.idea,)
    if hint := lesson.hint:
        assert lesson.geometry is not None
        goes = out_of(hint.step, lesson.geometry.size) if hint.step.removes else ""
        yield from (hint.where, *lesson.seen, hint.told.removesuffix(goes).strip())
        if goes and hint.told.endswith(goes):  # under a heading of its own
            yield goes
    if lesson.then:
        yield lesson.then.told
