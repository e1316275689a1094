"""How to play: all that a pack tells its readers of grids, rules and ideas, said once.

Pages and text edition print the same sentences; what only one of them says, because it has a
picture or has none, stands beside what both say.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import NamedTuple

from packbuilder import rules
from packbuilder.book.book import Book, Entry
from packbuilder.book.pictures import Picture, family, pictures, whole_grid
from packbuilder.book.wording import numerals, promises, technique_names, technique_rows
from packbuilder.grid import SYMBOLS, Geometry, blocks, latin
from packbuilder.ladder.english import in_regions
from packbuilder.puzzle import BEYOND, Puzzle
from packbuilder.rules.cases import Choices
from packbuilder.rules.contract import Form, Kind, Wording

TITLE = "How to play"
LEAD = "Every puzzle has exactly one solution, and pure reasoning finds it."
RULES, RULES_LEAD = "The rules", "Each with a case that is right and one that is wrong."
IDEAS, IDEAS_LEAD = "Ideas in the hints", "What second hints speak of, the easiest first."
PRIMER = "Primer"
_MOST_TOLD = 20  # numbers and ranges in a note on a page


@dataclass(frozen=True)
class RuleTopic:
    """One rule, as it is told for the puzzles of some numbers."""

    kind: Kind
    wording: Wording
    numbers: tuple[int, ...]


@dataclass(frozen=True)
class RuleEntry:
    """One rule of a pack: what it means, for all its puzzles, and what is shown of it.

    ``told`` has a paragraph for each way in which it is worded.
    """

    kind: Kind
    numbers: tuple[int, ...]
    told: tuple[str, ...]
    pictures: tuple[Picture, ...]
    choices: Choices | None


@dataclass(frozen=True)
class Idea:
    """One technique of the pack's hints, named, in a sentence."""

    name: str
    rung: int
    about: str


# --- grids and rules -----------------------------------------------------------------------------


def kinds_of_grid(book: Book) -> list[tuple[Geometry, tuple[int, ...]]]:
    """Each kind of grid with the numbers of its puzzles: the usual one first, then as they appear.

    The usual one is 9x9; where there is none, the kind with blocks that most puzzles have.
    """
    found: dict[str, tuple[Geometry, list[int]]] = {}
    for entry in book.entries:
        geometry = entry.puzzle.geometry
        found.setdefault(geometry.name(), (geometry, []))[1].append(entry.number)

    def rank(kind: tuple[Geometry, list[int]]) -> tuple[bool, bool, int]:
        geometry, numbers = kind
        return geometry.shape == (3, 3), geometry.shape is not None, len(numbers)

    first = max(found.values(), key=rank, default=None)
    return [
        (geometry, tuple(numbers))
        for geometry, numbers in sorted(found.values(), key=lambda kind: kind is not first)
    ]


def difference(geometry: Geometry, first: Geometry) -> str:
    """What is other in a kind of grid than in the one that is told first."""
    n, same = geometry.size, family(geometry) == family(first)
    digits = f"the digits from 1 to {n}"
    if n > 9:
        letters = "the letter A" if n == 10 else f"the letters from A to {SYMBOLS[n]}"
        digits = f"the digits from 1 to 9 and {letters}"
    if geometry.shape:
        high, wide = geometry.shape
        return f"The same with {digits}, and blocks of {high} rows and {wide} columns."
    if geometry.regions is not None:
        areas = "regions" if same or not first.shape else "regions in place of blocks"
        return f"The same with {digits}, and {areas}. Heavy lines part them."
    return f"The same with {digits}." + (f" {_NO_BLOCKS}" if not same else "")


_NO_BLOCKS = (
    "There are no blocks: cells that touch only at a corner may hold the same digit where no other "
    "rule forbids it."
)


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
        means += f" {_NO_BLOCKS}"
    return Wording(means, page, text)


def rule_topics(book: Book, form: Form) -> list[RuleTopic]:
    """Each rule in order of first appearance, once for each way in which it is told."""
    found: dict[str, dict[str, tuple[Kind, Wording, list[int]]]] = {}
    for entry in book.entries:
        puzzle = entry.puzzle
        for slug in puzzle.rule_names:
            kind = rules.kinds()[slug]
            wording = kind.wording(rules.parts_of(kind, puzzle.rules), puzzle.size)
            topics = found.setdefault(slug, {})
            topics.setdefault(wording.said(form), (kind, wording, []))[2].append(entry.number)
    return [
        RuleTopic(kind, wording, tuple(numbers))
        for topics in found.values()
        for kind, wording, numbers in topics.values()
    ]


def rule_entries(book: Book, form: Form) -> list[RuleEntry]:
    """Each rule in order of first appearance, shown in the kind of grid that is usual
    for it.

    Where it is told in several ways, each says for which puzzles.
    """
    entries = []
    for kind, topics in groupby(rule_topics(book, form), lambda topic: topic.kind):
        ways = list(topics)
        told = [way.wording.said(form) for way in ways]
        if len(ways) > 1:
            numbers = (puzzles_told(way.numbers, form) for way in ways)
            told = [f"{which}: {words}" for which, words in zip(numbers, told, strict=True)]
        puzzles = [e.puzzle for e in book.entries if kind.slug in e.puzzle.rule_names]
        geometry = Counter(_plain(puzzle.geometry) for puzzle in puzzles).most_common(1)[0][0]
        parts = rules.parts_of(kind, [part for puzzle in puzzles for part in puzzle.rules])
        cases = kind.cases(parts, geometry)
        choices = cases.aside if isinstance(cases.aside, Choices) else None
        numbers_ = tuple(sorted(number for way in ways for number in way.numbers))
        shown = pictures(kind, cases, geometry)
        entries.append(RuleEntry(kind, numbers_, tuple(told), shown, choices))
    return entries


def _plain(geometry: Geometry) -> Geometry:
    """A grid's rows, columns and blocks, without whatever houses its rules give it."""
    return blocks(*geometry.shape) if geometry.shape else latin(geometry.size)


def rule_words(puzzle: Puzzle, *, look: bool = False) -> list[str]:
    """What each rule of a puzzle means, as it stands at the puzzle itself; and what it looks like,
    where there is room for that.

    Several are told with their names.
    """
    told: dict[str, str] = {}
    for slug in puzzle.rule_names:
        kind = rules.kinds()[slug]
        wording = kind.wording(rules.parts_of(kind, puzzle.rules), puzzle.size)
        told[kind.title] = wording.said("page") if look else wording.on_page
    return [*told.values()] if len(told) < 2 else [f"{name}: {it}" for name, it in told.items()]


def card_words(puzzle: Puzzle) -> list[str]:
    """The same on a card that goes to someone without the pack: a sentence for each rule; what
    every puzzle asks, where there is none."""
    if puzzle.rule_names:
        return [rules.kinds()[slug].about for slug in puzzle.rule_names]
    geometry = puzzle.geometry
    last = SYMBOLS[puzzle.size] if puzzle.size <= 9 else f"9 and A to {SYMBOLS[puzzle.size]}"
    area = "block" if geometry.shape else "region"
    houses = "row and column" if geometry.regions is None else f"row, column and {area}"
    return [f"Each {houses} holds 1 to {last}."]


def card_answer(entry: Entry) -> str:
    """``Answer to 12: 3142 ...``: as it stands, row by row, at the foot of another card."""
    n, digits = entry.puzzle.size, [SYMBOLS[digit] for digit in entry.solution]
    rows = ("".join(digits[k : k + n]) for k in range(0, n * n, n))
    return f"Answer to {entry.number}: {' '.join(rows)}"


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


RULES_TOLD = {
    "page": "Beside a puzzle with a rule of its own stands what the rule means. Behind the puzzles "
    "all rules stand once more, with pictures of what is right and what is wrong.",
    "text": "With a puzzle that has a rule of its own stands what the rule means. Behind the "
    "puzzles all rules stand once more, with a case that is right and one that is wrong.",
}

HINTS = {
    "page": "Stuck? The first hint says where to look, the second which idea will help, the third "
    "shows the step. Each kind has pages of its own, so that you see no more than you want; page "
    "numbers lead from one to the next.",
    "text": "Stuck? The first hint says where to look, the second which idea will help, the third "
    "tells the step and gives the grid as it stands just before. Each kind has a section of its "
    "own, so that you hear no more than you want; line numbers lead from one to the next. Of "
    "hints 2.1, 2.2 and so on, the first that tells you something new is yours.",
}

TYPING = (
    "Type a digit into the middle of its cell. The strip along the top of a cell takes notes, as "
    "many small digits as there are. Save the file, and what you typed is kept."
)
"""Where cells can be typed into."""


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


class Printed(NamedTuple):
    """Words that a section prints, as a paragraph, and what they are about."""

    section: str
    about: str
    words: str


def printed_words(book: Book) -> Iterator[Printed]:
    """All that the pages that teach say: how to play, the rules, the ideas, the primer.

    In the order in which they are printed; headings, notes, captions and keys of the primer's
    pictures are left out. Pages set quotes and dashes as print has them.
    """
    yield Printed(TITLE, TITLE, LEAD)
    yield from (Printed(TITLE, about, words) for about, words in common_words(book))
    rules_told, found = rule_entries(book, "page"), ideas(book)
    if book.whole:  # a sampler, which has few pages
        yield from (Printed(TITLE, e.kind.title, words) for e in rules_told for words in e.told)
        rules_told = []
    if rules_told:
        yield Printed(RULES, RULES, RULES_LEAD)
    for entry in rules_told:
        said = [*entry.told, *(picture.words for picture in entry.pictures)]
        if entry.choices:
            columns = zip(entry.choices.heads, *entry.choices.rows, strict=True)
            said += [" ".join(column) for column in columns]
        yield from (Printed(RULES, entry.kind.title, words) for words in said)
    if found:
        yield Printed(IDEAS, IDEAS, IDEAS_LEAD)
    yield from (Printed(IDEAS, idea.name, idea.about) for idea in found)
    if words := uniqueness_words(book, "page"):
        yield Printed(IDEAS if has_hints(book) else TITLE, "Uniqueness", words)
    for lesson in book.lessons:
        yield from (Printed(PRIMER, lesson.name, words) for words in lesson.said)


def common_words(book: Book) -> Iterator[tuple[str, str]]:
    """What the pages of how to play say under their headings."""
    (first, _), *others = kinds_of_grid(book)
    yield first.name(), grid_wording(first).said("page")
    yield first.name(), whole_grid(first).words
    yield from ((geometry.name(), difference(geometry, first)) for geometry, _ in others)
    if rule_topics(book, "page") and not book.whole:
        yield "Rules", RULES_TOLD["page"]
    yield "Names", names_wording(book).said("page")
    yield "Grades", grades_wording(book).said("page")
    if told := promises_words(book):
        yield "Promises", " ".join(told)
    if has_hints(book):
        yield "Hints", HINTS["page"]
    if book.edition.fields:
        yield "Typing", TYPING
