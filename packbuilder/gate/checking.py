"""The gate at work: every puzzle of a pack proved, solved, and held to its promises."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterator
from dataclasses import replace

from packbuilder.archive import Archive
from packbuilder.gate import kin, placeholders, printable, promised, proved
from packbuilder.gate.entry_cells import entry_cells
from packbuilder.gate.limits import Limits
from packbuilder.gate.report import Checked, Finding, Report
from packbuilder.kinship import fingerprint
from packbuilder.ladder.head.load import no_notes
from packbuilder.ladder.overrides import chosen
from packbuilder.ladder.path import Path, walk
from packbuilder.ladder.puzzle_ladder import with_rules
from packbuilder.ladder.rungs import Ladder
from packbuilder.ladder.table import DEFAULT
from packbuilder.proof.certify import certify
from packbuilder.puzzle import Pack, Puzzle
from packbuilder.rules.shapes import Corner

DEFAULT_LIMITS = Limits()

Memory = dict[Hashable, Checked]
"""What was found of puzzles before, by all that it was found from."""


def check(
    pack: Pack,
    *,
    limits: Limits = DEFAULT_LIMITS,
    done: Callable[[Puzzle], None] | None = None,
    memory: Memory | None = None,
    archive: Archive | None = None,
) -> Report:
    """Hold every promise of a pack against the facts, and its puzzles against those of an archive.

    Where a limit runs out the puzzle is ``undecided`` and refused. ``done`` is called as each
    puzzle is finished, for a progress bar. A ``memory`` that is given again spares the work on
    puzzles that have not changed since.
    """
    checked = []
    ladder = ladder_of(pack)
    for puzzle in pack.puzzles:
        checked.append(_remembered(puzzle, pack, ladder, limits, memory))
        if done:
            done(puzzle)
    compared, doubts = kin.mark_repeats(checked, pack, archive)
    fitted, trouble = printable.mark_room(compared, pack)
    own = (
        *printable.letters_of_pack(pack),
        *placeholders.of_pack(pack),
        *printable.whole_sampler(pack),
        *printable.cover_picture(pack),
        *doubts,
        *trouble,
    )
    return Report(pack, tuple(fitted), own)


def ladder_of(pack: Pack) -> Ladder:
    """The ladder that a pack's grades are meant on: the house's, with the creator's changes."""
    return chosen(pack.ladder, pack.assume_unique) if pack.ladder or pack.assume_unique else DEFAULT


def _remembered(
    puzzle: Puzzle, pack: Pack, ladder: Ladder, limits: Limits, memory: Memory | None
) -> Checked:
    """The puzzle checked, or what is known of it. What was left undecided is tried anew."""
    if memory is None:
        return _check_puzzle(puzzle, pack, ladder, limits)
    own = (pack.byline, pack.needs, repr(pack.ladder), pack.assume_unique, pack.entry)
    key = (replace(puzzle, where=""), own, limits)
    if key in memory:
        return replace(memory[key], puzzle=puzzle)
    found = _check_puzzle(puzzle, pack, ladder, limits)
    if all(finding.code != "undecided" for finding in found.findings):
        memory[key] = found
    return found


def _check_puzzle(puzzle: Puzzle, pack: Pack, ladder: Ladder, limits: Limits) -> Checked:
    mark = fingerprint(puzzle.geometry, puzzle.clues, puzzle.rules)
    at_sight = [
        *printable.permission(puzzle, pack),
        *promised.clue_count(puzzle),
        *promised.symmetric(puzzle),
        *printable.scattered_regions(puzzle.geometry),
        *printable.odd_rules(puzzle),
        *printable.letters_of_puzzle(puzzle),
        *placeholders.of_puzzle(puzzle),
        *proved.nothing_to_solve(puzzle),
    ]
    if clashes := list(proved.clue_clashes(puzzle)):
        return Checked(puzzle, None, None, None, mark, (*clashes, *at_sight))
    geometry, clues = puzzle.geometry, puzzle.clues
    proof = certify(
        geometry, clues, puzzle.rules, node_limit=limits.nodes, time_limit=limits.seconds,
        symmetry=puzzle.promise.symmetry or "none",
    )  # fmt: skip
    trouble = list(proved.proof_findings(puzzle, proof))
    if trouble or proof.verdict.first is None:
        return Checked(puzzle, proof, None, None, mark, (*trouble, *at_sight))
    ladder = promising(ladder, puzzle, pack)
    path = walk(geometry, clues, ladder=ladder)
    promises = [
        *proved.given_solution(puzzle, proof.verdict.first),
        *_of_the_solve(puzzle, pack, ladder, path, limits),
        *printable.spare_hints(puzzle, path),
    ]
    marks = no_notes(geometry, clues, puzzle.rules)
    entry = None
    if puzzle.entry:
        cornered = {s.cell for p in puzzle.rules for s in p.shapes() if isinstance(s, Corner)}
        entry = entry_cells(geometry, clues, pack.entry, ladder, cornered)
        promises += printable.letters_to_enter(pack, entry)
    return Checked(puzzle, proof, path, marks, mark, (*promises, *at_sight), entry)


def promising(ladder: Ladder, puzzle: Puzzle, pack: Pack) -> Ladder:
    """The ladder of a puzzle: its rules join in, and of a rung what is promised comes first."""
    first = (*pack.needs, *puzzle.promise.needs, *puzzle.promise.only, *puzzle.promise.uses)
    return with_rules(ladder, puzzle.rules).promising(*first)


def _of_the_solve(
    puzzle: Puzzle, pack: Pack, ladder: Ladder, path: Path, limits: Limits
) -> Iterator[Finding]:
    yield from promised.grade(puzzle, path)
    yield from promised.needs(puzzle, pack, ladder)
    yield from promised.only(puzzle, ladder)
    yield from promised.uses(puzzle, path)
    yield from promised.no_notes(puzzle)
    yield from promised.minimal(puzzle, limits)


def broken_promises(puzzle: Puzzle, pack: Pack, limits: Limits = DEFAULT_LIMITS) -> list[Finding]:
    """What the gate would say of the promises of a puzzle with one solution."""
    ladder = promising(ladder_of(pack), puzzle, pack)
    path = walk(puzzle.geometry, puzzle.clues, ladder=ladder)
    at_sight = [*promised.clue_count(puzzle), *promised.symmetric(puzzle)]
    found = [*at_sight, *_of_the_solve(puzzle, pack, ladder, path, limits)]
    return [finding for finding in found if finding.refuses]
