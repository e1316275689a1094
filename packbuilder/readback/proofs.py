"""Proof from the print: each puzzle proved again from the digits and borders that were found."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from packbuilder.book import Book, Entry
from packbuilder.grid import Geometry, Values, irregular, latin
from packbuilder.proof.verdict import Verdict
from packbuilder.readback.match import due
from packbuilder.readback.report import Finding
from packbuilder.readback.sections import ANSWERS, PUZZLES
from packbuilder.readback.survey import Item

Prove = Callable[[Geometry, Values], Verdict]


def by_kernel(geometry: Geometry, clues: Values) -> Verdict:
    """The proof by the compiled kernel, loaded only when a print is proved."""
    from packbuilder.proof.kernel import prove

    return prove(geometry, clues)


def check_proofs(items: Sequence[Item], book: Book, prove: Prove) -> Iterator[Finding]:
    """Each puzzle, as its digits and borders stand in print, has one solution: its answer's."""
    answers = {
        i.number: i.filled.values(i.lattice.size)
        for i in items
        if i.section == ANSWERS and i.lattice and i.filled
    }
    for item in items:
        match = due(book, item)
        if item.section != PUZZLES or not match or not item.lattice or not item.filled:
            continue
        entry = match[0]

        def wrong(code: str, message: str, item: Item = item, entry: Entry = entry) -> Finding:
            return Finding(code, message, item.page, number=entry.number, puzzle=entry.puzzle.id)

        geometry = printed_geometry(item.lattice.size, item.lattice.regions)
        if geometry is None:
            yield wrong("not-proved", "the borders do not part the grid into regions of its size")
            continue
        verdict = prove(geometry, item.filled.values(item.lattice.size))
        if verdict.solutions is None:
            yield wrong("not-proved", "the proof of the printed grid ran into its limit")
        elif verdict.solutions != 1:
            many = "two or more solutions" if verdict.solutions else "no solution"
            yield wrong("not-unique", f"as printed it has {many}")
        elif item.number in answers and verdict.first != answers[item.number]:
            yield wrong("not-unique", "its only solution as printed is not the printed answer")


def printed_geometry(size: int, regions: Sequence[int] | None) -> Geometry | None:
    """The geometry that borders in print mean; None where a region has the wrong size."""
    if regions is None:
        return latin(size)
    if any(regions.count(k) != size for k in set(regions)):
        return None
    rows = (regions[k : k + size] for k in range(0, size * size, size))
    return irregular("\n".join("".join(chr(ord("A") + k) for k in row) for row in rows))
