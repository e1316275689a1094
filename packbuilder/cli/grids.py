"""The commands for single grids: prove, rate, explain."""

from __future__ import annotations

import sys
from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from packbuilder.cli.options import (
    CLUSTER,
    JSON,
    JSONL,
    NODES,
    PATH,
    SOURCE,
    ladder_options,
    nodes,
    read_geometry,
    read_grid,
    read_ladder,
    shape_options,
    workers_at,
)
from packbuilder.cli.progress import complain, line_count, print_json, progress
from packbuilder.errors import Exit, InputError, Refused, Unfinished
from packbuilder.phrases import counted, shown

if TYPE_CHECKING:
    from packbuilder.cli.sources import Asked
    from packbuilder.grid import Values
    from packbuilder.ladder.step import Step
    from packbuilder.proof.stream import Question, Tally
    from packbuilder.puzzle import Pack


@click.command()
@SOURCE
@JSONL
@shape_options
@click.option("--node-limit", type=NODES, default=None,
              help="Nodes a grid; past it the answer is ? (undecided).")  # fmt: skip
@CLUSTER
def prove(
    source: str,
    jsonl: bool,
    size: int,
    blocks: str | None,
    node_limit: int | None,
    address: str | None,
) -> None:
    """How many solutions has each grid: 0, 1 or 2 (two or more)?

    SOURCE holds a 9x9 grid a line (or of another --size, with other --blocks), . or 0 for an empty
    cell; or it is a pack, or puzzles as they stand in a manifest; - is standard input. A line that
    cannot be read is answered - and reported with its number; an undecided grid is answered ?.
    Exit 2 if a line was bad, else 5 if one was undecided.

    \b
    Example: packbuilder prove grids.txt
    """
    from packbuilder.proof.proving import Prove

    with workers_at(address) as who:
        _answer(Prove(jsonl, nodes(node_limit)), source, size, blocks, "proving", who)


@click.command()
@SOURCE
@JSONL
@shape_options
@click.option("--needs", is_flag=True, help="List the techniques that each grid needs, too.")
@ladder_options
@click.option("--node-limit", type=NODES, default=None,
              help="Nodes a grid; past it the grid is undecided.")  # fmt: skip
@CLUSTER
def rate(
    source: str,
    jsonl: bool,
    size: int,
    blocks: str | None,
    needs: bool,
    ladder_file: Path | None,
    assume_unique: bool,
    node_limit: int | None,
    address: str | None,
) -> None:
    """How hard is each grid: grade, hardest step, effort, marks to hold without notes.

    SOURCE is as for `prove`: lines, a pack, or puzzles of a manifest. A grid without exactly one
    solution has no grade. Exit 2 if a line was bad, else 5 if a grid was undecided.

    With --needs, every technique without which the grid is not solved: all techniques on easier
    rungs, with that one, solve it, and those on easier rungs alone do not.

    \b
    Example: packbuilder rate grids.txt --jsonl
    """
    from packbuilder.ladder.rating import Rate

    question = Rate(jsonl, nodes(node_limit), needs, read_ladder(ladder_file, assume_unique))
    with workers_at(address) as who:
        _answer(question, source, size, blocks, "rating", who)


def _answer(
    question: Question,
    source: str,
    size: int,
    blocks: str | None,
    words: str,
    who: dict[str, Any],
) -> None:
    """Answer every grid; ``who`` works where there are many.

    Raises InputError where lines were bad, else Unfinished if one is undecided.
    """
    from packbuilder.cli import sources
    from packbuilder.proof import stream

    geometry = read_geometry(size, blocks)
    if sources.is_pack(source):
        tally = _each(question, [sources.asked_of(p) for p in _pack(source).puzzles])
    else:
        puzzles, file = sources.entries_of(sources.opened(source))
        if puzzles:
            tally = _each(question, [sources.asked_of(puzzle) for puzzle in puzzles])
        elif geometry != stream.NINE:
            tally = _each(question, sources.lines_of(file, geometry))
        else:
            with progress(words, line_count(file)) as advance:
                tally = stream.run(
                    question, file, sys.stdout, report=complain, progress=advance, **who
                )
    sys.stdout.flush()
    if tally.bad:
        raise InputError(f"{counted(tally.bad, 'line')} could not be read; the rest is done")
    if tally.undecided:
        grids = counted(tally.undecided, "grid")
        raise Unfinished(f"{grids} undecided: the limit ran out; the rest is done")


def _each(question: Question, asked: Iterable[Asked | str]) -> Tally:
    """Answer puzzles of any size and with any rules, one by one."""
    from packbuilder.proof.stream import Tally

    bad = undecided = 0
    for one in asked:
        if isinstance(one, str):
            complain(one)
            bad += 1
            click.echo(question.fault(one), nl=False)
            continue
        count, first = _solutions(one, question.node_limit)
        undecided += count < 0
        told = question.answer(one.id, one.geometry, one.clues, one.parts, count, first)
        click.echo(told, nl=False)
    return Tally(bad=bad, undecided=undecided)


def _solutions(one: Asked, limit: int) -> tuple[int, Values | None]:
    """How many solutions (2: two or more; -1: not known), and the first."""
    from packbuilder.proof import kernel, rule_search

    if all(part.houses_only for part in one.parts):
        verdict = kernel.prove(one.geometry, one.clues, node_limit=limit)
    else:
        verdict = rule_search.prove(
            one.geometry, one.clues, one.parts, node_limit=limit, time_limit=PATIENCE
        )
    return -1 if verdict.solutions is None else verdict.solutions, verdict.first


PATIENCE = 60.0
"""Seconds that the proof of one puzzle with rules may take."""


def _pack(place: str) -> Pack:
    from packbuilder import manifest

    return manifest.load(Path(place))


@click.command()
@click.argument("grid")
@click.argument("puzzle_id", metavar="[ID]", required=False)
@click.option(
    "--blocks", help="ROWSxCOLUMNS, or `none` for a Latin square; else as usual for the size."
)
@click.option("--no-notes", is_flag=True, help="Solve in the head, holding as few marks as can.")
@click.option("--all", "every", is_flag=True, help="Tell every strike, detours too.")
@click.option(
    "--profile", is_flag=True, help="Draw how many ways on there are at each step (of --all)."
)
@click.option(
    "--svg", type=PATH, metavar="DIR", help="Also draw the position before each step into DIR."
)
@ladder_options
@JSON
def explain(
    grid: str,
    puzzle_id: str | None,
    blocks: str | None,
    no_notes: bool,
    every: bool,
    profile: bool,
    svg: Path | None,
    ladder_file: Path | None,
    assume_unique: bool,
    as_json: bool,
) -> None:
    """Tell the solve of one puzzle step by step, in words, each step with what shows it.

    GRID is one line of cells, row by row: 81 for a 9x9 grid, 36 for 6x6, and so on; or a pack, with
    the ID of one of its puzzles; or -, for a grid or a puzzle's manifest entry on standard input. A
    strike on which no later placement rests is passed over.

    \b
    Example: packbuilder explain ....42..4.6.2..1....6..3.3.6..56....
    Example: packbuilder explain packs/kites second-light --no-notes
    """
    from packbuilder.cli import console, pictures
    from packbuilder.ladder import path, reasons, telling
    from packbuilder.ladder.puzzle_ladder import with_rules

    one = _one(grid, puzzle_id, blocks)
    count, _ = _solutions(one, nodes(None))
    if count < 0:
        raise Unfinished("the limit ran out before the number of solutions was known")
    if count != 1:
        many = "no solution" if count == 0 else "more than one solution"
        raise Refused(f"this grid has {many}; only a grid with exactly one can be explained")
    if no_notes:
        solved, steps = _explain_no_notes(one, as_json)
    else:
        ladder = with_rules(read_ladder(ladder_file, assume_unique), one.parts)
        walked = path.walk(one.geometry, one.clues, ladder=ladder)
        solved = walked.solved
        told = walked if every or profile else reasons.without_detours(walked)
        steps = [(told.position_before(k).values, step) for k, step in enumerate(told.steps)]
        if as_json:
            print_json(telling.path_json(told))
        else:
            console.show_path(told)
            if profile:
                console.show_profile(walked)
    if svg:
        pictures.write(svg, one.geometry, one.clues, steps)
    if not solved:
        raise click.exceptions.Exit(Exit.REFUSED)


def _one(grid: str, puzzle_id: str | None, blocks: str | None) -> Asked:
    """The one puzzle that is asked about. Raises InputError, and Refused for an unknown id."""
    from packbuilder.cli import sources

    if sources.is_pack(grid):
        return sources.asked_of(sources.puzzle_of(_pack(grid), puzzle_id))
    if puzzle_id is not None:
        raise InputError(f"{shown(grid)} is no pack's folder or manifest, so it has no puzzle ids")
    if grid == "-":
        puzzles, file = sources.entries_of(sources.opened(grid))
        if len(puzzles) > 1:
            raise InputError(f"standard input has {len(puzzles)} puzzles; give one")
        if puzzles:
            return sources.asked_of(puzzles[0])
        grid = file.read().decode("utf-8", "replace")
    geometry, clues = read_grid(grid, blocks)
    return sources.Asked(geometry, clues)


def _explain_no_notes(one: Asked, as_json: bool) -> tuple[bool, list[tuple[Values, Step]]]:
    from packbuilder.cli import console
    from packbuilder.ladder.head import solve
    from packbuilder.ladder.head.load import no_notes

    load = no_notes(one.geometry, one.clues, one.parts)
    told = solve.tell(one.geometry, one.clues, one.parts)
    if as_json:
        print_json(solve.path_json(one.geometry, one.clues, load, told, one.parts))
    else:
        ends = "" if load.solved else solve.stopped(one.geometry, load.values, one.parts)
        console.show_no_notes(told, load, one.geometry, ends)
    if load.solved is None:
        raise Unfinished("the limit ran out before it was known whether three marks will do")
    return load.solved, [(step.before, step.step) for step in told]
