"""Whether a table's summary says its grid and its rules, part by part, and nothing besides."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from packbuilder import rules
from packbuilder.book.book import Entry
from packbuilder.grid import Geometry, GridFault
from packbuilder.puzzle import Puzzle
from packbuilder.readback.plaintext.hearing import Clue, parts_heard
from packbuilder.readback.plaintext.rule_faults import compared
from packbuilder.readback.plaintext.shape_hearing import Unheard
from packbuilder.rules.contract import Kind, Part, RuleFault
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
            if kind.slug == "extra-regions":
                heard = tuple(_regions(words, kind, base))
            else:
                heard = parts_heard(kind, base, list(_clues(words)), ())
        except (Unheard, RuleFault, GridFault) as fault:
            yield f"tells {title!r} in words that mean no clue: {fault}"
            continue
        for _, fault_told in compared(heard, rules.parts_of(kind, puzzle.rules), puzzle.size):
            yield f"tells {title!r} otherwise: {fault_told}"


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


def _clues(words: str) -> Iterator[Clue]:
    for piece in words.split("; ") if words else ():
        label, _, said = piece.partition(":")
        yield Clue(label.strip(), said.strip(), 0)


def _regions(words: str, kind: Kind, geometry: Geometry) -> Iterator[Part]:
    """The regions of pictures of rows ``r1 . a a``, one picture after the other."""
    n = geometry.size
    rows = [row.split() for row in words.split(";") if row.strip()]
    if len(rows) % n or any(row[0] != f"r{k % n + 1}" for k, row in enumerate(rows)):
        raise Unheard("its rows are not whole", None)
    for k in range(0, len(rows), n):
        yield from kind.read("\n".join("".join(row[1:]) for row in rows[k : k + n]), geometry)


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
