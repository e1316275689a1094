"""The sampler: its page on the full pack, and that it gives no other puzzle away."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence

from packbuilder.book.book import Book, Entry
from packbuilder.grid import Values
from packbuilder.readback.report import Finding
from packbuilder.readback.sections import FULL_PACK, Run, plain
from packbuilder.readback.survey import ALIGNED, COLUMN, Leaf

_WORD = re.compile(r"\w+")


def check_sampler(leaves: Sequence[Leaf], book: Book) -> Iterator[Finding]:
    """Every puzzle of the full pack is named with setter and grade; none beyond is printed."""
    if not book.whole:
        return
    pages = [leaf for leaf in leaves if leaf.section == FULL_PACK]
    places = {n: text for leaf in pages for n, text in _places(leaf.runs, book.whole)}
    page = pages[0].number if pages else None
    for entry in book.whole:
        text = places.get(entry.number)
        if text is None or plain(entry.puzzle.title) not in plain(text):
            yield _finding("does not name it", entry, page)
        elif plain(entry.puzzle.setter) not in plain(text):
            yield _finding(f"does not name its setter, {entry.puzzle.setter!r}", entry, page)
        elif str(entry.grade) not in _words_beside(text, entry):
            yield _finding(f"does not tell its grade, {entry.grade}", entry, page)
    yield from _check_kept(leaves, book)


def _finding(words: str, entry: Entry, page: int | None) -> Finding:
    message = f"the page on the full pack {words} ({entry.puzzle.title!r})"
    return Finding("full-pack", message, page, (), entry.number, entry.puzzle.id)


def _words_beside(text: str, entry: Entry) -> Counter[str]:
    """The words of a puzzle's place that are not its number, its title or its setter."""
    words = Counter(word.casefold() for word in _WORD.findall(text))
    told = f"{entry.number} {entry.puzzle.title} {entry.puzzle.setter}"
    words.subtract(word.casefold() for word in _WORD.findall(told))
    return +words


def _places(runs: Sequence[Run], whole: Sequence[Entry]) -> Iterator[tuple[int, str]]:
    """Each puzzle's number, and all text from its title down to the next puzzle in its column."""
    heads = [(run, entry) for run in runs for entry in whole if _begins(run, runs, entry)]
    for run, entry in heads:
        others = [other for other, _ in heads if other is not run]
        right = [r.x0 for r in others if r.x0 > run.x0 + COLUMN]
        edge = min(right, default=float("inf"))
        below = [r.y for r in others if r.y < run.y - 0.5 and abs(r.x0 - run.x0) < COLUMN]
        floor = max(below, default=float("-inf"))
        yield (
            entry.number,
            " ".join(
                r.text
                for r in sorted(runs, key=lambda r: (-r.y, r.x0))
                if run.x0 - ALIGNED <= r.x0 < edge - ALIGNED and floor + 0.5 < r.y <= run.y + 0.5
            ),
        )


def _begins(run: Run, runs: Sequence[Run], entry: Entry) -> bool:
    """Whether a puzzle's number stands at the head of a run, and its title (or the first line of
    it) behind it."""
    found = re.match(rf"{entry.number}(?!\d)", run.text)
    if not found:
        return False
    behind = [r.text for r in runs if abs(r.y - run.y) <= 0.5 and r.x0 > run.x0]
    said, due = plain(" ".join([run.text[found.end() :], *behind])), plain(entry.puzzle.title)
    first = plain(run.text[found.end() :]) or plain(behind[0] if behind else "")
    return said.startswith(due) or (len(first) > 2 and due.startswith(first))


def _check_kept(leaves: Sequence[Leaf], book: Book) -> Iterator[Finding]:
    """No grid shows a puzzle of the full pack that is not in the sampler."""
    kept = book.whole[len(book.entries) :]
    for leaf in leaves:
        for grid in leaf.grids:
            values = grid.filled.values(grid.lattice.size)
            for entry in kept:
                if entry.puzzle.size == grid.lattice.size and _shows(values, entry.puzzle.clues):
                    yield Finding(
                        "not-sampled",
                        f"{entry.puzzle.title!r} is printed, which only the full pack holds",
                        leaf.number,
                        (),
                        entry.number,
                        entry.puzzle.id,
                    )


def _shows(values: Values, clues: Values) -> bool:
    """Whether a grid shows nearly all clues of a puzzle, alone or among other digits."""
    given = [k for k, v in enumerate(clues) if v]
    same = sum(values[k] == clues[k] for k in given)
    return bool(given) and same >= 0.9 * len(given)
