"""The commands for a pack: start, check, build, readback, schema."""

from __future__ import annotations

import json
import shlex
from pathlib import Path
from typing import TYPE_CHECKING

import click

from packbuilder.cli.options import JSON, PACK, limits
from packbuilder.cli.progress import progress
from packbuilder.errors import Exit, Refused

if TYPE_CHECKING:
    from packbuilder.gate import Report
    from packbuilder.puzzle import Pack


@click.command()
@click.argument("folder", metavar="DIR", type=click.Path(path_type=Path))
@click.option("--title", required=True, help="The pack's title, as printed on the cover.")
@click.option("--issue", required=True, metavar="YYYY-MM", help="The month of the pack.")
def start(folder: Path, title: str, issue: str) -> None:
    """Make a new pack's folder, ready to check and build.

    \b
    Example: packbuilder start packs/kites --title "Kites over Marl Hill" --issue 2027-03
    """
    from packbuilder import starter

    for path in starter.start(folder, title, issue):
        click.echo(f"wrote {path}", err=True)
    click.echo(f"next: packbuilder build {shlex.quote(str(folder))}", err=True)


@click.command()
@PACK
@JSON
@limits
def check(pack: Path, as_json: bool, node_limit: int | None, time_limit: float) -> None:
    """Hold every promise of a pack against the facts. Exit 3 where one fails.

    \b
    Example: packbuilder check packs/kites
    """
    from packbuilder import console, gate

    report = _gated(pack, node_limit, time_limit)
    if as_json:
        click.echo(json.dumps(gate.as_json(report), ensure_ascii=False, indent=2))
    else:
        console.show_report(report)
    if not report.passed:
        raise click.exceptions.Exit(Exit.REFUSED)


@click.command()
@PACK
@click.option("--out", type=click.Path(path_type=Path), help="Where to release to [PACK/out].")
@click.option(
    "--edition",
    "editions",
    multiple=True,
    default=("print",),
    show_default=True,
    help="The form of the pack; this version prints one.",
)
@limits
def build(
    pack: Path,
    out: Path | None,
    editions: tuple[str, ...],
    node_limit: int | None,
    time_limit: float,
) -> None:
    """Check a pack, print it, read the print back, and release it: all of it or nothing.

    \b
    Example: packbuilder build packs/kites
    """
    from packbuilder import console

    report = _gated(pack, node_limit, time_limit)
    if not report.passed:
        console.show_report(report, err=True)
        raise Refused(f"{report.pack.slug}: the gate refused this pack; nothing was released")
    from packbuilder.release.build import build as build_pack

    built = build_pack(
        report,
        out or report.pack.folder / "out",
        editions,
        stage=lambda words: click.echo(words, err=True),
    )
    click.echo(
        f"{len(report.checked)} puzzles proved; {built.pages} pages and {built.grids} grids "
        "read back: the print is the verified pack",
        err=True,
    )
    for path in built.files:
        click.echo(str(path))


@click.command()
@click.argument("pdf", type=click.Path(path_type=Path))
@click.option("--against", "pack", required=True, type=click.Path(path_type=Path), metavar="PACK")
@JSON
@limits
def readback(
    pdf: Path, pack: Path, as_json: bool, node_limit: int | None, time_limit: float
) -> None:
    """Prove that a printed PDF is the verified pack. Exit 4 where it is not.

    \b
    Example: packbuilder readback packs/kites/out/kites-print.pdf --against packs/kites
    """
    from packbuilder import console, gate
    from packbuilder.binding import bind
    from packbuilder.readback import as_json as seen_json
    from packbuilder.readback import read

    report = _gated(pack, node_limit, time_limit)
    if not report.passed:
        if as_json:
            click.echo(json.dumps(gate.as_json(report), ensure_ascii=False, indent=2))
        else:
            console.show_report(report, err=True)
    seen = read(pdf, bind(report))
    if as_json:
        click.echo(json.dumps(seen_json(seen), ensure_ascii=False, indent=2))
    else:
        for finding in seen.findings:
            click.echo(finding.words())
        verdict = "the print is the verified pack" if seen.ok else "this is NOT the verified pack"
        click.echo(f"{pdf.name}: {seen.pages} pages and {seen.grids} grids read: {verdict}")
    if not seen.ok:
        raise click.exceptions.Exit(Exit.MISMATCH)


@click.command()
def schema() -> None:
    """Print the manifest's JSON Schema, for an editor that completes and checks YAML.

    \b
    Example: packbuilder schema > manifest.schema.json
    """
    from packbuilder import manifest

    click.echo(json.dumps(manifest.schema(), ensure_ascii=False, indent=2))


def _gated(place: Path, node_limit: int | None, time_limit: float) -> Report:
    """Load a pack and put it through the gate, with progress for the eye."""
    from packbuilder import gate, manifest
    from packbuilder.proof import kernel

    pack: Pack = manifest.load(place)
    with progress("proving and solving", len(pack.puzzles)) as advance:
        return gate.check(
            pack,
            limits=gate.Limits(kernel.NODE_LIMIT if node_limit is None else node_limit, time_limit),
            done=lambda _puzzle: advance(1),
        )
