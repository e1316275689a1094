"""The commands that list what there is: techniques, rules, layouts."""

from __future__ import annotations

import json

import click

from packbuilder.cli.options import JSON


@click.command()
@JSON
def techniques(as_json: bool) -> None:
    """List the ladder: every technique with its rung, weight and meaning.

    \b
    Example: packbuilder techniques
    """
    from packbuilder import console
    from packbuilder.ladder import techniques as table

    if as_json:
        click.echo(json.dumps(table.as_json(), ensure_ascii=False, indent=2))
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
        click.echo(json.dumps(listing.as_json(name), ensure_ascii=False, indent=2))
    else:
        click.echo(listing.show(name))


@click.command()
@JSON
def layouts(as_json: bool) -> None:
    """List the page layouts.

    \b
    Example: packbuilder layouts
    """
    from packbuilder.pages import layout

    found = layout.available()
    if as_json:
        click.echo(json.dumps([{"name": x.name, "about": x.about} for x in found], indent=2))
    else:
        for one in found:
            click.echo(f"{one.name:12} {one.about}")
