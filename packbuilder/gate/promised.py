"""Is it as promised? Findings on what the manifest claims of a puzzle."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from packbuilder import symmetry
from packbuilder.gate.limits import Limits
from packbuilder.gate.report import Finding
from packbuilder.gate.words import clue_list, names
from packbuilder.grid import Values
from packbuilder.ladder import promises as ladder_promises
from packbuilder.ladder.english import article, noun
from packbuilder.ladder.head.load import first_failure
from packbuilder.ladder.path import Path
from packbuilder.ladder.rungs import Ladder
from packbuilder.proof import kernel, rule_search, sat
from packbuilder.puzzle import BEYOND, Pack, Puzzle
from packbuilder.rules.houses import only_houses


def grade(puzzle: Puzzle, path: Path) -> Iterator[Finding]:
    """The grade, and a puzzle that the ladder cannot finish."""
    promised = puzzle.promise.grade
    if promised == path.grade:
        return
    if path.grade == BEYOND:
        left = path.positions_left()
        yield Finding(
            "refuse",
            "wrong-grade",
            (f"grade {promised} is promised" if promised else "no grade is promised")
            + f", but the ladder cannot finish this grid: it is stuck with {left} cells empty",
            "choose another grid, or promise `grade: beyond` and say so to the reader",
            (),
        )
    elif promised is not None:
        rung, hardest = path.grade, path.hardest
        last = next(s for s in path.steps if (s.rung, s.technique) == (rung, hardest))
        name = path.ladder.named(path.hardest).name
        yield Finding(
            "refuse",
            "wrong-grade",
            f"grade {promised} is promised, but the hardest step is {article(noun(name))}: "
            f"grade {path.grade}",
            f"promise `grade: {path.grade}`, or change the clues",
            tuple(sorted({*last.cells, *(c for c, _ in (*last.places, *last.removes))})),
        )


def needs(puzzle: Puzzle, pack: Pack, ladder: Ladder) -> Iterator[Finding]:
    """Techniques without which the puzzle must be stuck; and a warning where others would do."""
    slugs = tuple(dict.fromkeys((*pack.needs, *puzzle.promise.needs)))
    mend = "choose another grid, or withdraw the promise under `needs:`" + (
        " (it stands in the pack's own `needs:`)" if pack.needs else ""
    )
    missing = [slug for slug in slugs if slug not in ladder.slugs]
    if missing:
        yield Finding("refuse", "not-needed", _not_there(missing), mend)
        return
    found = ladder_promises.needs(puzzle.geometry, puzzle.clues, slugs, ladder=ladder)
    yield from _failing("not-needed", found, mend)
    if all(need.holds for need in found):
        mend = "leave it if that is meant, or choose a grid that keeps it under `only:`"
        for rival in ladder_promises.rivals(puzzle.geometry, puzzle.clues, slugs, ladder=ladder):
            if rival and rival.slug not in puzzle.promise.only:
                yield Finding("warn", "rival", rival.words, mend)


def only(puzzle: Puzzle, ladder: Ladder) -> Iterator[Finding]:
    """Techniques that are needed, and of which nothing else on their rung can take the place."""
    slugs, mend = puzzle.promise.only, "choose another grid, or withdraw the promise under `only:`"
    missing = [slug for slug in slugs if slug not in ladder.slugs]
    if missing:
        yield Finding("refuse", "not-only", _not_there(missing), mend)
        return
    found = ladder_promises.needs(puzzle.geometry, puzzle.clues, slugs, ladder=ladder)
    yield from _failing("not-only", found, mend)
    if all(need.holds for need in found):
        for rival in ladder_promises.rivals(puzzle.geometry, puzzle.clues, slugs, ladder=ladder):
            if rival:
                yield Finding("refuse", "not-only", rival.words, mend)


def _failing(code: str, found: Sequence[ladder_promises.Need], mend: str) -> Iterator[Finding]:
    return (Finding("refuse", code, need.words, mend) for need in found if not need.holds)


def uses(puzzle: Puzzle, path: Path) -> Iterator[Finding]:
    """Techniques that must be on the easiest-first path."""
    for slug in puzzle.promise.uses:
        if slug not in path.slugs:
            yield Finding(
                "refuse",
                "not-used",
                _not_there([slug])
                if slug not in path.ladder.slugs
                else f"promised is {slug}, but the easiest-first path does without it; it uses "
                f"{', '.join(path.slugs) or 'nothing'}",
                "withdraw the promise under `uses:`, or change the clues",
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
    if not knows_marks(puzzle):
        yield Finding(
            "refuse",
            "notes-needed",
            "no-notes is promised, but the solver without notes knows houses only, and not what "
            f"a person holds in mind of {', '.join(puzzle.rule_names)}",
            "withdraw `no-notes:`",
        )
        return
    failure = first_failure(puzzle.geometry, puzzle.clues, puzzle.promise.no_notes)
    if failure is None:
        return
    mends = {
        "notes-needed": "withdraw `no-notes:`, or choose another grid",
        "too-many-marks": f"promise `no-notes: {failure.marks}`, or choose another grid",
        "undecided": "promise more marks, or none at all",
    }
    yield Finding("refuse", failure.code, failure.words, mends[failure.code], failure.cells)


def knows_marks(puzzle: Puzzle) -> bool:
    """Whether the mark load of a puzzle means anything: its rules bring nothing but houses."""
    return all(part.houses_only for part in puzzle.rules)


def minimal(puzzle: Puzzle, limits: Limits) -> Iterator[Finding]:
    """Whether no clue can be left out: both engines must say so of every clue."""
    if not puzzle.promise.minimal:
        return
    clued = [cell for cell, digit in enumerate(puzzle.clues) if digit]
    without = [(*puzzle.clues[:cell], 0, *puzzle.clues[cell + 1 :]) for cell in clued]
    answers = [_solutions(puzzle, clues, limits) for clues in without]
    spare = tuple(cell for cell, answer in zip(clued, answers, strict=True) if answer == 1)
    open_ = tuple(cell for cell, answer in zip(clued, answers, strict=True) if answer is None)
    if spare:
        yield Finding(
            "refuse",
            "not-minimal",
            f"a minimal grid is promised, but any one of these clues can be left out: "
            f"{clue_list(spare, puzzle)}",
            "leave one of them out and check again, or withdraw `minimal: true`",
            spare,
        )
    elif open_:
        yield Finding(
            "refuse",
            "undecided",
            "a minimal grid is promised, but a limit ran out before it was known whether these "
            f"clues can be left out: {clue_list(open_, puzzle)}",
            "raise the limits with --node-limit and --time-limit, or withdraw `minimal: true`",
            open_,
        )


def _solutions(puzzle: Puzzle, clues: Values, limits: Limits) -> int | None:
    """The number of solutions on which both engines agree, or None."""
    if any(not only_houses(part, puzzle.size) for part in puzzle.rules):
        ours = rule_search.prove(
            puzzle.geometry, clues, puzzle.rules, node_limit=limits.nodes
        ).solutions
    else:
        ours = kernel.prove(puzzle.geometry, clues, node_limit=limits.nodes).solutions
    theirs = sat.prove(puzzle.geometry, clues, puzzle.rules, time_limit=limits.seconds).solutions
    return ours if ours == theirs else None


def clue_count(puzzle: Puzzle) -> Iterator[Finding]:
    """The number of clues."""
    promised, found = puzzle.promise.clues, sum(v > 0 for v in puzzle.clues)
    if promised is not None and promised != found:
        yield Finding(
            "refuse",
            "wrong-clue-count",
            f"{promised} clues are promised, but the grid has {found}",
            f"promise `clues: {found}`, or compare the grid with the setter's original",
        )


def symmetric(puzzle: Puzzle) -> Iterator[Finding]:
    """The symmetry of the picture of clues."""
    name = puzzle.promise.symmetry
    if name is None:
        return
    cells = tuple(symmetry.broken_cells(name, puzzle.clues, puzzle.size))
    if cells:
        yield Finding(
            "refuse",
            "wrong-symmetry",
            f"{name} symmetry is promised, but it is broken at {names(cells, puzzle.size)}",
            "compare these cells with the setter's original, or promise another `symmetry:`",
            cells,
        )
