"""The command for the solve on camera: script."""

from __future__ import annotations

from pathlib import Path

import click

from packbuilder.cli.options import PACK, PATH


@click.command()
@PACK
@click.argument("puzzle_id", metavar="[ID]", required=False)
@click.option("--board", is_flag=True, help="Also a deck for the screen, a page a look.")
@click.option("--rehearsal", is_flag=True, help="Also one sheet with the moves numbered.")
@click.option("--notes", is_flag=True, help="The solve with notes, by the ladder, instead.")
@click.option("--pace", type=click.IntRange(60, 300), default=150, show_default=True,
              help="Words a minute.")  # fmt: skip
@click.option("--out", type=PATH, help="Folder for the files; PACK/out/script if left out.")
def script(
    pack: Path,
    puzzle_id: str | None,
    board: bool,
    rehearsal: bool,
    notes: bool,
    pace: int,
    out: Path | None,
) -> None:
    """Write the presenter's script of a puzzle's solve: words, board, rehearsal sheet.

    Exit 3 where the gate refuses the puzzle, or it cannot be solved so; nothing is written then.

    \b
    Example: packbuilder script packs/kites second-light --board
    """
    from dataclasses import replace

    from packbuilder import gate, manifest
    from packbuilder.cli.progress import complain
    from packbuilder.cli.sources import puzzle_of
    from packbuilder.script.making import Wanted, make

    whole = manifest.load(pack)
    puzzle = puzzle_of(whole, puzzle_id)
    (checked,) = gate.check(replace(whole, puzzles=(puzzle,))).checked
    places = make(
        whole,
        checked,
        Wanted(board, rehearsal, notes, pace),
        out or whole.folder / "out" / "script",
        complain,
    )
    for place in places:
        click.echo(place)
