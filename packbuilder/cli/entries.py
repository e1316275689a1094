"""The command for entries: who solved a puzzle first."""

from __future__ import annotations

from pathlib import Path

import click

from packbuilder.cli.options import JSON, PACK, PATH, Bounds, limits
from packbuilder.cli.progress import complain, print_json, progress
from packbuilder.errors import InputError
from packbuilder.phrases import counted

ABOUT_BYTES = 60  # of a line of a list: for the length of a progress bar


@click.command()
@PACK
@click.argument("file", metavar="CSV", type=PATH)
@click.option("--first", type=click.IntRange(min=1), default=3, show_default=True,
              help="How many win, a puzzle.")  # fmt: skip
@click.option("--closes", metavar="TIME",
              help="Entries after it are late: 2026-12-24T18:00:00+01:00.")  # fmt: skip
@click.option("--out", type=PATH, metavar="DIR", help="Where the lists go [PACK/entries].")
@click.option("--release", type=PATH, metavar="DIR", help="Where the pack is released [PACK/out].")
@click.option("--to", "copies", type=PATH, metavar="DIR",
              help="Where the register of copies is [PACK/copies].")  # fmt: skip
@click.option("--names", is_flag=True, help="Put the names of those who win into the public list.")
@click.option("--encoding", metavar="NAME", help="Of the list [UTF-8, or what its mark says].")
@JSON
@limits
def entries(
    pack: Path,
    file: Path,
    first: int,
    closes: str | None,
    out: Path | None,
    release: Path | None,
    copies: Path | None,
    names: bool,
    encoding: str | None,
    as_json: bool,
    bounds: Bounds,
) -> None:
    """Tell who solved the puzzles with `entry: true` first, fairly and to the instant.

    CSV has a header `received,name,puzzle,digits`: times as in RFC 3339, with a zone; the puzzle's
    id or number; the digits of the lettered cells in order, or the whole grid. Writes a public list
    (Markdown, plain text), which names people by the numbers of their copies, and a private one.
    Exit 2 where lines could not be read: the lists have all others, and the private one says why.

    \b
    Example: packbuilder entries packs/kites answers.csv --closes 2027-03-31T23:59:59Z
    """
    from packbuilder.cli.packs import gated
    from packbuilder.supporters.entries import as_json as told
    from packbuilder.supporters.entries import judge
    from packbuilder.supporters.entry_lists import write_lists
    from packbuilder.supporters.instants import InstantFault, read_instant
    from packbuilder.supporters.prizes import check_any, checked_prizes, released_prizes
    from packbuilder.supporters.register import read_register

    try:
        end = read_instant(closes.strip()) if closes else None
    except InstantFault as fault:
        raise InputError(f"--closes: {fault}") from fault
    if not pack.exists():
        raise InputError(f"{pack}: there is no such folder or file; check the spelling")
    folder = pack if pack.is_dir() else pack.parent
    prizes = released_prizes(release or folder / "out") or checked_prizes(gated(pack, bounds))
    check_any(prizes, pack)
    about = file.stat().st_size // ABOUT_BYTES if file.exists() else None
    with progress("judging entries", about) as advance:
        results = judge(file, prizes, first, end, encoding, advance)
    register = read_register(copies or folder / "copies")
    numbers = {name.casefold(): number for number, name in register.items()}
    made = write_lists(results, numbers, out or folder / "entries", with_names=names)
    if as_json:
        print_json(told(results))
    else:
        click.echo(made.text, nl=False)
    for path in made.files:
        complain(f"wrote {path}")
    if results.unread:
        unread = counted(len(results.unread), "line")
        raise InputError(
            f"{file}: {unread} could not be read, the first is {results.unread[0].line}: "
            f"{results.unread[0].why}; all others are judged, and the lists written"
        )
