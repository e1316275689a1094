"""Prizes: the puzzles of a pack that can be entered, as released, or else as the gate has them."""

from __future__ import annotations

from pathlib import Path

from packbuilder.book.assembling import assemble
from packbuilder.errors import InputError
from packbuilder.files import read_json
from packbuilder.gate import Report
from packbuilder.grid import format_grid
from packbuilder.release import record
from packbuilder.release.staging import settled
from packbuilder.supporters.entries import Prize


def released_prizes(out: Path) -> list[Prize]:
    """Those of the record in a folder of releases; none where there is no sound record.

    What was printed counts, whatever has become of the manifest since.
    """
    settled(out)
    try:
        puzzles = read_json(out / record.NAME)["puzzles"]
        return [
            Prize(
                str(one["id"]),
                int(one["number"]),
                str(one["title"]),
                str(one["solution"]),
                tuple(_cell(name, one["solution"]) for name in one["entry"]["cells"]),
                int(one["entry"]["odds"]),
            )
            for one in puzzles
            if "entry" in one
        ]
    except (OSError, ValueError, KeyError, TypeError):
        return []


def checked_prizes(report: Report) -> list[Prize]:
    """Those of a pack that the gate let pass. Raises Refused for any other."""
    numbers = {entry.puzzle.id: entry.number for entry in assemble(report).entries}
    return [
        Prize(
            one.puzzle.id,
            numbers[one.puzzle.id],
            one.puzzle.title,
            format_grid(one.solution),
            one.entry.cells,
            one.entry.odds,
        )
        for one in report.checked
        if one.entry and one.solution
    ]


def check_any(prizes: list[Prize], pack: Path) -> None:
    """Raise InputError where no puzzle can be entered."""
    if not prizes:
        raise InputError(
            f"{pack}: no puzzle of this pack can be entered; write `entry: true` to one, and "
            "build the pack again: letters in its cells say which digits are sent"
        )


def _cell(name: str, solution: str) -> int:
    size = int(len(solution) ** 0.5)
    row, column = map(int, name.removeprefix("r").split("c"))
    if not (1 <= row <= size and 1 <= column <= size):
        raise ValueError(name)
    return (row - 1) * size + column - 1
