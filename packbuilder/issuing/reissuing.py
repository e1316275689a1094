"""Reissuing: a pack that went out with an error goes out again, and says what was wrong."""

from __future__ import annotations

import datetime
import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from packbuilder.book.assembling import assemble
from packbuilder.editions import EDITIONS
from packbuilder.errors import InputError
from packbuilder.gate import Report
from packbuilder.issuing.changes import (
    Changes,
    FileChange,
    changed_pages,
    changed_puzzles,
    changed_words,
)
from packbuilder.issuing.errata import errata
from packbuilder.issuing.ledger import Issued, Reissue, find, note, read_ledger
from packbuilder.issuing.releasing import Places, Say, changed_editions, put_out
from packbuilder.release import record
from packbuilder.release.kept import kept_bytes
from packbuilder.release.leaflets import write_leaflet
from packbuilder.release.staging import move_in, settled, staging
from packbuilder.supporters.outdated import outdated


@dataclass(frozen=True)
class Again:
    """What went out again: the files, the slip among them, and what is different."""

    files: tuple[Path, ...]
    slip: Path
    changes: Changes


def reissue(
    report: Report, places: Places, copies: Path, reason: str, say: Say, workers: int
) -> Again | None:
    """Release a corrected pack in the editions in which it is out, with a slip of errata.

    The old files stay, kept under their hash. ``copies`` is the folder of the supporters' copies.
    None where nothing has changed. Raises InputError where the pack was not released, or what it
    was is there no longer; and what `build` raises.
    """
    before = find(read_ledger(places.ledger), report.pack.slug)
    if before is None:
        raise InputError(
            f"{report.pack.slug}: the ledger {places.ledger} has no release of it; release it "
            "first, with `packbuilder release`"
        )
    settled(places.out)
    if not changed_editions(report, before):
        return None
    old_record = json.loads(_kept(places.out, before.record, record.NAME))
    old_files = {one.edition: _kept(places.out, one.sha256, one.name) for one in before.files}
    slip = f"{report.pack.slug}-errata-{len(before.reissues) + 1}.pdf"
    today = datetime.datetime.now().astimezone().date().isoformat()
    again = Reissue(today, reason, slip, before.record)
    editions = [one.edition for one in before.files]
    built, files, issued = put_out(report, places, editions, before, [again], say, workers)
    new = json.loads((places.out / record.NAME).read_text(encoding="utf-8"))
    changes = Changes(
        changed_puzzles(old_record["puzzles"], new["puzzles"]),
        tuple(_files(old_files, issued, places.out, copies)),
        tuple(changed_words(old_record, new)),
    )
    with staging(places.out) as aside:
        made = write_leaflet(errata(assemble(report), changes, reason), aside / slip)
        placed = move_in([made], places.out)
    note(places.ledger, issued)
    return Again((*built.files, *files, *placed), placed[0], changes)


def _kept(out: Path, digest: str, name: str) -> bytes:
    data = kept_bytes(out, digest, name)
    if data is None:
        raise InputError(
            f"{out}: {name} as it was released (SHA-256 {digest}) is there no longer; take it from "
            f"a backup into {out / record.KEPT / digest}: without it nobody can say what changed"
        )
    return data


def _files(
    old: Mapping[str, bytes], issued: Issued, out: Path, copies: Path
) -> Iterator[FileChange]:
    """The editions whose files are other ones now."""
    for one in issued.files:
        was, data = old.get(one.edition), (out / one.name).read_bytes()
        if was is not None and was != data:
            form = EDITIONS[one.edition]
            pages = changed_pages(was, data) if form.suffix == ".pdf" else ()
            old_copies = outdated(data, copies, Path(one.name).stem, form.suffix)
            yield FileChange(one.edition, pages, old_copies)
