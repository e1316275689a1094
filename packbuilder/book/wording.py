"""Facts of a puzzle in words, for all that print: pages, their tags, and the text edition."""

from __future__ import annotations

import re
from collections.abc import Iterable

from packbuilder import rules
from packbuilder.book.book import Entry
from packbuilder.grid import Geometry, cell_name
from packbuilder.puzzle import Pack, Puzzle
from packbuilder.rules.contract import Clue, Row, Told
from packbuilder.rules.shapes import Outside


def promises(entry: Entry, pack: Pack) -> list[str]:
    """What the manifest promises of a puzzle and its solver should know beforehand."""
    promise, found = entry.puzzle.promise, []
    needs = dict.fromkeys((*pack.needs, *promise.needs))
    theme = [slug for slug in needs if slug not in promise.only]
    spoil = entry.puzzle.spoil
    names = technique_names(pack) if spoil and (theme or promise.only) else {}
    for words, slugs in (("Turns on", theme), ("Only by", promise.only)):
        if slugs and spoil:
            told = ", ".join(small(names.get(slug, slug.replace("-", " "))) for slug in slugs)
            found.append(f"{words}: {told}")
    if promise.no_notes is not None:
        most = f"at most {promise.no_notes} in mind" if promise.no_notes else "nothing in mind"
        found.append(f"No notes: {most}")
    if promise.minimal:
        found.append("No clue to spare")
    return found


def rule_titles(puzzle: Puzzle) -> list[str]:
    """The titles of its rules, as print has them.

    Where several have numbers outside the grid, with what tells them: ``Sightlines (ringed)``.
    """
    kinds = [rules.kinds()[slug] for slug in puzzle.rule_names]
    shapes = {kind.slug: [shape for part in rules.parts_of(kind, puzzle.rules)
                          for shape in part.shapes() if isinstance(shape, Outside)]
              for kind in kinds}  # fmt: skip
    several = sum(map(bool, shapes.values())) > 1
    ringed = {slug for slug, some in shapes.items() if several and any(s.ringed for s in some)}
    return [f"{kind.title} (ringed)" if kind.slug in ringed else kind.title for kind in kinds]


ENTRY_LETTERS = "Entry letters"
"""What a screen reader and the text edition call the letters in a puzzle's cells."""


def entry_words(entry: Entry) -> str:
    """How solvers of a puzzle with letters enter; "" for any other."""
    letters = [corner.text for corner in entry.lettered]
    if not letters:
        return ""
    return f"To enter: the digits in {letters[0]} to {letters[-1]}, in order"


def entry_cells(entry: Entry) -> list[str]:
    """``A: r4c5``, a letter each, in their order."""
    return [f"{s.text}: {cell_name(s.cell, entry.puzzle.size)}" for s in entry.lettered]


def answered(puzzle: Puzzle, pack: Pack) -> list[str]:
    """``How long it took: two evenings``: what its setter says to the pack's questions."""
    questions = dict(pack.questions)
    return [_said(questions[name], answer) for name, answer in puzzle.answers]


def _said(question: str, answer: str) -> str:
    return f"{question}{' ' if question.endswith(('?', ':')) else ': '}{answer}"


def technique_rows(pack: Pack) -> list[Row]:
    """All techniques that a pack may use, easiest first: the ladder's and those of rules."""
    from packbuilder.ladder.overrides import chosen  # late: it loads every technique
    from packbuilder.ladder.puzzle_ladder import rule_rows

    ladder = chosen(pack.ladder, pack.assume_unique)
    own = [Row(t.slug, t.name, t.rung, t.weight, t.about, t.idea) for t in ladder.techniques]
    return sorted((*own, *rule_rows()), key=lambda row: (row.rung, row.slug in ladder.slugs))


def technique_names(pack: Pack) -> dict[str, str]:
    """The name of each technique, by slug, as the pack's own ladder has it."""
    return {row.slug: row.name for row in reversed(technique_rows(pack))}


MONTHS = ("January", "February", "March", "April", "May", "June", "July", "August", "September",
           "October", "November", "December")  # fmt: skip
"""Not the calendar module's, which follow the user's locale."""


def month_name(issue: str) -> str:
    """``December 2026`` for ``2026-12``; other texts stay as they are."""
    found = re.fullmatch(r"(\d{4})-(0[1-9]|1[0-2])", issue.strip())
    return f"{MONTHS[int(found[2]) - 1]} {found[1]}" if found else issue


def small(name: str) -> str:
    """A name inside a line: ``hidden triple``, but ``X-wing``."""
    return name[:1].lower() + name[1:] if name[1:2].islower() else name


def numerals(numbers: Iterable[int], to: str = "–") -> str:
    """``1–4, 7, 9`` for the numbers of puzzles, in order; ``to`` joins the ends of a range."""
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    told: list[str] = []
    for run in runs:
        told += [f"{run[0]}{to}{run[-1]}"] if len(run) > 2 else [str(number) for number in run]
    return ", ".join(told)


def region_letters(geometry: Geometry) -> str:
    """The regions of an irregular grid, a small letter a cell, in reading order of first cells.

    Empty for a grid of blocks, or of rows and columns alone.
    """
    regions = geometry.regions or ()
    if geometry.shape:
        return ""
    letters = {region: chr(ord("a") + k) for k, region in enumerate(dict.fromkeys(regions))}
    return "".join(letters[region] for region in regions)


def in_a_line(told: Iterable[Told], size: int) -> str:
    """Clues of a rule one after the other: ``cage 15: r1c1 r1c2; cage 3: r2c1``."""
    clues = (
        f"{one.label}: {one.words}" if isinstance(one, Clue) else rows_in_a_line(one.letters, size)
        for one in told
    )
    return "; ".join(clues)


def rows_in_a_line(letters: str, size: int) -> str:
    """A picture of letters row by row: ``r1 a a b; r2 a b b``."""
    rows = (" ".join(letters[k : k + size]) for k in range(0, size * size, size))
    return "; ".join(f"r{k} {row}" for k, row in enumerate(rows, start=1))
