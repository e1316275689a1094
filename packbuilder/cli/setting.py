"""The commands that make grids, and ask whether they are new: set, kin."""

from __future__ import annotations

import os
import re
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from packbuilder.cli.options import JSON, PATH, read_geometry, read_grid, read_span
from packbuilder.cli.progress import complain, print_json
from packbuilder.errors import Exit, InputError, Unfinished
from packbuilder.phrases import nearest, shown
from packbuilder.workers import uninterrupted

if TYPE_CHECKING:
    from packbuilder.archive import Archive
    from packbuilder.kinship import Posed
    from packbuilder.puzzle import Pack, Puzzle
    from packbuilder.setting.month import Month
    from packbuilder.setting.new_grid import NewGrid
    from packbuilder.setting.request import Request
    from packbuilder.setting.search import Search


@click.command("set")
@click.option("--picture", metavar="FILE|NAME",
              help="Where clues stand: a text picture (# a clue, . none, ? either, or a digit), or "
              "the name of one of our own.")  # fmt: skip
@click.option("--pictures", is_flag=True, help="Draw the pictures that there are, and no more.")
@click.option("--needs", multiple=True, metavar="TECHNIQUE",
              help="A technique that each grid must need; may be given again.")  # fmt: skip
@click.option("--grade", type=click.IntRange(min=1), help="The grade that each grid must have.")
@click.option("--no-notes", type=click.IntRange(min=0), metavar="K",
              help="Each can be solved without notes, with at most K marks in mind.")  # fmt: skip
@click.option("--minimal", is_flag=True, help="No clue of a grid can be left out.")
@click.option("--rule", "rules", multiple=True, metavar="RULE",
              help="A rule that each grid must have (see `packbuilder rules`), with a number of "
              "clues if you like: 'cages: 12'; may be given again.")  # fmt: skip
@click.option("--from", "design", metavar="ENTRY", type=PATH,
              help="A file with a design: an entry whose rules, regions or digits are fixed; `?` "
              "is open, in the grid a digit or none, under rules a number.")  # fmt: skip
@click.option("--symmetry",
              help="rotational (half turn; so where nothing else is said), none, quarter-turn, "
              "horizontal, vertical, diagonal, ...")  # fmt: skip
@click.option("--clues", metavar="LOW-HIGH",
              help="How many clues; where left out, what is usual for the size (24-32 for 9x9).",
              )  # fmt: skip
@click.option("--size", type=click.IntRange(4, 16), help="Cells along one side; 9, if not told.")
@click.option("--blocks",
              help="ROWSxCOLUMNS, `none` for a Latin square, or regions (a letter a cell, row by "
              "row); where left out, the usual block of the size.")  # fmt: skip
@click.option("--count", type=click.IntRange(min=1), default=1, show_default=True)
@click.option("--seed", type=int, default=0, show_default=True, help="The same seed, same grids.")
@click.option("--budget", type=click.FloatRange(min=0.1), default=120.0, show_default=True,
              help="Seconds to go on looking.")  # fmt: skip
@click.option("--wishes", metavar="FILE", type=PATH,
              help="A list in YAML of what is asked of each grid of a month: all in one search, "
              "which goes on from where it was stopped.")  # fmt: skip
@click.option("--into", metavar="PACK", type=PATH,
              help="Add the entries to this pack's manifest; every grid new against it and against "
              "the packs that its gate looks at.")  # fmt: skip
@JSON
def set_(
    picture: str | None,
    pictures: bool,
    design: Path | None,
    symmetry: str | None,
    clues: str | None,
    size: int | None,
    blocks: str | None,
    count: int,
    seed: int,
    budget: float,
    wishes: Path | None,
    into: Path | None,
    as_json: bool,
    **wanted: Any,
) -> None:
    """Set new grids, proved and rated, as manifest entries.

    Exit 5 where the budget ran out, or at Ctrl-C; the grids found so far are printed.

    \b
    Example: packbuilder set --count 3 --grade 2 --clues 24-30 --seed 7
    Example: packbuilder set --picture heart --needs skyscraper
    Example: packbuilder set --size 6 --rule thermometers --rule anti-knight
    Example: packbuilder set --wishes month.yaml --into packs/kites
    """
    from packbuilder.setting import search
    from packbuilder.setting.picture import find_picture
    from packbuilder.setting.request import Request

    if pictures:
        _draw_pictures()
        return
    target = Target.of(into) if into else None
    if wishes:
        others = (picture, design, symmetry, clues, size, blocks, *wanted.values())
        if any(others) or count > 1:
            raise InputError("--wishes: what is asked of each grid stands in its file; add there")
        _set_month(wishes, seed, budget, target, as_json)
        return
    if design:
        if picture or size or blocks or wanted.pop("rules"):
            raise InputError("--from: picture, size, blocks and rules stand in its entry")
        _set_design(design, {**wanted, "symmetry": symmetry, "clues": clues},
                    count, seed, budget, target, as_json)  # fmt: skip
        return
    drawn = find_picture(picture) if picture else None
    if drawn and symmetry:
        raise InputError("--symmetry with --picture: the picture says where the clues stand")
    rules, counts = _counted(wanted.pop("rules"))
    geometry = read_geometry(size or (drawn.size if drawn else 9), blocks)
    usual = drawn.span if drawn else search.usual_clues(geometry, bool(rules))
    request = Request(
        geometry,
        read_span(clues) if clues else usual,
        symmetry or ("none" if drawn else "rotational"),
        picture=drawn,
        needs=tuple(dict.fromkeys(wanted.pop("needs"))),
        rules=rules,
        counts=counts,
        **wanted,
    )
    _show_search(_search(request, count, seed, budget, target), as_json, target)


def _counted(rules: tuple[str, ...]) -> tuple[tuple[str, ...], tuple[tuple[str, int], ...]]:
    """Rules by name, and how many clues some of them have: ``cages`` or ``cages: 12``."""
    names, counts = dict[str, None](), dict[str, int]()
    for rule in rules:
        name, colon, count = (one.strip() for one in rule.partition(":"))
        names[name] = None
        if colon:
            if not re.fullmatch("[1-9][0-9]?", count):
                raise InputError(f"--rule {shown(rule)}: write a number behind it: 'cages: 12'")
            counts[name] = int(count)
    return tuple(names), tuple(counts.items())


def _search(
    request: Request, count: int, seed: int, budget: float, target: Target | None
) -> Search:
    from packbuilder.setting.search import Search

    workers, known = os.cpu_count() or 1, target.known if target else ()
    return Search(request, count, seed=seed, budget=budget, workers=workers, known=known)


def _set_design(
    file: Path,
    wanted: dict[str, Any],
    count: int,
    seed: int,
    budget: float,
    target: Target | None,
    as_json: bool,
) -> None:
    """Grids of a design."""
    from packbuilder.setting.design_file import read_design

    design = read_design(file, **wanted)

    def told(number: int) -> dict[str, Any]:
        more = count > 1
        return {
            "name": f"{design.id}-{number}" if design.id and more else design.id,
            "title": f"{design.title} {number}" if design.title and more else design.title,
            "carried": design.carried,
        }

    _show_search(_search(design.request, count, seed, budget, target), as_json, target, told)


def _show_search(
    found: Search,
    as_json: bool,
    target: Target | None,
    told: Callable[[int], dict[str, Any]] = lambda _number: {},
) -> None:
    """Print the grids of a search as they come, or add them to a pack; and how it stands meanwhile.

    What is found is not lost if the rest is stopped. ``told`` is what the entry of a number says of
    its own.
    """
    from packbuilder.cli.searching import watched
    from packbuilder.setting import entries

    grids = []
    try:
        with watched(found):
            for number, grid in enumerate(found, start=1):
                with uninterrupted():
                    if target:
                        target.add(grid, number, **told(number))
                    elif not as_json:
                        click.echo(entries.as_manifest_entry(grid, number, **told(number)))
                        sys.stdout.flush()
                    grids.append(entries.as_json(grid))
    except KeyboardInterrupt:
        raise Unfinished(f"stopped: {len(grids)} of {found.count} grids found") from None
    finally:
        if as_json:
            print_json({"grids": grids, **found.tally.as_json})


def _set_month(file: Path, seed: int, budget: float, target: Target | None, as_json: bool) -> None:
    """The grids of a list of wishes."""
    from packbuilder.cli.searching import watched
    from packbuilder.setting import entries
    from packbuilder.setting.month import Month, State
    from packbuilder.setting.wishes import read_wishes

    wishes = read_wishes(file, seed)
    month = Month(
        wishes,
        budget=budget,
        workers=os.cpu_count() or 1,
        known=target.known if target else (),
        state=State.read(file.with_name(f"{file.name}.found")),
    )
    try:
        with watched(month):
            for _ in month:
                pass
    except KeyboardInterrupt:
        told = f"stopped: {month.found} of {month.count} grids found"
        raise Unfinished(f"{told}; start it again to go on from here") from None
    finally:  # in the order of the wishes; what is found stands in the file of the state, too
        number = 0
        for one in month.sought:
            for k, grid in enumerate(one.grids, start=1):
                number += 1
                title = one.wish.title
                title = f"{title} {k}" if title and one.wish.count > 1 else title
                if target:
                    target.add(grid, number, title=title)
                elif not as_json:
                    click.echo(entries.as_manifest_entry(grid, number, title=title))
        if as_json:
            print_json(_month_json(month))


def _month_json(month: Month) -> dict[str, Any]:
    from packbuilder.setting import entries

    wishes = [
        {
            "line": one.wish.line,
            "title": one.wish.title,
            "grids": [entries.as_json(grid) for grid in one.grids],
            **one.tally.as_json,
        }
        for one in month.sought
    ]
    return {"wishes": wishes, **month.tally.as_json}


@dataclass(frozen=True)
class Target:
    """A manifest that new entries go into; ``known`` are the fingerprints that none may have."""

    file: Path
    known: frozenset[str]

    @classmethod
    def of(cls, place: Path) -> Target:
        """That of a pack. Raises InputError."""
        from packbuilder import manifest
        from packbuilder.archive import Archive, archive_of

        pack = manifest.load(place)
        beside = archive_of(pack)
        archive = Archive(beside.home, (pack.folder, *beside.folders))
        file = place / manifest.NAME if place.is_dir() else place
        return cls(file, archive.fingerprints())

    def add(self, grid: NewGrid, number: int, **told: Any) -> None:
        """Add one entry, and say so."""
        from packbuilder import manifest
        from packbuilder.kinship import fingerprint
        from packbuilder.setting.entries import as_manifest_entry
        from packbuilder.setting.into import add_entries

        pack = manifest.load(self.file)
        mark = fingerprint(grid.geometry, grid.clues, grid.parts)
        for one in pack.puzzles:
            if fingerprint(one.geometry, one.clues, one.rules) == mark:
                click.echo(f"{one.id} was added before", err=True)
                return
        taken = [one.id for one in pack.puzzles]
        entry = as_manifest_entry(grid, number, taken=taken, **told)
        add_entries(pack, self.file, [entry])
        added = manifest.load(self.file).puzzles[-1]
        click.echo(f"added {added.id} to {self.file}", err=True)


def _draw_pictures() -> None:
    from packbuilder.setting.picture import own

    for name, picture in own().items():
        click.echo(f"{name} ({picture.size}x{picture.size}, {picture.span[0]} clues)")
        for row in picture.text.splitlines():
            click.echo("  " + " ".join(row))
        click.echo()


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
    Example: packbuilder kin packs/kites lamp-room
    Example: packbuilder kin packs/kites lamp-room ../last-year
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
