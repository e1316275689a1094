"""The sheet of cards of new grids: gated like a pack, planned and printed as one."""

from __future__ import annotations

import os
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from packbuilder.errors import InputError, Unfinished
from packbuilder.files import out_of_room

if TYPE_CHECKING:
    from packbuilder.setting.new_grid import NewGrid


def write_cards(file: Path, grids: Sequence[tuple[str, NewGrid]]) -> None:
    """Write a PDF with a card for each grid and its title. Raises InputError where it cannot be.

    A file that is there already is replaced once the new one is whole.
    """
    from packbuilder import gate
    from packbuilder.book.assembling import assemble
    from packbuilder.ladder.head.load import no_notes
    from packbuilder.pages.grid_cards import plan_cards
    from packbuilder.press import write_pdf
    from packbuilder.puzzle import Pack, Puzzle

    puzzles = tuple(
        Puzzle(
            id=f"grid-{number}",
            title=title,
            setter="packbuilder",
            geometry=grid.geometry,
            clues=grid.clues,
            rules=grid.parts,
            rule_names=tuple(slug for slug, _ in grid.rules),
            hinted=False,
        )
        for number, (title, grid) in enumerate(grids, start=1)
    )
    pack = Pack("new-grids", Path(), "New grids", "to choose from", "packbuilder", puzzles)
    book = assemble(gate.check(pack))
    loads = []
    for entry in book.entries:
        load = no_notes(entry.puzzle.geometry, entry.puzzle.clues, entry.puzzle.rules)
        marks = f"{load.marks} mark{'' if load.marks == 1 else 's'}"
        unsolved = "Marks not known" if load.solved is None else "Needs notes"
        loads.append(f"No notes: {marks}" if load.solved else unsolved)
    aside = file.with_name(f".{file.name}.new")
    try:
        with aside.open("wb") as out:
            write_pdf(plan_cards(book, tuple(loads)), out)
        os.replace(aside, file)  # noqa: PTH105
    except OSError as error:
        if lack := out_of_room(error):
            raise Unfinished(f"{file}: {lack}; no cards were made") from None
        raise InputError(f"{file}: cannot be written: {error.strerror}") from None
    finally:
        aside.unlink(missing_ok=True)
