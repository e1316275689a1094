"""Whether a table's summary says its grid and its rules, part by part, and nothing besides."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from packbuilder import rules
from packbuilder.book.book import Entry
from packbuilder.grid import Geometry
from packbuilder.puzzle import Puzzle
from packbuilder.readback.parts import parts_amiss
from packbuilder.rules.contract import Clue, Picture, RuleFault, Told
from packbuilder.rules.houses import without_houses

REGIONS = "Regions, a letter each"


def summary_faults(told: str, entry: Entry, kind: str, *, whole: bool) -> Iterator[str]:
    """What is wrong with a summary, in words.

    ``kind`` is what the grid is of: a puzzle, a hint, an answer. Only that of a puzzle tells, as
    a ``whole`` one, its regions and the clues of its rules too.
    """
    puzzle = entry.puzzle
    parts = "; ".join(part.name(puzzle.size) for part in puzzle.rules)
    head = f"{kind} {entry.number}: {puzzle.geometry.name()}."
    for due in (head, f"Rules: {parts}.") if parts else (head,):
        begins = re.compile(re.escape(due).replace(r"\ ", r"\s+"), re.IGNORECASE)
        found = begins.match(told.strip())
        if not found:
            yield f"does not tell {due!r} where it must"
            return
        told = told.strip()[found.end() :]
    rest = told.strip()
    if rest and not whole:
        yield f"goes on with {rest[:40]!r}"
    elif whole:
        yield from _amiss_clues(rest, puzzle)


def _amiss_clues(rest: str, puzzle: Puzzle) -> Iterator[str]:
    """What is wrong with the clues of its rules and its regions, as they are told."""
    kinds = {rules.kinds()[slug].title: rules.kinds()[slug] for slug in puzzle.rule_names}
    odd = puzzle.geometry.regions is not None and not puzzle.geometry.shape
    titles = ([REGIONS] if odd else []) + list(kinds)
    told, stray = _topics(rest, titles)
    if stray:
        yield f"tells {stray[:40]!r}, which is none of its rules"
        return
    if odd and not _same_regions(told.get(REGIONS, ""), puzzle.geometry):
        yield "does not tell the regions of its grid"
    base = without_houses(puzzle.geometry, puzzle.rules)
    for title, kind in kinds.items():
        words = told.get(title, "")
        try:
            heard = kind.parse(list(clues_in_a_line(words, puzzle.size)), base)
        except RuleFault as fault:
            yield f"tells {title!r} in words that mean no clue: {fault.what}"
            continue
        for _, amiss in parts_amiss(heard, rules.parts_of(kind, puzzle.rules), puzzle.size):
            yield f"tells {title!r} otherwise: {amiss}"


def _topics(rest: str, titles: Sequence[str]) -> tuple[dict[str, str], str]:
    """The words under each title, in order; and what stands under none or comes twice."""
    if not rest:
        return {}, ""
    if not titles:
        return {}, rest
    heads = "|".join(re.escape(title) for title in sorted(titles, key=len, reverse=True))
    pieces = re.split(rf"(?:^|(?<=\. ))({heads}): ", rest)
    found = dict(zip(pieces[1::2], pieces[2::2], strict=True))
    if pieces[0].strip() or len(found) != len(pieces) // 2:
        return {}, rest
    unended = [words for words in found.values() if not words.rstrip().endswith(".")]
    if unended or [title for title in titles if title in found] != list(found):
        return {}, unended[0] if unended else rest
    return {title: words.rstrip()[:-1] for title, words in found.items()}, ""


def clues_in_a_line(words: str, size: int) -> Iterator[Told]:
    """Clues ``cage 15: r1c1 r1c2``; of rows ``r1 . a a`` a picture for as many as a grid has."""
    pieces = words.split("; ") if words else []
    rows = [piece.split() for piece in pieces]
    if pieces and ":" not in words:
        for k in range(0, len(rows), size):
            here = rows[k : k + size]
            if [row[0] for row in here] != [f"r{n}" for n in range(1, size + 1)]:
                raise RuleFault("its rows are not whole", "tell every row")
            yield Picture("".join(sign for row in here for sign in row[1:]))
        return
    for piece in pieces:
        label, _, said = piece.partition(":")
        yield Clue(label.strip(), (said.strip(),) if said.strip() else ())


def _same_regions(words: str, geometry: Geometry) -> bool:
    """Whether letters part the cells as the regions do."""
    rows = [row.split() for row in words.split(";") if row.strip()]
    named = [row[0] for row in rows] == [f"r{k}" for k in range(1, geometry.size + 1)]
    letters = [letter for row in rows for letter in row[1:]]
    due = geometry.regions or ()
    if not named or len(letters) != len(due):
        return False
    pairs = set(zip(letters, due, strict=True))
    return len(pairs) == len({a for a, _ in pairs}) == len({b for _, b in pairs})
