"""Releasing: editions, pictures, a post and the ledger, each whole or not there.

Each step leaves alone what is there already and as it should be, so a run that was stopped is
taken up by the next, and a second run changes nothing. The ledger comes last: what it knows of is
out.
"""

from __future__ import annotations

import datetime
import json
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from packbuilder.book.assembling import assemble
from packbuilder.editions import EDITIONS, SAMPLER
from packbuilder.errors import Refused
from packbuilder.gate import Report
from packbuilder.issuing import post
from packbuilder.issuing.ledger import Issued, Reissue, find, issued_of, note, read_ledger
from packbuilder.pictures.previews import Wanted, has_pages, previews
from packbuilder.release import record
from packbuilder.release.build import Built, build
from packbuilder.release.kept import keep
from packbuilder.release.source_digest import SourceDigests
from packbuilder.release.staging import move_in, settled, staging

Say = Callable[[str], None]


@dataclass(frozen=True)
class Places:
    """The folder to release into, and the ledger's file."""

    out: Path
    ledger: Path


@dataclass(frozen=True)
class Out:
    """What went out: what was built, all files besides, and the ledger's line."""

    built: Built
    files: tuple[Path, ...]
    issued: Issued
    noted: bool


def release(report: Report, places: Places, editions: Sequence[str], say: Say, workers: int) -> Out:
    """Release a pack that the gate let pass, with pictures and a post, and note it in the ledger.

    Raises Refused where the pack went out already and has changed since, and what `build` raises.
    """
    before = find(read_ledger(places.ledger), report.pack.slug)
    if before and (changed := changed_editions(report, before)):
        raise Refused(
            f"{report.pack.slug}: went out on {before.date}, and is another now (its "
            f"{changed[0]} edition would change); nothing was released. Put it right with "
            "`packbuilder reissue`, which says what changed and to whom, or undo the change"
        )
    settled(places.out)
    here = [*editions, *(one.edition for one in before.files)] if before else editions
    built, files, issued = put_out(report, places, here, before, (), say, workers)
    return Out(built, files, issued, note(places.ledger, issued))


def changed_editions(report: Report, before: Issued) -> list[str]:
    """The editions that would not be what they were when the pack went out."""
    digests = SourceDigests(assemble(report))
    return [
        one.edition for one in before.files if digests.of(EDITIONS[one.edition]) != one.made_from
    ]


def put_out(
    report: Report,
    places: Places,
    editions: Sequence[str],
    before: Issued | None,
    reissues: Sequence[Reissue],
    say: Say,
    workers: int,
) -> tuple[Built, tuple[Path, ...], Issued]:
    """Build, keep, take pictures, write the post; gives what the ledger is to say.

    ``before`` is what it says now, and ``reissues`` are corrections besides.
    """
    out = places.out
    built = build(report, out, editions, say=say, workers=workers)
    raw = (out / record.NAME).read_bytes()
    told = json.loads(raw)
    keep(out, [record.NAME, *(one["name"] for one in told["files"])])
    pictured = next((one for one in told["files"] if _pictured(one["edition"])), None)
    files = list[Path]()
    if pictured:
        wanted = Wanted(EDITIONS[pictured["edition"]])
        files += previews(report.pack.slug, out, out / "previews", wanted, say)
    reissues = [*(before.reissues if before else ()), *reissues]
    with staging(out) as aside:
        text = post.post(report.pack, told, reissues)
        (aside / post.NAME).write_text(text, encoding="utf-8", newline="\n")
        files += move_in([aside / post.NAME], out)
    if post.TO_FILL_IN in text:
        say(f"{out / post.NAME}: fill in until when solvers may enter, and where they send it")
    today = datetime.datetime.now().astimezone().date().isoformat()
    issued = issued_of(told, record.sha256(raw), before.date if before else today)
    return built, tuple(files), replace(issued, reissues=tuple(reissues))


def _pictured(name: str) -> bool:
    return name != SAMPLER.name and has_pages(EDITIONS[name])
