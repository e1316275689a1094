"""Where new grids go as they are found: to standard output, into a pack, onto a sheet of cards."""

from __future__ import annotations

import sys
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from packbuilder.cli.progress import print_json

if TYPE_CHECKING:
    from packbuilder.setting.new_grid import NewGrid


@dataclass(frozen=True)
class Output:
    """Grids are added to the pack of a ``target``, or else printed; and then put on a ``sheet``."""

    target: Target | None
    as_json: bool
    sheet: Path | None
    _taken: list[tuple[str, NewGrid]] = field(default_factory=list)

    @property
    def known(self) -> frozenset[str]:
        """The fingerprints that no grid may have."""
        return self.target.known if self.target else frozenset()

    def take(self, grid: NewGrid, number: int, **told: Any) -> None:
        """One more grid; ``told`` is what its entry says of its own."""
        from packbuilder.setting.entries import as_manifest_entry, working_title

        title = told.get("title") or working_title(number)
        if self.target:
            title = self.target.add(grid, number, **told)
        elif not self.as_json:
            click.echo(as_manifest_entry(grid, number, **told))
            sys.stdout.flush()
        self._taken.append((title, grid))

    def end(self, document: dict[str, Any]) -> None:
        """No more are coming; ``document`` is what ``--json`` says of the search."""
        if self.as_json:
            print_json(document)
        if self.sheet and self._taken:
            from packbuilder.cli.cards import write_cards

            write_cards(self.sheet, self._taken)
            click.echo(f"wrote {self.sheet}", err=True)


@dataclass(frozen=True)
class Target:
    """A manifest that new entries go into; ``known`` are the fingerprints that none may have."""

    file: Path
    known: frozenset[str]

    @classmethod
    def of(cls, place: Path) -> Target:
        """That of a pack. Raises InputError."""
        from packbuilder import manifest
        from packbuilder.archive import Archive, archive_of

        pack = manifest.load(place)
        beside = archive_of(pack)
        archive = Archive(beside.home, (pack.folder, *beside.folders))
        file = place / manifest.NAME if place.is_dir() else place
        return cls(file, archive.fingerprints())

    def add(self, grid: NewGrid, number: int, **told: Any) -> str:
        """Add one entry, and say so. Gives its title."""
        from packbuilder import manifest
        from packbuilder.kinship import fingerprint
        from packbuilder.setting.entries import as_manifest_entry
        from packbuilder.setting.into import add_entries

        pack = manifest.load(self.file)
        mark = fingerprint(grid.geometry, grid.clues, grid.parts)
        for one in pack.puzzles:
            if fingerprint(one.geometry, one.clues, one.rules) == mark:
                click.echo(f"{one.id} was added before", err=True)
                return one.title
        taken = [one.id for one in pack.puzzles]
        titles = [one.title for one in pack.puzzles]
        entry = as_manifest_entry(grid, number, taken=taken, titles=titles, **told)
        add_entries(pack, self.file, [entry])
        added = manifest.load(self.file).puzzles[-1]
        click.echo(f"added {added.id} to {self.file}", err=True)
        return added.title
