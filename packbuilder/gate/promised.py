"""Is it as promised? Findings on what the manifest claims of a puzzle."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from packbuilder import symmetry
from packbuilder.gate.codes import CODES
from packbuilder.gate.limits import Limits
from packbuilder.gate.proved import cell_names, clue_names
from packbuilder.gate.report import Finding
from packbuilder.grid import Values
from packbuilder.ladder import promises as ladder_promises
from packbuilder.ladder.english import article, noun
from packbuilder.ladder.head.load import first_failure
from packbuilder.ladder.path import Path
from packbuilder.ladder.rungs import Ladder
from packbuilder.proof import kernel, rule_search, sat
from packbuilder.puzzle import BEYOND, Pack, Puzzle


def grade(puzzle: Puzzle, path: Path) -> Iterator[Finding]:
    """The grade, and a puzzle that the ladder cannot finish."""
    promised = puzzle.promise.grade
    if promised == path.grade:
        return
    if path.grade == BEYOND:
        what = f"grade {promised} is promised" if promised else "no grade is promised"
        left = path.positions_left()
        yield Finding(
            "wrong-grade",
            f"{what}, but the ladder cannot finish this grid: it is stuck with {left} cells empty",
            "choose another grid, or promise `grade: beyond` and say so to the reader",
        )
    elif promised is not None:
        rung, hardest = path.grade, path.hardest
        last = next(s for s in path.steps if (s.rung, s.technique) == (rung, hardest))
        name = path.ladder.named(path.hardest).name
        yield Finding(
            "wrong-grade",
            f"grade {promised} is promised, but the hardest step is {article(noun(name))}: "
            f"grade {path.grade}",
            f"promise `grade: {path.grade}`, or change the clues",
            tuple(sorted({*last.cells, *(c for c, _ in (*last.places, *last.removes))})),
        )


def needs(puzzle: Puzzle, pack: Pack, ladder: Ladder) -> Iterator[Finding]:
    """Techniques without which the puzzle must be stuck; and a warning where others would do."""
    slugs = tuple(dict.fromkeys((*pack.needs, *puzzle.promise.needs)))
    mend = CODES["not-needed"].mend
    mend += " (it stands in the pack's own `needs:`)" if pack.needs else ""
    failing = list(_unmet("not-needed", slugs, puzzle, ladder, mend))
    yield from failing
    for rival in () if failing else _rivals(slugs, puzzle, ladder):
        if rival.slug not in puzzle.promise.only:
            yield Finding("rival", rival.words)


def only(puzzle: Puzzle, ladder: Ladder) -> Iterator[Finding]:
    """Techniques that are needed, and of which nothing else on their rung can take the place."""
    slugs = puzzle.promise.only
    failing = list(_unmet("not-only", slugs, puzzle, ladder))
    yield from failing
    for rival in () if failing else _rivals(slugs, puzzle, ladder):
        yield Finding("not-only", rival.words)


def _unmet(
    code: str, slugs: Sequence[str], puzzle: Puzzle, ladder: Ladder, mend: str = ""
) -> Iterator[Finding]:
    """Techniques that are promised to be needed and are not."""
    if missing := [slug for slug in slugs if slug not in ladder.slugs]:
        yield Finding(code, _not_there(missing), mend)
        return
    for need in ladder_promises.needs(puzzle.geometry, puzzle.clues, slugs, ladder=ladder):
        if not need.holds:
            yield Finding(code, need.words, mend)


def _rivals(
    slugs: Sequence[str], puzzle: Puzzle, ladder: Ladder
) -> Iterator[ladder_promises.Rivals]:
    found = ladder_promises.rivals(puzzle.geometry, puzzle.clues, slugs, ladder=ladder)
    return (rival for rival in found if rival)


def uses(puzzle: Puzzle, path: Path) -> Iterator[Finding]:
    """Techniques that must be on the easiest-first path."""
    for slug in puzzle.promise.uses:
        if slug not in path.ladder.slugs:
            yield Finding("not-used", _not_there([slug]))
        elif slug not in path.slugs:
            yield Finding(
                "not-used",
                f"promised is {slug}, but the easiest-first path does without it; it uses "
                f"{', '.join(path.slugs) or 'nothing'}",
            )


def _not_there(slugs: Sequence[str]) -> str:
    return (
        f"promised is {', '.join(slugs)}, which is not on this puzzle's ladder: the pack leaves "
        "it out, or the puzzle lacks the rule that it belongs to"
    )


def no_notes(puzzle: Puzzle) -> Iterator[Finding]:
    """Whether it is solved without notes, with no more marks in mind than promised."""
    if puzzle.promise.no_notes is None:
        return
    most = puzzle.promise.no_notes
    failure = first_failure(puzzle.geometry, puzzle.clues, most, puzzle.rules)
    if failure is None:
        return
    mends = {
        "too-many-marks": f"promise `no-notes: {failure.marks}`, or choose another grid",
        "undecided": "promise more marks, or none at all",
    }
    yield Finding(failure.code, failure.words, mends.get(failure.code, ""), failure.cells)


def minimal(puzzle: Puzzle, limits: Limits) -> Iterator[Finding]:
    """Whether no clue can be left out: both engines must say so of every clue."""
    if not puzzle.promise.minimal:
        return
    answers = {
        cell: _solutions(puzzle, (*puzzle.clues[:cell], 0, *puzzle.clues[cell + 1 :]), limits)
        for cell, digit in enumerate(puzzle.clues)
        if digit
    }
    spare = tuple(cell for cell, answer in answers.items() if answer == 1)
    open_ = tuple(cell for cell, answer in answers.items() if answer is None)
    if spare:
        yield Finding(
            "not-minimal",
            f"a minimal grid is promised, but any one of these clues can be left out: "
            f"{', '.join(clue_names(spare, puzzle))}",
            cells=spare,
        )
    elif open_:
        yield Finding(
            "undecided",
            "a minimal grid is promised, but a limit ran out before it was known whether these "
            f"clues can be left out: {', '.join(clue_names(open_, puzzle))}",
            "raise the limits with --node-limit and --time-limit, or withdraw `minimal: true`",
            open_,
        )


def _solutions(puzzle: Puzzle, clues: Values, limits: Limits) -> int | None:
    """The number of solutions: 2 where either engine shows two, else what both say, or None."""
    geometry, rules = puzzle.geometry, puzzle.rules
    theirs = sat.prove(geometry, clues, rules, time_limit=limits.seconds).solutions
    if theirs == 2:
        return 2
    if all(part.houses_only for part in rules):
        ours = kernel.prove(geometry, clues, node_limit=limits.nodes).solutions
    else:
        ours = rule_search.prove(
            geometry, clues, rules, node_limit=limits.nodes, time_limit=limits.seconds
        ).solutions
    return ours if ours in (2, theirs) else None


def clue_count(puzzle: Puzzle) -> Iterator[Finding]:
    """The number of clues."""
    promised, found = puzzle.promise.clues, sum(v > 0 for v in puzzle.clues)
    if promised is not None and promised != found:
        yield Finding(
            "wrong-clue-count",
            f"{promised} clues are promised, but the grid has {found}",
            f"promise `clues: {found}`, or compare the grid with the setter's original",
        )


def symmetric(puzzle: Puzzle) -> Iterator[Finding]:
    """The symmetry of the picture of clues."""
    name = puzzle.promise.symmetry
    cells = tuple(symmetry.broken_cells(name, puzzle.clues, puzzle.size)) if name else ()
    if cells:
        where = cell_names(cells, puzzle.size)
        told = f"{name} symmetry is promised, but it is broken at {where}"
        yield Finding("wrong-symmetry", told, cells=cells)
