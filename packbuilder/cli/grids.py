"""The commands for single grids: prove, rate, explain."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, BinaryIO

import click

from packbuilder.cli.options import (
    JSON,
    JSONL,
    LINES,
    NODES,
    ladder_options,
    nodes,
    read_grid,
    read_ladder,
)
from packbuilder.cli.progress import complain, line_count, print_json, progress
from packbuilder.errors import Exit, InputError, Refused, Unfinished
from packbuilder.phrases import counted

if TYPE_CHECKING:
    from packbuilder.grid import Geometry, Values
    from packbuilder.proof.stream import Question


@click.command()
@LINES
@JSONL
@click.option("--node-limit", type=NODES, default=None,
              help="Nodes a grid; past it the answer is ? (undecided).")  # fmt: skip
def prove(file: BinaryIO, jsonl: bool, node_limit: int | None) -> None:
    """How many solutions has each grid: 0, 1 or 2 (two or more)?

    FILE holds a 9x9 grid a line, 81 cells, . or 0 for an empty one; - is standard input. A line
    that cannot be read is answered - and reported with its number; an undecided grid is answered
    ?. Exit 2 if a line was bad, else 5 if one was undecided.

    \b
    Example: packbuilder prove grids.txt
    """
    from packbuilder.proof.proving import Prove

    _answer(Prove(jsonl, nodes(node_limit)), file, "proving")


@click.command()
@LINES
@JSONL
@click.option("--needs", is_flag=True, help="List the techniques that each grid needs, too.")
@ladder_options
@click.option("--node-limit", type=NODES, default=None,
              help="Nodes a grid; past it the grid is undecided.")  # fmt: skip
def rate(
    file: BinaryIO,
    jsonl: bool,
    needs: bool,
    ladder_file: Path | None,
    assume_unique: bool,
    node_limit: int | None,
) -> None:
    """How hard is each grid: grade, hardest step, effort, marks to hold without notes.

    FILE holds a 9x9 grid a line, as for `prove`. A grid without exactly one solution has no grade.
    Exit 2 if a line was bad, else 5 if a grid was undecided.

    With --needs, every technique without which the grid is not solved: all techniques on easier
    rungs, with that one, solve it, and those on easier rungs alone do not.

    \b
    Example: packbuilder rate grids.txt --jsonl
    """
    from packbuilder.ladder.rating import Rate

    ladder = read_ladder(ladder_file, assume_unique)
    _answer(Rate(jsonl, nodes(node_limit), needs, ladder), file, "rating")


def _answer(question: Question, file: BinaryIO, words: str) -> None:
    """Answer every line. Raises InputError where lines were bad, else Unfinished if undecided."""
    from packbuilder.proof import stream

    with progress(words, line_count(file)) as advance:
        tally = stream.run(question, file, sys.stdout, report=complain, progress=advance)
    sys.stdout.flush()
    if tally.bad:
        raise InputError(f"{counted(tally.bad, 'line')} could not be read; the rest is done")
    if tally.undecided:
        grids = counted(tally.undecided, "grid")
        raise Unfinished(f"{grids} undecided: the limit ran out; the rest is done")


@click.command()
@click.argument("grid")
@click.option(
    "--blocks", help="ROWSxCOLUMNS, or `none` for a Latin square; else as usual for the size."
)
@click.option("--no-notes", is_flag=True, help="Solve in the head, holding as few marks as can be.")
@click.option("--all", "every", is_flag=True, help="Tell every strike, detours too.")
@click.option(
    "--profile", is_flag=True, help="Draw how many ways on there are at each step (of --all)."
)
@ladder_options
@JSON
def explain(
    grid: str,
    blocks: str | None,
    no_notes: bool,
    every: bool,
    profile: bool,
    ladder_file: Path | None,
    assume_unique: bool,
    as_json: bool,
) -> None:
    """Tell the solve of one grid step by step, in words, each step with what shows it.

    GRID is one line of cells, row by row: 81 for a 9x9 grid, 36 for 6x6, and so on. A strike on
    which no later placement rests is passed over.

    \b
    Example: packbuilder explain 12.973..6..8.4...3.5...1....69......7..1.2..5......42....2...
                                 4.5...1.7..4..538.62   (one line)
    """
    from packbuilder.cli import console
    from packbuilder.ladder import path, reasons, telling
    from packbuilder.proof import kernel

    geometry, clues = read_grid(grid, blocks)
    verdict = kernel.prove(geometry, clues)
    if verdict.solutions is None:
        raise Unfinished("the limit ran out before the number of solutions was known")
    if verdict.solutions != 1:
        many = "no solution" if verdict.solutions == 0 else "more than one solution"
        raise Refused(f"this grid has {many}; only a grid with exactly one can be explained")
    if no_notes:
        solved = _explain_no_notes(geometry, clues, as_json)
    else:
        walked = path.walk(geometry, clues, ladder=read_ladder(ladder_file, assume_unique))
        solved = walked.solved
        told = walked if every or profile else reasons.without_detours(walked)
        if as_json:
            print_json(telling.path_json(told))
        else:
            console.show_path(told)
            if profile:
                console.show_profile(walked)
    if not solved:
        raise click.exceptions.Exit(Exit.REFUSED)


def _explain_no_notes(geometry: Geometry, clues: Values, as_json: bool) -> bool:
    from packbuilder.cli import console
    from packbuilder.ladder.head import load as no_notes
    from packbuilder.ladder.head import solve as no_notes_path

    load = no_notes.no_notes(geometry, clues)
    if as_json:
        document = no_notes_path.path_json(geometry, clues)
        print_json(document)
    else:
        console.show_no_notes(no_notes_path.tell(geometry, clues), load, geometry)
    return load.solved
