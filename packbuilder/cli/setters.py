"""The commands for setters: credit, permission and proof sheets; and a grid taken in as it came."""

from __future__ import annotations

import re
import unicodedata
from pathlib import Path
from typing import TYPE_CHECKING

import click

from packbuilder.cli.options import JSON, PACK, PATH, Bounds, limits
from packbuilder.cli.packs import gated
from packbuilder.cli.progress import complain, print_json
from packbuilder.errors import Exit

if TYPE_CHECKING:
    from packbuilder.gate import Report
    from packbuilder.setters.roll import Setter


@click.command()
@PACK
@click.option(
    "--sheets", type=PATH, metavar="DIR",
    help="Make a proof sheet there for each guest, to approve before release.",
)  # fmt: skip
@JSON
@limits
def setters(pack: Path, sheets: Path | None, as_json: bool, bounds: Bounds) -> None:
    """Tell who gave which grid, with whose leave since when, and what is missing.

    Exit 3 where a guest's permission is missing.

    \b
    Example: packbuilder setters packs/kites --sheets packs/kites/proofs
    """
    from packbuilder.cli import console
    from packbuilder.setters.roll import as_json as told
    from packbuilder.setters.roll import roll

    report = gated(pack, bounds)
    found = roll(report)
    if as_json:
        print_json(told(found))
    else:
        console.show_setters(found)
    if sheets is not None:
        for path in _sheets(report, found, sheets):
            complain(f"wrote {path}")
    if any(one.withheld for one in found):
        raise click.exceptions.Exit(Exit.REFUSED)


def _sheets(report: Report, found: tuple[Setter, ...], folder: Path) -> tuple[Path, ...]:
    """A proof sheet for each guest; a puzzle without its one solution is told of and left out."""
    from packbuilder.release.leaflets import write_leaflet
    from packbuilder.release.staging import move_in, staging
    from packbuilder.setters.proof_sheet import proof_sheet

    with staging(folder, "no proof sheets were made", "--sheets") as aside:
        made, taken = list[Path](), set[str]()
        for setter in (one for one in found if one.guest):
            given = [one for one in report.checked if one.puzzle.setter == setter.name]
            ready = [one for one in given if one.path is not None]
            for one in given:
                if one.path is None:
                    complain(f"{one.puzzle.where}: {one.puzzle.id}: has not one solution, and no "
                             "proof sheet")  # fmt: skip
            if ready:
                name = _name(setter.name, taken)
                path = aside / f"{report.pack.slug}-proof-{name}.pdf"
                made.append(write_leaflet(proof_sheet(report.pack, setter.name, ready), path))
        return move_in(made, folder) if made else ()


def _name(setter: str, taken: set[str]) -> str:
    """A setter's name as a file's name may have it, each its own."""
    plain = re.sub(r"[\W_]+", "-", unicodedata.normalize("NFC", setter).lower()).strip("-")
    name = base = plain or "setter"
    while name in taken:
        name = f"{base}-{len(taken) + 1}"
    taken.add(name)
    return name
