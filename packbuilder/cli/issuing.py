"""The commands for a pack that goes out: release, and reissue when an error is found."""

from __future__ import annotations

import os
from pathlib import Path
from typing import TYPE_CHECKING

import click

from packbuilder.cli.copies import How, copied, copying
from packbuilder.cli.options import PACK, PATH, Bounds, limits
from packbuilder.cli.progress import complain
from packbuilder.cli.releases import passed, tell_built
from packbuilder.editions import EDITIONS, PRINT, SAMPLER
from packbuilder.errors import InputError
from packbuilder.phrases import counted

if TYPE_CHECKING:
    from packbuilder.issuing.changes import Changes
    from packbuilder.issuing.releasing import Places

OUT = click.option("--out", type=PATH, metavar="DIR", help="Where to release to [PACK/out].")
LEDGER = click.option(
    "--ledger", type=PATH, metavar="FILE", help="The ledger [ledger.yaml beside the pack's folder]."
)
COPIES = click.option("--to", type=PATH, metavar="DIR", help="Where copies are [PACK/copies].")


@click.command()
@PACK
@OUT
@click.option(
    "--edition", "names", multiple=True, metavar="NAME", show_default=True,
    default=(PRINT.name, SAMPLER.name),
    help="A form of the pack; may be given several times; `all` for every one.",
)  # fmt: skip
@LEDGER
@click.option("--supporters", "people", type=PATH, metavar="CSV",
              help="Make copies too, for those on the list.")  # fmt: skip
@click.option(
    "--copy", "copy_names", multiple=True, metavar="NAME", default=(PRINT.name,),
    show_default=True, help="The edition to copy; may be given several times.",
)  # fmt: skip
@COPIES
@copying
@limits
def release(
    pack: Path,
    out: Path | None,
    names: tuple[str, ...],
    ledger: Path | None,
    people: Path | None,
    copy_names: tuple[str, ...],
    to: Path | None,
    how: How,
    bounds: Bounds,
) -> None:
    """Send a pack out: build it, take previews, write a post to paste, note it in the ledger.

    A second run changes nothing. A pack that has changed since it went out is refused: reissue it.

    \b
    Example: packbuilder release packs/kites --supporters list.csv
    """
    from packbuilder.editions import chosen, edition
    from packbuilder.issuing.releasing import release as send_out
    from packbuilder.supporters.people import read_supporters

    forms = chosen(names)
    if people is not None:  # a slip in the list is told before anything is proved
        read_supporters(people, how.encoding, same_names=how.same_names)
        for name in copy_names:
            if edition(name) not in forms:
                raise InputError(f"--copy {name}: is not released; add --edition {name}")
    elif how != How():
        raise click.UsageError("say with --supporters who gets a copy, or leave out how it is made")
    report = passed(pack, bounds)
    places = _places(report.pack.folder, out, ledger)
    gone = send_out(report, places, names, complain, os.cpu_count() or 1)
    tell_built(gone.built, len(report.checked))
    for path in gone.files:
        click.echo(str(path))
    complain(f"{places.ledger}: {'noted' if gone.noted else 'has it already'}")
    if people is not None:
        folder = to or report.pack.folder / "copies"
        for name in dict.fromkeys(copy_names):
            made = copied(report.pack.slug, edition(name), places.out, folder, people, how)
            click.echo(str(made["register"]))


@click.command()
@PACK
@click.option("--reason", required=True, help="What was wrong, for readers: it is printed.")
@OUT
@LEDGER
@COPIES
@limits
def reissue(
    pack: Path,
    reason: str,
    out: Path | None,
    ledger: Path | None,
    to: Path | None,
    bounds: Bounds,
) -> None:
    """Send a corrected pack out again, with a slip of errata; the old files are kept.

    Says which puzzles and pages changed, and which copies were made of the old files.

    \b
    Example: packbuilder reissue packs/kites --reason "A clue of puzzle 3 was wrong."
    """
    from packbuilder.issuing.reissuing import reissue as send_again

    if not reason.strip():
        raise click.UsageError("--reason: is empty; say what was wrong")
    report = passed(pack, bounds)
    places = _places(report.pack.folder, out, ledger)
    copies = to or report.pack.folder / "copies"
    words = " ".join(reason.split())
    again = send_again(report, places, copies, words, complain, os.cpu_count() or 1)
    if again is None:
        complain(f"{report.pack.slug}: is as it went out; there is nothing to reissue")
        return
    for path in again.files:
        click.echo(str(path))
    _tell(again.changes)


def _places(folder: Path, out: Path | None, ledger: Path | None) -> Places:
    from packbuilder.issuing.ledger import NAME
    from packbuilder.issuing.releasing import Places

    return Places(out or folder / "out", ledger or folder.absolute().parent / NAME)


def _tell(changes: Changes) -> None:
    """What changed, and who should hear of it."""
    from packbuilder.book.wording import numerals

    if changes.words:
        complain(f"the pack: {' '.join(changes.words)}")
    for puzzle in changes.puzzles:
        complain(f"puzzle {puzzle.number} ({puzzle.id}): {' '.join(puzzle.words)}")
    for file in changes.files:
        told = f"pages {numerals(file.pages, to='-')}" if file.pages else "no page looks different"
        if EDITIONS[file.edition].suffix != ".pdf":
            told = "the text is another one"
        complain(f"{file.edition}: {told}")
        if file.copies:
            count = counted(len(file.copies), "copy", "copies")
            numbers = numerals(file.copies, to="-")
            complain(f"{file.edition}: {count} of the old file: {numbers}. `packbuilder copies` "
                     "makes them anew, and says who has left your list")  # fmt: skip
