"""The words of an item against the book: titles, setters, introductions, hints, names of rules."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from packbuilder.book.book import Entry
from packbuilder.book.how_to_play import card_words, rule_words
from packbuilder.book.wording import entry_words, rule_titles
from packbuilder.puzzle import BEYOND, Grade, Pack, Puzzle
from packbuilder.readback.lessons import TRIED
from packbuilder.readback.match import Match
from packbuilder.readback.report import Finding
from packbuilder.readback.rule_ways import goals_of
from packbuilder.reader.pages import ALIGNED, SeenItem, SeenPage
from packbuilder.reader.text import (
    ANSWERS,
    PUZZLES,
    TIERS,
    Run,
    beyond_number,
    body,
    caption_in,
    columns,
    plain,
    says,
)

LABEL = "Rules:"
AFTER_RULES = ("Turns on:", "No notes:", "No clue to spare", "First hint:", "Answer:", "Notes:")
"""What may stand below the names of rules, or below what they mean."""

_GRADE = re.compile(r" (Grade|Beyond) \d+$")


def check_words(match: Match, page: SeenPage, pack: Pack) -> Iterator[Finding]:
    """Titles and setters are the manifest's; what stands beside a puzzle is its own."""
    item, puzzle = match.item, match.entry.puzzle
    here = [run for run in page.runs if item.holds(run.x0, run.y)]
    if item.section in (PUZZLES, TIERS[2], ANSWERS):
        edge = match.item.box[2] if match.item.section == TIERS[2] else float("inf")
        first = (run for run in here if here[0].y - run.y <= 0.5 and run.x0 < edge)
        line = " ".join(run.text for run in first)  # beside a hint its own words may stand
        title, cut = beyond_number(line), item.section != PUZZLES
        whole = [title, _GRADE.sub("", title)]
        if item.section == PUZZLES:
            whole += [f"{start} {_second_line(match, here)}" for start in whole]
        due = puzzle.title if match.entry.number else f"{TRIED} {puzzle.title}"
        if not any(says(printed, due, cut=cut) for printed in whole):
            words = f"the caption reads {line[:60]!r}; the title is {puzzle.title!r}"
            yield match.finding("caption", words)
    if item.section != PUZZLES:
        return
    if not any(plain(puzzle.setter) in text for text in columns(here)):
        yield match.finding("caption", f"nothing beside it names the setter, {puzzle.setter!r}")
    grade = grade_in_words(match.entry.grade)
    if not any(grade in run.text for run in here):
        yield match.finding("words", f"nothing beside it says {grade!r}")
    if letters := [corner.text for corner in match.entry.lettered]:
        due = f"the digits in {letters[0]} to {letters[-1]}, in order"
        if not any(plain(due) in text for text in columns(here)):
            yield match.finding("entry-letter", f"nothing beside it asks for {due}")
    yield from _check_names(match, page)
    if not all(_means(match.entry, pack, text) for text in _below_grid(match, page)):
        yield match.finding("words", "what its rules mean is not told word for word")


def _below_grid(match: Match, page: SeenPage) -> list[str]:
    """The words below the upper edge of a puzzle's grid, column by column, without the lines to
    write on."""
    here = [run for run in page.runs if match.item.holds(run.x0, run.y)]
    top, labels = _top(match, here), [run for run in here if _is_label(run, page)]
    return columns(
        run
        for run in body(page.runs)
        if run in here
        and run.y < top
        and not any(abs(run.x0 - label.x0) < ALIGNED and run.y <= label.y for label in labels)
    )


def tells_its_rules(match: Match, page: SeenPage) -> bool:
    """Whether what a puzzle's rules mean, if it has any, stands beside it."""
    puzzle = match.entry.puzzle
    if not puzzle.rule_names:
        return True
    means = _meanings(puzzle)
    return any(some in text for some in means for text in _below_grid(match, page))


def _meanings(puzzle: Puzzle) -> list[str]:
    """What may stand beside a puzzle of what its rules mean, without blanks."""
    told = (rule_words(puzzle, look=True), rule_words(puzzle), card_words(puzzle))
    return [plain("".join(words)) for words in told]


def _is_label(run: Run, page: SeenPage) -> bool:
    """Whether a line to write on begins right behind words."""
    return any(
        abs(s.y0 - s.y1) < 0.1 and abs(s.y0 - run.y) < run.size / 2 and 0 < s.x0 - run.x1 < run.size
        for drawing in page.marks.drawings
        for s in drawing.strokes()
    )


def _second_line(match: Match, here: Sequence[Run]) -> str:
    """What stands below the first line of a caption and above its grid."""
    top = _top(match, here)
    return " ".join(run.text for run in here if top <= run.y < here[0].y - 0.5)


def _top(match: Match, here: Sequence[Run]) -> float:
    """The upper edge of an item's grid, with its bands; its first line, where it has no grid."""
    grid = match.item.grid
    return grid.drawn.reach(grid.lattice)[3] if grid else here[0].y


def check_said(match: Match, page: SeenPage, pack: Pack) -> Iterator[Finding]:
    """What is said of a puzzle stands with it, or all of it on a page of notes."""
    item, puzzle = match.item, match.entry.puzzle
    here = [run for run in page.runs if item.holds(run.x0, run.y)]
    said = [("introduction", puzzle.intro or "")]
    said += [("setter's answer", words) for words in answers_of(puzzle, pack)]
    for what, words in said:
        if not any(plain(words) in text for text in columns(here)):
            yield match.finding("words", f"its {what} is not printed word for word")


def _means(entry: Entry, pack: Pack, text: str) -> bool:
    """Whether a column that names the rules goes on with what they mean, if it says so at all."""
    puzzle = entry.puzzle
    names = plain(f"{LABEL} {', '.join(rule_titles(puzzle))}")
    rests = [text[found.end() :] for found in re.finditer(re.escape(names), text)]
    own = (puzzle.intro or "", puzzle.link or "", *answers_of(puzzle, pack), entry_words(entry),
           f"Set by {puzzle.setter}", pack.title)  # fmt: skip
    onward = (f"{label}: page" for label in goals_of(entry))
    after = (*own, *AFTER_RULES, *onward)
    goes_on = (*_meanings(puzzle), *(plain(words) for words in after if words))
    # a setter may be called as the rules are
    return not puzzle.rule_names or not rests or any(
        not rest or rest.startswith(goes_on) for rest in rests
    )  # fmt: skip


def answers_of(puzzle: Puzzle, pack: Pack) -> Iterator[str]:
    """What its setter says to the pack's questions, each with the question before it."""
    questions = dict(pack.questions)
    for name, answer in puzzle.answers:
        question = questions[name]
        yield f"{question}{'' if question[-1] in '?:' else ':'} {answer}"


def grade_in_words(grade: Grade) -> str:
    """How a grade begins in words."""
    return "Beyond" if grade == BEYOND else f"Grade {grade}"


def check_hint_words(match: Match, page: SeenPage, later: str) -> Iterator[Finding]:
    """A hint says what the book's hint says. ``later`` are words that go on on the next page."""
    item, hint = match.item, match.hint
    if hint is None:
        return
    tier = TIERS.index(item.section)
    words = (hint.where, hint.idea, hint.caption)[tier]
    printed = item.text if tier < 2 else f"{_two_columns(item, page)} {later}"
    if plain(words) not in plain(printed):
        yield match.finding("words", f"the hint does not say {words.strip()[:60]!r}")


def _two_columns(item: SeenItem, page: SeenPage) -> str:
    """The text of an item above the page's foot: as wide as its grid, then what goes on beside."""
    here = [run for run in body(page.runs) if item.holds(run.x0, run.y)]
    ordered = sorted(here, key=lambda run: run.x0 >= item.box[2])
    return " ".join(run.text for run in ordered)


def words_at_the_head(page: SeenPage) -> str:
    """What stands above all captions of a page of third hints: words that began on the last one."""
    words = []
    for run in page.runs[1:]:  # the first is the running head
        if caption_in(run, hint=True):
            break
        words.append(run.text)
    return " ".join(words)


# --- names of rules ------------------------------------------------------------------------------


def names_beside(item: SeenItem, page: SeenPage) -> list[str]:
    """The names that stand behind ``Rules:`` in a puzzle's place.

    A line that ends in a comma goes on in the next one below. Words that the pack has itself, such
    as the title of a puzzle, are taken for it only where there are no others.
    """
    beside = [run for run in body(page.runs) if item.holds(run.x0, run.y)]
    named = [run for run in beside if run.text.startswith(LABEL)]
    start = next((run for run in named if run in page.leads), named[0] if named else None)
    if start is None:
        return []
    line, text = start, start.text.removeprefix(LABEL)
    while text.endswith(","):
        after = _below(line, beside)
        if after is None:
            break
        line, text = after, text + after.text
    return [name.strip() for name in text.split(",") if name.strip()]


def _below(line: Run, runs: Sequence[Run]) -> Run | None:
    under = [r for r in runs if r.y < line.y - 0.5 and abs(r.x0 - line.x0) < ALIGNED]
    return max(under, key=lambda r: r.y, default=None)


def _check_names(match: Match, page: SeenPage) -> Iterator[Finding]:
    """The names beside a puzzle are the titles of its rules, in the manifest's order."""
    due = rule_titles(match.entry.puzzle)
    found = names_beside(match.item, page)
    if [plain(name) for name in found] != [plain(title) for title in due]:
        yield match.finding(
            "rule-name",
            f"the rules named beside it are {_listed(found)}; the manifest has {_listed(due)}",
        )


def _listed(names: Sequence[str]) -> str:
    return ", ".join(repr(name) for name in names) or "none"
