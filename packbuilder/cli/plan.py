"""The command for the year: what past months used, and what next month could be about."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from packbuilder.cli.options import JSON, PATH
from packbuilder.cli.progress import complain, print_json
from packbuilder.errors import InputError

if TYPE_CHECKING:
    from packbuilder.issuing.year import Year


@click.command()
@click.argument("folder", type=PATH)
@click.option("--ledger", type=PATH, metavar="FILE", help="The ledger [FOLDER/ledger.yaml].")
@click.option("--chart", "charts", multiple=True, type=PATH, metavar="FILE",
              help="Draw a chart too: FILE.pdf or FILE.svg; may be given again.")  # fmt: skip
@JSON
def plan(folder: Path, ledger: Path | None, charts: tuple[Path, ...], as_json: bool) -> None:
    """Show what the months used, how often, and what has not been for long; propose the next.

    Counts puzzles of the ledger, and of packs in FOLDER that are built and not yet released.

    \b
    Example: packbuilder plan packs --chart year.pdf
    """
    from packbuilder.cli import console
    from packbuilder.issuing import proposal as proposing
    from packbuilder.issuing import year as years
    from packbuilder.issuing.ledger import NAME, read_ledger

    for file in charts:
        if file.suffix not in (".pdf", ".svg"):
            raise click.UsageError(f"--chart {file}: name a file that ends in .pdf or .svg")
    found = years.year(read_ledger(ledger or folder / NAME), folder)
    for record in found.unread:
        complain(f"{record}: does not say what its puzzles have; build the pack again to count it")
    if not found.issues:
        raise InputError(f"{folder}: {_why_none(folder)}")
    proposed = proposing.proposal(found)
    for file in charts:
        _draw(found, file)
        complain(f"wrote {file}")
    if as_json:
        print_json({**years.as_json(found), "proposal": proposing.as_json(proposed)})
    else:
        console.show_year(found, proposed)


def _why_none(folder: Path) -> str:
    """Why a folder tells nothing of the months, and how to mend it."""
    from packbuilder.manifest import NAME

    if not folder.is_dir():
        return "there is no such folder; name the one that the packs' folders are in"
    if (folder / NAME).exists():
        around = folder / ".." if folder.name in ("", "..") else folder.parent
        return f"this is one pack; name the folder of packs that it is in: {around}"
    return "no pack of it is released or built; `packbuilder release` one first"


def _draw(year: Year, file: Path) -> None:
    from packbuilder.issuing.chart import chart
    from packbuilder.issuing.svg import svg
    from packbuilder.release.leaflets import write_leaflet
    from packbuilder.release.staging import move_in, staging

    drawn = chart(year)
    with staging(file.absolute().parent, "no chart was made") as aside:
        made = aside / file.name
        if file.suffix == ".pdf":
            write_leaflet(drawn, made)
        else:
            made.write_text(svg(drawn), encoding="utf-8", newline="\n")
        move_in([made], file.absolute().parent)
