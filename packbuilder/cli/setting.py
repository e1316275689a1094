"""The command that makes grids: set."""

from __future__ import annotations

import os
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from packbuilder.cli.found_grids import Output, Target
from packbuilder.cli.options import (
    CLUSTER,
    JSON,
    PATH,
    read_geometry,
    read_span,
    workers_at,
)  # fmt: skip
from packbuilder.errors import InputError, Unfinished
from packbuilder.workers import uninterrupted

if TYPE_CHECKING:
    from packbuilder.setting.month import Month
    from packbuilder.setting.request import Request
    from packbuilder.setting.search import Search


@click.command("set")
@click.option("--picture", metavar="FILE|NAME",
              help="Where clues stand: a text picture (# a clue, . none, ? either, or a digit), or "
              "the name of one of our own.")  # fmt: skip
@click.option("--pictures", is_flag=True, help="Draw the pictures that there are, and no more.")
@click.option("--needs", multiple=True, metavar="TECHNIQUE",
              help="A technique that each grid must need; may be given again.")  # fmt: skip
@click.option("--only", multiple=True, metavar="TECHNIQUE",
              help="A technique that each must need and that nothing else on its rung can stand in "
              "for; may be given again.")  # fmt: skip
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
@click.option("--sheet", metavar="FILE.pdf", type=PATH,
              help="Also print the grids as cards to choose from: grade, path, marks, picture.",
              )  # fmt: skip
@CLUSTER
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
    sheet: Path | None,
    address: str | None,
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
    from packbuilder.setting.wishes import counted_rules

    if pictures:
        _draw_pictures()
        return
    output = Output(Target.of(into) if into else None, as_json, sheet)
    who = {"workers": os.cpu_count() or 1}
    who |= click.get_current_context().with_resource(workers_at(address))
    begin = partial(_search, count=count, seed=seed, budget=budget, output=output, who=who)
    if wishes:
        others = (picture, design, symmetry, clues, size, blocks, *wanted.values())
        if any(others) or count > 1:
            raise InputError("--wishes: what is asked of each grid stands in its file; add there")
        _set_month(wishes, seed, budget, output, who)
        return
    if design:
        if picture or size or blocks or wanted.pop("rules"):
            raise InputError("--from: picture, size, blocks and rules stand in its entry")
        _set_design(design, begin, output, symmetry=symmetry, clues=clues, **wanted)
        return
    drawn = find_picture(picture) if picture else None
    if drawn and symmetry:
        raise InputError("--symmetry with --picture: the picture says where the clues stand")
    rules, counts = counted_rules(wanted.pop("rules"))
    geometry = read_geometry(size or (drawn.size if drawn else 9), blocks)
    usual = drawn.span if drawn else search.usual_clues(geometry, bool(rules))
    request = Request(
        geometry,
        read_span(clues) if clues else usual,
        symmetry or ("none" if drawn else "rotational"),
        picture=drawn,
        needs=tuple(dict.fromkeys(wanted.pop("needs"))),
        only=tuple(dict.fromkeys(wanted.pop("only"))),
        rules=rules,
        counts=counts,
        **wanted,
    )
    _show_search(begin(request), output)


def _search(
    request: Request, *, count: int, seed: int, budget: float, output: Output, who: dict[str, Any]
) -> Search:
    from packbuilder.setting.search import Search

    return Search(request, count, seed=seed, budget=budget, known=output.known, **who)


def _set_design(
    file: Path, begin: Callable[[Request], Search], output: Output, **wanted: Any
) -> None:
    """Grids of a design."""
    from packbuilder.setting.design_file import read_design

    design = read_design(file, **wanted)
    search = begin(design.request)

    def told(number: int) -> dict[str, Any]:
        more = search.count > 1
        return {
            "name": f"{design.id}-{number}" if design.id and more else design.id,
            "title": f"{design.title} {number}" if design.title and more else design.title,
            "carried": design.carried,
        }

    _show_search(search, output, told)


def _show_search(
    search: Search,
    output: Output,
    told: Callable[[int], dict[str, Any]] = lambda _number: {},
) -> None:
    """Take the grids of a search as they come, and say how it stands meanwhile.

    What is found is not lost if the rest is stopped. ``told`` is what the entry of a number says of
    its own.
    """
    from packbuilder.cli.searching import watched
    from packbuilder.setting.entries import as_json

    grids = []
    try:
        with watched(search):
            for number, grid in enumerate(search, start=1):
                with uninterrupted():
                    output.take(grid, number, **told(number))
                    grids.append(as_json(grid))
    except KeyboardInterrupt:
        raise Unfinished(f"stopped: {len(grids)} of {search.count} grids found") from None
    finally:
        output.end({"grids": grids, **search.tally.as_json})


def _set_month(file: Path, seed: int, budget: float, output: Output, who: dict[str, Any]) -> None:
    """The grids of a list of wishes."""
    from packbuilder.cli.searching import watched
    from packbuilder.setting.month import Month, State
    from packbuilder.setting.wishes import read_wishes

    month = Month(
        read_wishes(file, seed),
        budget=budget,
        **who,
        known=output.known,
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
                output.take(grid, number, title=title)
        output.end(_month_json(month))


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


def _draw_pictures() -> None:
    from packbuilder.setting.picture import own

    for name, picture in own().items():
        click.echo(f"{name} ({picture.size}x{picture.size}, {picture.span[0]} clues)")
        for row in picture.text.splitlines():
            click.echo("  " + " ".join(row))
        click.echo()
