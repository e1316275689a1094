"""What is known of other packs: which of their puzzles are a given one in disguise."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from packbuilder import manifest
from packbuilder.archive.index import refresh, with_index
from packbuilder.errors import InputError
from packbuilder.puzzle import Pack, Puzzle


@dataclass(frozen=True)
class Known:
    """A puzzle of another pack: where it stands, and its fingerprints (see `kinship`)."""

    folder: Path
    slug: str
    title: str
    issue: str
    id: str
    kin: str
    solved: str | None

    @property
    def name(self) -> str:
        """How a message names it: ``lamp-room of Harbour Lights (2026-12, harbour-lights)``."""
        return f"{self.id} of {self.title} ({self.issue}, {self.slug})"


@dataclass(frozen=True)
class Found:
    """What a look into the archive gave.

    ``missing`` are sentences on folders that cannot be looked into, ``unread`` on packs that cannot
    be read, ``notes`` on the index.
    """

    puzzles: tuple[Known, ...] = ()
    missing: tuple[str, ...] = ()
    unread: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()


@dataclass(frozen=True)
class Archive:
    """Packs, and folders of packs; the index lies in ``home``. ``own`` is a pack to leave out."""

    home: Path
    folders: tuple[Path, ...]
    own: Path | None = None

    def find(self, kin: Iterable[str] = (), solved: Iterable[str] = ()) -> Found:
        """The puzzles with one of these fingerprints, or with one of these of a solved grid.

        In order of issue, pack and id; every pack is read that has changed since the last time.
        """
        packs, missing = self._packs()
        wanted = [("kin", text) for text in kin] + [("solved", text) for text in solved]
        notes: list[str] = []

        def work(index: sqlite3.Connection) -> tuple[list[Known], list[str]]:
            for pack in packs:
                refresh(index, pack)
            rows = (row for column, text in wanted for row in _rows(index, column, text))
            puzzles = {Known(Path(path), *rest) for path, *rest in rows if Path(path) in packs}
            faults = index.execute("SELECT path, fault FROM packs WHERE fault != '' ORDER BY path")
            return sorted(puzzles, key=_order), [f for path, f in faults if Path(path) in packs]

        if not packs:
            return Found(missing=tuple(missing))
        puzzles, faults = with_index(self.home, work, notes)
        return Found(tuple(puzzles), tuple(missing), tuple(faults), tuple(notes))

    def fingerprints(self) -> frozenset[str]:
        """Those of all puzzles."""
        packs, _ = self._packs()

        def work(index: sqlite3.Connection) -> frozenset[str]:
            for pack in packs:
                refresh(index, pack)
            rows = index.execute("SELECT path, kin FROM puzzles").fetchall()
            return frozenset(kin for path, kin in rows if Path(path) in packs)

        return with_index(self.home, work, []) if packs else frozenset()

    def _packs(self) -> tuple[list[Path], list[str]]:
        """The folders of the packs, each once; and a sentence for each folder that is not there."""
        packs: dict[Path, None] = {}
        missing = []
        for folder in self.folders:
            try:
                inside = [folder] if (folder / manifest.NAME).exists() else sorted(folder.iterdir())
                found = [one.resolve() for one in inside if (one / manifest.NAME).is_file()]
            except OSError as error:
                missing.append(f"{folder}: {error.strerror or error}")
                continue
            packs |= dict.fromkeys(found)
        own = self.own and self.own.resolve()
        return [pack for pack in packs if pack != own], missing


def archive_of(pack: Pack) -> Archive:
    """What a pack's puzzles must be new against: the packs beside it, and those that it names."""
    beside = pack.folder.resolve().parent
    named = (pack.folder / name for name in pack.archive)
    return Archive(beside, (beside, *named), pack.folder)


def puzzle_of(known: Known) -> Puzzle | None:
    """The puzzle itself, read again; None where it is gone by now, or cannot be read."""
    try:
        pack = manifest.load(known.folder)
    except (InputError, OSError):
        return None
    return next((one for one in pack.puzzles if one.id == known.id), None)


def _rows(index: sqlite3.Connection, column: str, text: str) -> list[tuple[str, ...]]:
    return index.execute(
        "SELECT path, slug, title, issue, id, kin, solved FROM puzzles "
        f"WHERE {'kin' if column == 'kin' else 'solved'} = ?",
        [text],
    ).fetchall()


def _order(known: Known) -> tuple[str, str, str]:
    return known.issue, known.slug, known.id
