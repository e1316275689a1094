"""The command that asks whether a puzzle is new: kin."""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING

import click

from packbuilder.cli.options import JSON, read_grid
from packbuilder.cli.progress import complain, print_json
from packbuilder.errors import Exit, InputError
from packbuilder.phrases import nearest, shown

if TYPE_CHECKING:
    from packbuilder.archive import Archive
    from packbuilder.kinship import Posed
    from packbuilder.puzzle import Pack, Puzzle


@click.command()
@click.argument("grid", metavar="GRID|PACK ID")
@click.argument("packs", metavar="[PACK]...", nargs=-1)
@click.option(
    "--blocks", help="Of a GRID: ROWSxCOLUMNS, `none` for a Latin square, or regions; else usual."
)
@JSON
def kin(grid: str, packs: tuple[str, ...], blocks: str | None, as_json: bool) -> None:
    """Is a puzzle in other packs, in whatever disguise? Exit 3 where it is not.

    GRID is one line of cells, row by row; or name a puzzle of a pack by PACK and ID. PACK... are
    packs to look in, or folders of packs. Where a puzzle of a pack is asked about they may be left
    out: then it is the packs beside it, and those in the folders of its `archive:`, where its gate
    looks too. Each disguise is told in words, and with --json as a map: what each row, column and
    digit becomes.

    \b
    Example: packbuilder kin packs/kites first-light
    Example: packbuilder kin packs/kites first-light packs/harbour
    """
    from packbuilder.archive import kindred

    posed, archive, own = _asked(grid, packs, blocks)
    found = kindred(posed, archive, own)
    for told in (*found.found.unread, *found.found.notes):
        complain(told)
    if found.found.missing:
        raise InputError(found.found.missing[0])
    if as_json:
        print_json(found.as_json)
    else:
        for one in found.kin:
            click.echo(one.words)
        if not found.kin:
            click.echo("it is in none of these packs")
    if not found.kin:
        raise click.exceptions.Exit(Exit.REFUSED)


def _asked(
    grid: str, packs: tuple[str, ...], blocks: str | None
) -> tuple[Posed, Archive, tuple[Path, str] | None]:
    """The puzzle that is asked about, where to look, and its folder and id where it has them."""
    from packbuilder import manifest
    from packbuilder.archive import Archive, archive_of
    from packbuilder.kinship import Posed

    place = Path(grid)
    if not place.exists():
        if not packs:
            raise InputError(
                f"{shown(grid)}: name the packs to look in after the grid, or folders of packs"
                if re.fullmatch(r"[\s.0-9A-Ga-g]+", grid)
                else f"{shown(grid)}: there is no such pack, and it is no grid either"
            )
        geometry, clues = read_grid(grid, blocks)
        folders = _folders(packs)
        return Posed(geometry, clues), Archive(_home(folders[0]), folders), None
    if not packs:
        raise InputError(f"{place}: write the puzzle's id behind its pack")
    pack = manifest.load(place)
    puzzle = find_puzzle(pack, packs[0])
    archive = archive_of(pack)
    folders = _folders(packs[1:]) or (pack.folder, *archive.folders)
    posed = Posed(puzzle.geometry, puzzle.clues, puzzle.rules)
    return posed, Archive(archive.home, folders), (pack.folder, puzzle.id)


def _folders(packs: tuple[str, ...]) -> tuple[Path, ...]:
    places = map(Path, packs)
    return tuple(place.parent if place.is_file() else place for place in places)


def _home(folder: Path) -> Path:
    """Where the index of a pack, or of a folder of packs, lies."""
    from packbuilder.manifest import NAME

    return folder.resolve().parent if (folder / NAME).exists() else folder


def find_puzzle(pack: Pack, name: str) -> Puzzle:
    """The puzzle of a pack with that id. Raises InputError."""
    ids = [one.id for one in pack.puzzles]
    if name not in ids:
        raise InputError(f"{pack.folder} has no puzzle {shown(name)}; {nearest(name, ids)}")
    return next(one for one in pack.puzzles if one.id == name)
