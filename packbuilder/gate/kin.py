"""Is it new? Findings on puzzles that were there before, in whatever disguise."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

from packbuilder.archive import Archive, Found, Known, puzzle_of
from packbuilder.gate import placeholders
from packbuilder.gate.report import Checked, Finding
from packbuilder.kinship import Posed, disguise, solution_fingerprint
from packbuilder.puzzle import Pack, Puzzle


@dataclass(frozen=True)
class _Earlier:
    """A puzzle that was there first: its name for a message, and how to come by it."""

    name: str
    kin: str
    solved: str | None
    puzzle: Callable[[], Puzzle | None]


def mark_repeats(
    checked: Iterable[Checked], pack: Pack, archive: Archive | None
) -> tuple[list[Checked], list[Finding]]:
    """Refuse puzzles that are an earlier one in disguise; warn where the solved grids are.

    Earlier are those listed before it, and those of packs of earlier months, or of another pack of
    the same month. Gives the puzzles, and findings on the archive.
    """
    puzzles = list(checked)
    solved = [_solved(one) for one in puzzles]
    found = Found()
    if archive:
        found = archive.find((one.kin for one in puzzles), (text for text in solved if text))
    elsewhere = [_known(known) for known in found.puzzles if _is_before(known, pack)]
    here: list[_Earlier] = []
    marked = []
    for one, grid in zip(puzzles, solved, strict=True):
        # Every new pack begins with the same examples, which are told of as such.
        others = [] if placeholders.has_example_grid(one.puzzle) else elsewhere
        marked.append(one.also(*_repeats(one, grid, [*others, *here])))
        here.append(_Earlier(one.puzzle.id, one.kin, grid, lambda one=one: one.puzzle))  # type: ignore[misc]
    return marked, list(_of_the_archive(found))


def _repeats(one: Checked, solved: str | None, earlier: list[_Earlier]) -> Iterator[Finding]:
    """The first puzzle that it is again, or else the first of which it has the solved grid."""
    for other in earlier:
        if other.kin == one.kin:
            how = _how(other.puzzle(), one.puzzle)
            yield Finding("same-puzzle", f"this is {other.name} again, {how}")
            return
    for other in earlier:
        if solved and other.solved == solved:
            told = f"its solved grid is that of {other.name}, perhaps in disguise"
            yield Finding("same-solution", told)
            return


def _how(earlier: Puzzle | None, one: Puzzle) -> str:
    found = earlier and disguise(_posed(earlier), _posed(one))
    if not found:  # its pack has changed in this very moment
        return "in disguise"
    return "clue for clue" if found.is_nothing else f"in disguise: {found.words}"


def _posed(puzzle: Puzzle) -> Posed:
    return Posed(puzzle.geometry, puzzle.clues, puzzle.rules)


def _solved(one: Checked) -> str | None:
    puzzle = one.puzzle
    if one.solution is None:
        return None
    return solution_fingerprint(puzzle.geometry, one.solution, puzzle.rules)


def _known(known: Known) -> _Earlier:
    return _Earlier(known.name, known.kin, known.solved, lambda: puzzle_of(known))


def _is_before(known: Known, pack: Pack) -> bool:
    """Of an earlier month, or of the same and no other draft of this very pack."""
    return (known.issue, known.title) != (pack.issue, pack.title) and known.issue <= pack.issue


def _of_the_archive(found: Found) -> Iterator[Finding]:
    for told in found.missing:
        yield Finding("no-archive", f"the archive cannot be looked into: {told}")
    for told in found.unread:
        yield Finding("unread-pack", f"a pack was not compared with this one: {told}")
    for told in found.notes:
        yield Finding("index-made-anew", told)
