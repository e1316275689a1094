"""The commands for a pack in print: build, readback, editions, previews."""

from __future__ import annotations

import os
from pathlib import Path
from typing import TYPE_CHECKING

import click

from packbuilder.cli.options import EDITION_NAMES, JSON, PACK, PATH, Bounds, limits
from packbuilder.cli.packs import gated
from packbuilder.cli.progress import MOST_TOLD, complain, print_json
from packbuilder.editions import EDITIONS, PRINT, Edition
from packbuilder.errors import Exit, InputError, PackbuilderError, Refused
from packbuilder.phrases import counted

if TYPE_CHECKING:
    from packbuilder.gate import Memory, Report
    from packbuilder.release.build import Built


@click.command()
@PACK
@click.option("--out", type=PATH, help="Where to release to [PACK/out].")
@EDITION_NAMES
@click.option(
    "--watch", "watching", is_flag=True,
    help="Build again whenever the pack changes, and keep page numbers steady; Ctrl-C ends.",
)  # fmt: skip
@limits
def build(
    pack: Path, out: Path | None, names: tuple[str, ...], watching: bool, bounds: Bounds
) -> None:
    """Check a pack, print it, read the print back, and release it: all of it or nothing.

    \b
    Example: packbuilder build packs/kites
             packbuilder build packs/kites --edition print --edition booklet
    """
    from packbuilder.editions import chosen
    from packbuilder.release.build import build as build_pack

    chosen(names)  # a slip in a name is told before anything is proved
    if watching:
        _watch(pack, out, names, bounds)
        return
    report = passed(pack, bounds)
    place, cores = out or report.pack.folder / "out", os.cpu_count() or 1
    built = build_pack(report, place, names, say=complain, workers=cores)
    tell_built(built, len(report.checked))


def passed(pack: Path, bounds: Bounds, memory: Memory | None = None) -> Report:
    """What the gate says of a pack that it lets pass. Raises Refused for another."""
    from packbuilder.cli import console

    report = gated(pack, bounds, memory)
    if not report.passed:
        console.show_report(report, err=True)
        why = "".join(f": {finding.message}" for finding in report.refusals[:1])
        raise Refused(f"{report.pack.slug}: the gate refused this pack{why}; nothing was released")
    console.show_notes(report)
    return report


def _watch(pack: Path, out: Path | None, names: tuple[str, ...], bounds: Bounds) -> None:
    """Build at every change until interrupted. A fault is told, and the next change awaited."""
    from packbuilder import manifest
    from packbuilder.release import watch
    from packbuilder.release.page_numbers import Rebuilds

    if not pack.exists():
        manifest.load(pack)  # says so, and ends: there is nothing to wait for
    folder = pack if pack.is_dir() else pack.parent
    place, layouts = out or folder / "out", watch.layout_folders()
    rebuilds = Rebuilds(names, complain, os.cpu_count() or 1)
    memory: Memory = {}
    try:
        for _ in watch.changes(lambda: watch.snapshot(folder, place, *layouts)):
            try:
                report = passed(pack, bounds, memory)
                built, said = rebuilds.build(report, place)
                tell_built(built, len(report.checked))
                for words in said:
                    complain(words)
            except PackbuilderError as fault:
                complain(str(fault))
            complain("waiting for a change; Ctrl-C ends")
    except KeyboardInterrupt:
        complain("no longer watching")


def tell_built(built: Built, puzzles: int) -> None:
    """The files that were made; on standard error what was proved, and what became of others."""
    read = _amount(built.pages, built.grids)
    complain(
        f"{counted(puzzles, 'puzzle')} proved; {read} read back: the print is the verified pack"
    )
    if built.leftovers.kept:
        complain(f"kept, of this very pack: {', '.join(x['name'] for x in built.leftovers.kept)}")
    for path in built.leftovers.outdated:
        complain(f"{path.name}: was of an earlier state of the pack, and is gone; build it again")
    for path in built.leftovers.unrecorded:
        complain(f"{path.name}: is not as it was released, and release.json does not vouch for it")
    for path in built.files:
        click.echo(str(path))


@click.command()
@click.argument("pdf", type=PATH)
@click.option("--against", "pack", required=True, type=PATH, metavar="PACK")
@click.option("--edition", "name", metavar="NAME", help="Its form [as the file's name ends].")
@JSON
@limits
def readback(pdf: Path, pack: Path, name: str | None, as_json: bool, bounds: Bounds) -> None:
    """Prove that a printed PDF is the verified pack. Exit 4 where it is not.

    The form is told by the end of the file's name, such as -booklet.pdf; else it is print.

    \b
    Example: packbuilder readback packs/kites/out/kites-print.pdf --against packs/kites
    """
    from packbuilder import gate
    from packbuilder.book.assembling import assemble
    from packbuilder.cli import console
    from packbuilder.readback import as_json as seen_json
    from packbuilder.release.reading_back import read_back

    form = edition_of(pdf, name)
    report = gated(pack, bounds)
    if not report.passed:
        if as_json:
            print_json(gate.as_json(report))
        else:
            console.show_report(report, err=True)
    seen = read_back(pdf, assemble(report), form)
    if as_json:
        document = {"edition": form.name, **seen_json(seen)}
        print_json(document)
    else:
        for finding in seen.findings[:MOST_TOLD]:
            click.echo(finding.words())
        if len(seen.findings) > MOST_TOLD:
            click.echo(f"... and {len(seen.findings) - MOST_TOLD} more findings")
        if seen.note:
            complain(f"{pdf.name}: {seen.note}")
        verdict = "the print is the verified pack" if seen.ok else "this is NOT the verified pack"
        if not seen.planned:
            verdict += " by the first proof, what a reader sees; the second, its plan, was not held"
        click.echo(f"{pdf.name}: {_amount(seen.pages, seen.grids)} read: {verdict}")
    if not seen.ok:
        raise click.exceptions.Exit(Exit.MISMATCH)


def _amount(pages: int, grids: int) -> str:
    """What was read: of a text, which has no pages, the grids."""
    of_pages = f"{counted(pages, 'page')} and " if pages else ""
    return of_pages + counted(grids, "grid")


def edition_of(file: Path, name: str | None) -> Edition:
    """The edition that a file is to be read as: the one named, or else by the file's name.

    Raises InputError for an unknown name, and where the kind of file is not the edition's.
    """
    from packbuilder.editions import edition

    ends = [one for one in EDITIONS.values() if file.name.endswith(f"-{one.name}{one.suffix}")]
    kinds = {one.suffix: one for one in reversed(EDITIONS.values())}
    form = edition(name) if name is not None else None
    form = form or max(ends, key=lambda one: len(one.name), default=kinds.get(file.suffix, PRINT))
    if form.suffix != file.suffix and file.suffix in kinds:
        raise InputError(
            f"{file}: the {form.name} edition is a {form.suffix} file; name that, "
            f"or leave --edition {form.name} out"
        )
    return form


@click.command()
@JSON
def editions(as_json: bool) -> None:
    """List the editions: the forms in which a pack can be built.

    \b
    Example: packbuilder editions
    """
    if as_json:
        told = [_edition_facts(one) for one in EDITIONS.values()]
        print_json(told)
        return
    for one in EDITIONS.values():
        click.echo(f"{one.name:12} {one.about}\n{'':12} {_setting(one)}")


def _edition_facts(one: Edition) -> dict[str, object]:
    return {
        "name": one.name,
        "about": one.about,
        "suffix": one.suffix,
        "paper": one.paper,
        "layout": one.layout,
        "least_text_pt": one.text,
        "links": one.links,
        "fields": one.fields,
        "dark": one.dark,
        "folded": one.folded,
        "bleed_mm": one.bleed,
        "tagged": one.tagged,
    }


def _setting(one: Edition) -> str:
    """Paper and layout in a few words."""
    if one.suffix == ".txt":
        return "a text file: no paper"
    paper = f"paper {one.paper}" if one.paper else "the pack's paper"
    paper += ", two pages a side" if one.folded else ""
    return f"{paper}; " + (f"layout {one.layout}" if one.layout else "the pack's layout")


@click.command()
@PACK
@click.option(
    "--edition", "name", metavar="NAME", default=PRINT.name, show_default=True,
    help="The edition to take pictures of.",
)  # fmt: skip
@click.option(
    "--page", "pages", metavar="N", multiple=True, type=click.IntRange(min=1),
    help="A page to show besides the cover; may be given several times [the first page of puzzles, "
    "and one that teaches].",
)  # fmt: skip
@click.option(
    "--release", "releases", type=PATH, metavar="DIR",
    help="Where the pack was released to [PACK/out].",
)  # fmt: skip
@click.option(
    "--out", type=PATH, metavar="DIR",
    help="Where the pictures go [PACK/out/previews].",
)  # fmt: skip
@click.option(
    "--width", type=click.IntRange(min=200, max=6000), metavar="PX", default=1200,
    show_default=True,
    help="How wide every picture is, in pixels.",
)  # fmt: skip
@click.option(
    "--with-answers", is_flag=True,
    help="Show third hints and answers too; without it they are refused, and veiled on the contact "
    "sheet.",
)  # fmt: skip
def previews(
    pack: Path,
    name: str,
    pages: tuple[int, ...],
    releases: Path | None,
    out: Path | None,
    width: int,
    with_answers: bool,
) -> None:  # fmt: skip
    """Make pictures for posting from the released file: pages, crops, a contact sheet.

    \b
    Example: packbuilder previews packs/kites --page 4 --width 1080
    """
    from packbuilder.editions import edition
    from packbuilder.manifest import slug_of
    from packbuilder.pictures.previews import Wanted
    from packbuilder.pictures.previews import previews as make

    if not pack.exists():
        raise InputError(f"{pack}: there is no such folder or file; check the spelling")
    folder = pack if pack.is_dir() else pack.parent
    releases = releases or folder / "out"
    wanted = Wanted(edition(name), pages, width, with_answers)
    for path in make(slug_of(folder), releases, out or releases / "previews", wanted, complain):
        click.echo(str(path))
