"""What an earlier build left of editions that this build does not make.

A folder of releases holds what its record vouches for. A file of another edition stays, with its
line, while it has the bytes that were released and is of this very pack. Once the pack has changed
it is out of date: it goes, since a reader could take it for the pack. It can be built again. What
has other bytes than were released is someone's own file: it is told of and left alone.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from pathlib import Path

from packbuilder.editions import EDITIONS, Edition
from packbuilder.release import record
from packbuilder.release.source_digest import SourceDigests


@dataclass(frozen=True)
class Earlier:
    """``kept`` are lines of files that stay, ``gone`` the files that are out of date, ``strange``
    files that are named as an edition is and that no record vouches for."""

    kept: tuple[record.Line, ...] = ()
    gone: tuple[Path, ...] = ()
    strange: tuple[Path, ...] = ()


NOTHING_LEFT = Earlier()


def file_name(slug: str, edition: Edition) -> str:
    """The name under which an edition of a pack is released."""
    return f"{slug}-{edition.name}{edition.suffix}"


def look(out: Path, slug: str, making: Collection[str], stamps: SourceDigests) -> Earlier:
    """What is in a folder of a pack's releases besides the editions that are being made."""
    names = {file_name(slug, one): one for one in EDITIONS.values()}
    new = {name for name, one in names.items() if one.name in making}
    kept, gone, strange = [], [], []
    lines = {line["name"]: line for line in record.read_lines(out)}
    for name in dict.fromkeys((*names, *lines)):
        path = out / name
        if name in new or not path.is_file():
            continue
        line = lines.get(name)
        if line is None or not record.is_as_recorded(line, path):
            strange.append(path)
        elif _is_of(line, names.get(name), stamps):
            kept.append(line)
        else:
            gone.append(path)
    return Earlier(tuple(kept), tuple(gone), tuple(strange))


def _is_of(line: record.Line, edition: Edition | None, stamps: SourceDigests) -> bool:
    if edition is None or line["edition"] != edition.name:
        return False
    return stamps.fit(edition, line.get("made_from"))
