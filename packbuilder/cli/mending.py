"""The commands that change a puzzle's clues: mend, polish."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from packbuilder.cli.options import JSON, PACK, Seconds
from packbuilder.cli.progress import complain, print_json
from packbuilder.errors import Exit, InputError
from packbuilder.phrases import counted

if TYPE_CHECKING:
    from packbuilder.mending import Change
    from packbuilder.puzzle import Pack, Puzzle

WRITE = click.option("--write", type=click.IntRange(min=1), is_flag=False, flag_value=1,
                     metavar="[K]",
                     help="Write the first of what is told into the manifest, or the K-th; all "
                     "else in it stays as it is.")  # fmt: skip
BUDGET = click.option("--budget", type=Seconds(min=0.1, max=10**6), default=60.0,
                      show_default=True, help="Seconds to go on looking.")  # fmt: skip


@click.command()
@PACK
@click.argument("name", metavar="ID")
@WRITE
@BUDGET
@JSON
def mend(pack: Path, name: str, write: int | None, budget: float, as_json: bool) -> None:
    """What would give a puzzle exactly one solution, the likeliest first.

    Where it has several solutions: clues to add, or a digit that was misread, those first that keep
    what is promised. Where it has none: a digit or a line that was exchanged, shifted, misplaced or
    misread, likely slips first. Exit 3 where nothing of that kind would do.

    \b
    Example: packbuilder mend packs/kites second-light
    Example: packbuilder mend packs/kites second-light --write 2
    """
    from packbuilder.mending import mends

    whole, puzzle, file = _asked(pack, name)
    found = mends(puzzle, whole, budget=budget)
    if as_json:
        print_json({"solutions": found.solutions, "whole": found.whole,
                    "mends": [_json(change) for change in found.found]})  # fmt: skip
    elif found.solutions == 1:
        click.echo(f"{name} has exactly one solution; whether it could be better is for polish")
    else:
        many = {0: "no solution", 2: "more than one solution"}.get(found.solutions or 0)
        click.echo(f"{name} has {many}")
        _show(found.found)
    _end(found.whole, bool(found.found) or found.solutions == 1)
    if write and found.solutions != 1:
        _write(whole, file, name, found.found, write)


@click.command()
@PACK
@click.argument("name", metavar="ID")
@WRITE
@BUDGET
@JSON
def polish(pack: Path, name: str, write: int | None, budget: float, as_json: bool) -> None:
    """Clues that can go while all else that is promised holds, or the least change that reaches it.

    A puzzle that keeps its promises may have clues to spare: any one of those told can go, and
    those under "one after another" all together (which is the first to be written). Where the
    number of clues is promised it goes down with them, and --write changes it too. A puzzle
    that does not is changed as little as can be until it does. Exit 3 where no change was found.

    \b
    Example: packbuilder polish packs/kites second-light
    Example: packbuilder polish packs/kites second-light --write
    """
    from packbuilder.mending import polished

    whole, puzzle, file = _asked(pack, name)
    found = polished(puzzle, whole, budget=budget)
    ways = found.least or found.lighter
    if as_json:
        print_json({"broken": [one.code for one in found.broken], "whole": found.whole,
                    "lighter": [_json(change) for change in found.lighter],
                    "least": [_json(change) for change in found.least]})  # fmt: skip
    elif found.broken:
        click.echo(f"{name} does not keep what is promised: {_sentences(found.broken)}")
        click.echo("the least changes after which it does:" if ways else "no change was found")
        _show(ways)
    elif ways:
        gone = counted(len(ways[0].cells), "clue")
        more = ", one after another; or of these any one" if len(ways) > 1 else ""
        click.echo(f"{name} keeps its promises, and {gone} can go{more}")
        _show(ways)
    else:
        click.echo(f"{name} keeps its promises, and no clue can go")
    _end(found.whole, bool(ways) or not found.broken)
    if write and ways:
        _write(whole, file, name, ways, write)


def _asked(place: Path, name: str) -> tuple[Pack, Puzzle, Path]:
    from packbuilder import manifest
    from packbuilder.cli.kin import find_puzzle

    pack = manifest.load(place)
    return pack, find_puzzle(pack, name), place / manifest.NAME if place.is_dir() else place


def _show(changes: Sequence[Change]) -> None:
    """Each change: what it is, what it would break, and the lines to paste."""
    from packbuilder.setting.entries import grid_rows

    for number, change in enumerate(changes, start=1):
        slip = f" ({change.slip})" if change.slip else ""
        click.echo(f"\n{number}. {change.words}{slip}")
        if change.solutions != 1:
            click.echo("   there would still be more than one solution: mend it again")
        broken = [one for one in change.broken if one.code != "wrong-clue-count"]
        if broken:
            click.echo(f"   but then: {_sentences(broken)}")
        if len(broken) < len(change.broken):
            count = sum(map(bool, change.clues))
            click.echo(f"   its promise becomes `clues: {count}`; --write changes that too")
        rows = grid_rows(change.clues, change.puzzle.geometry)
        size = change.puzzle.size
        for row in sorted({cell // size for cell in change.cells}):
            click.echo(f"   row {row + 1}:  {rows[row]}")


def _sentences(findings: Sequence[Any]) -> str:
    return "; ".join(finding.message for finding in findings)


def _json(change: Change) -> dict[str, Any]:
    from packbuilder.grid import cell_name, format_grid

    size = change.puzzle.size
    return {
        "grid": format_grid(change.clues),
        "cells": [cell_name(cell, size) for cell in change.cells],
        "words": change.words,
        "slip": change.slip or None,
        "solutions": change.solutions,
        "broken": sorted(change.codes),
    }


def _end(whole: bool, found: bool) -> None:
    """Say where the time ran out; end with "no" where nothing was found."""
    if not whole:
        complain("the time ran out before all was looked at; raise --budget for more")
    if not found:
        raise click.exceptions.Exit(Exit.REFUSED if whole else Exit.UNFINISHED)


def _write(pack: Pack, file: Path, name: str, changes: Sequence[Change], number: int) -> None:
    from packbuilder.setting.into import put_clues

    if number > len(changes):
        raise InputError(f"--write {number}: there are {len(changes)} to choose from")
    put_clues(pack, file, name, changes[number - 1].clues)
    complain(f"written into {file}: {changes[number - 1].words}")
