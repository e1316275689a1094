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
class Leftovers:
    """``kept`` are the record's lines of files that stay, ``outdated`` the files that go.

    ``unrecorded`` are files named as an edition is, for which no record vouches.
    """

    kept: tuple[record.FileLine, ...] = ()
    outdated: tuple[Path, ...] = ()
    unrecorded: tuple[Path, ...] = ()


def file_name(slug: str, edition: Edition) -> str:
    """The name under which an edition of a pack is released."""
    return f"{slug}-{edition.name}{edition.suffix}"


def leftovers(out: Path, slug: str, made: Collection[str], digests: SourceDigests) -> Leftovers:
    """What is in a folder of a pack's releases besides the editions that are being made."""
    editions = {file_name(slug, one): one for one in EDITIONS.values()}
    lines = {line["name"]: line for line in record.file_lines(out)}
    kept, outdated, unrecorded = [], [], []
    for name in dict.fromkeys((*editions, *lines)):
        path, line, edition = out / name, lines.get(name), editions.get(name)
        if (edition and edition.name in made) or not path.is_file():
            continue
        if line is None or not record.is_as_recorded(line, path):
            unrecorded.append(path)
        elif edition and line["edition"] == edition.name and digests.match(edition, line):
            kept.append(line)
        else:
            outdated.append(path)
    return Leftovers(tuple(kept), tuple(outdated), tuple(unrecorded))
