"""The command for copies: a stamped file for each supporter, and whose a copy is."""

from __future__ import annotations

import functools
from collections.abc import Callable
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from packbuilder.cli.options import CLUSTER, JSON, PACK, PATH, workers_at
from packbuilder.cli.progress import complain, print_json, progress
from packbuilder.editions import PRINT, Edition
from packbuilder.errors import Exit, InputError
from packbuilder.phrases import counted, first_few
from packbuilder.supporters.register import shown

if TYPE_CHECKING:
    from packbuilder.supporters.copies import Copies, Order
    from packbuilder.supporters.whose import Whose


@dataclass(frozen=True)
class How:
    """How a list is read and its copies are made."""

    encoding: str | None = None
    same_names: bool = False
    password: str | None = None
    by_name: bool = False


def copying(command: Callable[..., Any]) -> Callable[..., Any]:
    """The options that say how copies are made; the command gets them as its ``how``."""
    password = click.option(
        "--password", prompt=True, prompt_required=False, hide_input=True,
        help="Encrypt each copy with AES-256, to be opened with this; asked for where none is "
        "given. Such a copy no longer begins with the released file.",
    )  # fmt: skip
    by_name = click.option("--by-name", is_flag=True, help="Put names into the names of files too.")
    same_names = click.option(
        "--same-names", is_flag=True, help="Two supporters may have the same name."
    )
    encoding = click.option(
        "--encoding", metavar="NAME", help="Of the list [UTF-8, or what its mark says]."
    )

    @functools.wraps(command)
    def told(
        *args: Any, encoding: str | None, same_names: bool, password: str | None, by_name: bool,
        **more: Any,
    ) -> Any:  # fmt: skip
        if password == "":
            raise click.UsageError("--password: is empty; give one, or leave it out")
        return command(*args, how=How(encoding, same_names, password, by_name), **more)

    return password(by_name(same_names(encoding(told))))


@click.command()
@PACK
@click.option(
    "--supporters", "people", type=PATH, metavar="CSV",
    help="The list of supporters: a CSV file with a column `name`.",
)  # fmt: skip
@click.option(
    "--edition", "names", multiple=True, metavar="NAME", default=(PRINT.name,), show_default=True,
    help="The edition to copy; may be given several times.",
)  # fmt: skip
@click.option("--out", type=PATH, metavar="DIR", help="Where the pack was released to [PACK/out].")
@click.option("--to", type=PATH, metavar="DIR", help="Where the copies go [PACK/copies].")
@click.option("--who", type=PATH, metavar="FILE", help="Tell instead whose copy a file is.")
@copying
@CLUSTER
@JSON
def copies(
    pack: Path,
    people: Path | None,
    names: tuple[str, ...],
    out: Path | None,
    to: Path | None,
    who: Path | None,
    how: How,
    address: str | None,
    as_json: bool,
) -> None:
    """Make a copy of the released pack for each supporter, with their name on every page.

    Copies are known by their numbers; `register.csv` beside them says whose is which. Keep it to
    yourself. What is there already is left alone: a run that was stopped can be taken up.

    With --cluster the workers get the released file, the numbers and names that the copies say, and
    the password if there is one; not the list, nor anything else on it. Use a cluster that is your
    own, at an address that begins with tls:// where others can listen.

    \b
    Example: packbuilder copies packs/kites --supporters list.csv
             packbuilder copies packs/kites --who packs/kites/copies/kites-print-00001.pdf
    """
    from packbuilder.editions import edition
    from packbuilder.manifest import slug_of
    from packbuilder.supporters.whose import whose

    if not pack.exists():
        raise InputError(f"{pack}: there is no such folder or file; check the spelling")
    folder = pack if pack.is_dir() else pack.parent
    out, to = out or folder / "out", to or folder / "copies"
    if who is not None:
        _tell(whose(who, slug_of(folder), out, to, how.password), who, as_json)
        return
    if people is None:
        raise click.UsageError("say with --supporters who gets a copy, or with --who ask whose")
    with workers_at(address) as workers:
        told = [copied(slug_of(folder), edition(name), out, to, people, how, **workers)
                for name in dict.fromkeys(names)]  # fmt: skip
    if as_json:
        print_json({"copies": told})
    else:
        for one in told:
            click.echo(str(one["register"]))


def copied(
    slug: str, form: Edition, out: Path, to: Path, people: Path, how: How, **workers: Any
) -> dict[str, object]:
    """Make the copies of one edition, and say so; gives what `--json` has of it."""
    from packbuilder.release.leftovers import file_name
    from packbuilder.release.released import released
    from packbuilder.supporters.copies import Order, make_copies
    from packbuilder.supporters.people import read_supporters

    file = out / file_name(slug, form)
    data = released(file, form, "--out", "no copies were made")
    changed = people.stat().st_mtime_ns if people.exists() else None
    supporters = read_supporters(people, how.encoding, same_names=how.same_names)
    order = Order(file, form, supporters, how.password, how.by_name)
    with progress(f"copying the {form.name} edition", len(supporters)) as advance:
        made = make_copies(data, order, to, advance, **workers)
    if not people.exists() or people.stat().st_mtime_ns != changed:
        complain(f"{people}: has changed meanwhile; run it again for what is new on it")
    _say(made, order, people, to)
    return {"edition": form.name, "made": made.made, "kept": made.kept,
            "outdated": list(made.outdated), "register": str(made.register)}  # fmt: skip


def _say(made: Copies, order: Order, people: Path, to: Path) -> None:
    """What was made, and what the creator should know; names are not told."""
    from packbuilder.book.wording import numerals

    had = f" ({made.kept} of them were there)" if made.kept else ""
    total = counted(made.made + made.kept, "copy", "copies")
    complain(f"{to}: {total} of the {order.edition.name} edition{had}")
    if made.cut:
        lines = first_few(map(str, made.cut), 10, noun="line")
        complain(f"{people}: names are cut where the page has no room for them: lines {lines}")
    if made.outdated:
        count, numbers = counted(len(made.outdated), "old copy", "old copies"), made.outdated
        complain(f"{to}: {count} of people who are not on the list any more: "
                 f"{numerals(numbers, to='-')}; tell them of the new file, or delete what is there "
                 "(an encrypted copy is taken for an old one)")  # fmt: skip
    if order.password is not None:
        complain("encrypted with AES-256: these copies do not begin with the released file")


def _tell(found: Whose, file: Path, as_json: bool) -> None:
    """Whose a copy is. Exit 3 where that is not known, or its pages are other ones."""
    if as_json:
        print_json(asdict(found))
    else:
        whose = "no copy that is known"
        if found.number is not None:
            whose = f"copy {shown(found.number)} of the {found.edition} edition, {found.name}"
            if found.registered is None:
                whose += " (the register has no such number)"
            elif not _same_name(found):
                whose += f" (but the register has {found.registered})"
        click.echo(f"{file}: {whose}\n{found.words}")
    if found.number is None or not found.untouched or not _same_name(found):
        raise click.exceptions.Exit(Exit.REFUSED)


def _same_name(found: Whose) -> bool:
    """Whether the register has the name that the copy says; it may be cut there."""
    said, due = found.name or "", found.registered or ""
    return bool(due) and (said == due or (said.endswith("…") and due.startswith(said[:-1])))
