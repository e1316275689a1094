"""The commands that list what there is: techniques, rules, layouts."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

import click

from packbuilder.cli.options import JSON, PATH
from packbuilder.cli.progress import print_json


@click.command()
@JSON
def techniques(as_json: bool) -> None:
    """List the ladder: every technique with its rung, weight and meaning.

    \b
    Example: packbuilder techniques
    """
    from packbuilder.cli import console
    from packbuilder.ladder import table

    if as_json:
        print_json(table.as_json())
    else:
        console.show_techniques()


@click.command()
@click.argument("name", required=False)
@JSON
def rules(name: str | None, as_json: bool) -> None:
    """List the rules that a puzzle may have, each with how it is written.

    With the NAME of a rule, show a whole puzzle that has it.

    \b
    Example: packbuilder rules thermometers
    """
    from packbuilder.rules import listing

    if as_json:
        print_json(listing.as_json(name))
    else:
        click.echo(listing.show(name))


@click.command()
@JSON
@click.option("--schema", is_flag=True, help="Print the JSON Schema of a layout's file instead.")
@click.option(
    "--thumbnails", type=PATH, metavar="DIR",
    help="Make a picture of a page in each layout, as DIR/NAME.png.",
)  # fmt: skip
def layouts(as_json: bool, schema: bool, thumbnails: Path | None) -> None:
    """List the page layouts: their names, the papers that they are made for, what they are like.

    \b
    Example: packbuilder layouts --thumbnails pictures
    """
    from packbuilder import layouts as room

    if schema:
        print_json(room.schema())
        return
    found = room.available()
    if thumbnails is not None:
        from packbuilder.pictures.specimens import thumbnails as make

        made = make(found, thumbnails)
        if not as_json:
            for path in made:
                click.echo(path)
            return
    if as_json:
        rows = [{"name": x.name, "papers": list(x.margins), "about": x.about} for x in found]
        print_json(rows)
        return
    wide = max(len(one.name) for one in found)
    for one in found:
        click.echo(f"{one.name:{wide}}  {one.about}")
        click.echo(f"{'':{wide}}  on {_papers(one.margins)}")


def _papers(names: Iterable[str]) -> str:
    """The papers of a layout; those that no pack names with the edition that takes them."""
    from packbuilder.editions import OWN_PAPERS

    return ", ".join(
        f"{name} (`--edition {OWN_PAPERS[name].name}`)" if name in OWN_PAPERS else name
        for name in names
    )
