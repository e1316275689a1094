"""The command that takes a grid into a pack, out of a text as people send it."""

from __future__ import annotations

import re
import shlex
import sys
import unicodedata
from pathlib import Path
from typing import TYPE_CHECKING, BinaryIO

import click

from packbuilder.cli.options import PACK, read_geometry
from packbuilder.cli.progress import complain
from packbuilder.errors import InputError
from packbuilder.text import encoding_of

if TYPE_CHECKING:
    from packbuilder.grid import Values


@click.command()
@PACK
@click.argument("file", type=click.File("rb"))
@click.option("--id", "name", metavar="ID", help="The puzzle's id [the file's name].")
@click.option("--title", help="The puzzle's title [from the id].")
@click.option("--setter", help="Who set it [the pack's byline].")
@click.option("--permission", help="How a guest gave leave to print it, and when.")
@click.option("--blocks", metavar="RxC", help="Rows x columns of a block, or none [the usual].")
@click.option("--solution", type=click.File("rb"), metavar="FILE",
              help="The setter's solution, if the text has none.")  # fmt: skip
def take(
    pack: Path,
    file: BinaryIO,
    name: str | None,
    title: str | None,
    setter: str | None,
    permission: str | None,
    blocks: str | None,
    solution: BinaryIO | None,
) -> None:
    """Take a grid into a pack out of a text as people send it: FILE, or - for standard input.

    81 characters, rows with rules drawn by hyphens and bars, a table of commas, a picture with
    blanks for empty cells. A filled grid below it is its solution, by which a slip of one digit
    is caught; without one you are asked for it.

    \b
    Example: packbuilder take packs/kites mail.txt --title "Crosswind" --setter "Bo Marl"
    """
    from packbuilder import manifest
    from packbuilder.grid import default_shape, format_rows
    from packbuilder.setters.puzzle_file import Entry, add_puzzle, manifest_of
    from packbuilder.setters.taking import TakeFault, check_slips
    from packbuilder.setters.taking import take as take_grid

    loaded = manifest.load(pack)
    stem = "" if file.name in ("-", "<stdin>") else Path(str(file.name)).stem
    name = _checked(name or _id(title or stem))
    title = title or name.replace("-", " ").title()
    text = _text(file)
    try:
        taken = take_grid(text)
        answer = taken.solution or _solution(solution, ask=bool(stem) and sys.stdin.isatty())
        check_slips(taken.clues, answer)
    except TakeFault as fault:
        raise InputError(f"{file.name}: {fault}") from None
    read_geometry(taken.size, blocks or (None if default_shape(taken.size) else "none"))
    guest = setter if setter != loaded.byline else None
    entry = Entry(name, title, taken.size, taken.clues, answer, guest, permission, blocks)
    click.echo(str(add_puzzle(loaded, manifest_of(pack), entry)))
    complain(format_rows(taken.clues, taken.size))
    if answer is None:
        complain("no solution came with it; ask for it, and write it under `solution:`")
    if guest and not permission:
        complain("the gate asks for the setter's leave; write it under `permission:`")
    complain(f"next: packbuilder check {shlex.quote(str(pack))}")


def _solution(file: BinaryIO | None, *, ask: bool) -> Values | None:
    """The solution that the option names, or that a person types when asked."""
    from packbuilder.setters.taking import take_solution

    if file is not None:
        return take_solution(_text(file))
    text = ""
    if ask:
        text = click.prompt("The setter's solution in one line, or nothing", default="",
                            show_default=False, err=True)  # fmt: skip
    return take_solution(text) if text.strip() else None


def _text(file: BinaryIO) -> str:
    """A file's text: by its mark, UTF-8, or what mail programs of one country or another write.

    Raises InputError for UTF-16 without a mark, and for what is no text.
    """
    data = file.read()
    try:
        text = data.decode(encoding_of(data))
    except UnicodeDecodeError:
        text = data.decode("cp1252", errors="replace")
    if "\0" in text:
        raise InputError(
            f"{file.name}: holds zero bytes, as UTF-16 without a mark does; save the text as UTF-8"
        )
    return text


def _id(words: str) -> str:
    """A title or a file's name as an id."""
    plain = unicodedata.normalize("NFKD", words).encode("ascii", "ignore").decode().lower()
    return re.sub(r"[^a-z0-9]+", "-", plain).strip("-")


def _checked(name: str) -> str:
    from packbuilder.manifest.values import IDENTIFIER
    from packbuilder.yamlfields.document import Scalar
    from packbuilder.yamlfields.values import Wrong

    if not name:
        raise InputError("say with --title what the puzzle is called, or with --id")
    try:
        return IDENTIFIER.take(Scalar(name))
    except Wrong as wrong:
        raise InputError(f"--id: {wrong}") from None
