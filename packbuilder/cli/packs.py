"""The commands for a pack as it is written: start, check, schema; and the way through the gate."""

from __future__ import annotations

import shlex
from pathlib import Path
from typing import TYPE_CHECKING

import click

from packbuilder.cli.options import EDITION_NAMES, JSON, PACK, PATH, Bounds, limits, nodes
from packbuilder.cli.progress import print_json, progress
from packbuilder.errors import Exit

if TYPE_CHECKING:
    from packbuilder.gate import Memory, Report
    from packbuilder.puzzle import Pack


@click.command()
@click.argument("folder", metavar="DIR", type=PATH)
@click.option("--title", required=True, help="The pack's title, as printed on the cover.")
@click.option("--issue", required=True, metavar="YYYY-MM", help="The month of the pack.")
def start(folder: Path, title: str, issue: str) -> None:
    """Make a new pack's folder, ready to check and build.

    \b
    Example: packbuilder start packs/kites --title "Kites over Marl Hill" --issue 2027-03
    """
    from packbuilder.cli import starter

    for path in starter.start(folder, title, issue):
        click.echo(f"wrote {path}", err=True)
    click.echo(f"next: packbuilder build {shlex.quote(str(folder))}", err=True)


@click.command()
@PACK
@EDITION_NAMES
@JSON
@limits
def check(pack: Path, names: tuple[str, ...], as_json: bool, bounds: Bounds) -> None:
    """Hold every promise of a pack against the facts, and its texts against the pages of the
    editions asked for. Exit 3 where a promise fails or something does not fit.

    \b
    Example: packbuilder check packs/kites
             packbuilder check packs/kites --edition all
    """
    from packbuilder import gate
    from packbuilder.cli import console
    from packbuilder.editions import chosen
    from packbuilder.release.fits import with_fits

    editions = chosen(names)  # a slip in a name is told before anything is proved
    report = with_fits(gated(pack, bounds), editions)
    if as_json:
        print_json(gate.as_json(report))
    else:
        console.show_report(report)
    if not report.passed:
        raise click.exceptions.Exit(Exit.REFUSED)


@click.command()
def schema() -> None:
    """Print the manifest's JSON Schema, for an editor that completes and checks YAML.

    \b
    Example: packbuilder schema > manifest.schema.json
    """
    from packbuilder import manifest

    print_json(manifest.schema())


def gated(place: Path, bounds: Bounds, memory: Memory | None = None) -> Report:
    """Load a pack and put it through the gate, with progress for the eye. Raises InputError."""
    from packbuilder import gate, manifest
    from packbuilder.archive import archive_of

    pack: Pack = manifest.load(place)
    with progress("proving and solving", len(pack.puzzles)) as advance:
        return gate.check(
            pack,
            limits=gate.Limits(nodes(bounds[0]), bounds[1]),
            done=lambda _puzzle: advance(1),
            memory=memory,
            archive=archive_of(pack),
        )
