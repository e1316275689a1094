"""Build: the pipeline from a checked pack to released files, all or nothing.

Files are made in a folder beside their final place, read back there, and only then moved into
it. Whatever goes wrong on the way, in whichever edition, what an earlier build left stays whole.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from packbuilder.book.assembling import assemble, book_of
from packbuilder.editions import EDITIONS, PRINT, Edition, edition
from packbuilder.gate import Report
from packbuilder.release import record
from packbuilder.release.earlier import NOTHING_LEFT, Earlier, file_name, look
from packbuilder.release.edition_jobs import Job, make_all
from packbuilder.release.proof_cache import Prove
from packbuilder.release.source_digest import SourceDigests
from packbuilder.release.staging import move_in, staging

ALL = "all"
"""Stands for every edition."""

Floors = Mapping[str, Mapping[str, int]]
"""By edition and section, the least numbers of pages: see `pages.plan_book`."""


@dataclass(frozen=True)
class Built:
    """What a build released: the files' paths, and how many pages and grids were read back.

    ``earlier`` says what became of the files of other editions that an earlier build left.
    """

    files: tuple[Path, ...]
    pages: int
    grids: int
    earlier: Earlier = NOTHING_LEFT


def chosen(names: Sequence[str]) -> tuple[Edition, ...]:
    """The editions of those names, each once, in the order of `editions.EDITIONS`.

    ``all`` names every one. Raises InputError for an unknown name.
    """
    wanted = {one.name for name in names if name != ALL for one in (edition(name),)}
    return tuple(one for one in EDITIONS.values() if ALL in names or one.name in wanted)


def build(
    report: Report,
    out: Path,
    editions: Sequence[str] = (PRINT.name,),
    stage: Callable[[str], None] = lambda _words: None,
    floors: Floors | None = None,
    prove: Prove | None = None,
    workers: int = 1,
) -> Built:
    """Print, read back and release a pack that the gate let pass, in one edition or more.

    ``out`` is the folder to release into, made where it is missing. ``stage`` is told in words
    what is being done. ``floors`` keep page numbers steady from build to build; ``prove`` proves
    the printed grids, by default once for all editions; ``workers`` are the processes that several
    editions may be shared among, and these prove by both engines, without ``prove``. Raises Refused
    where the gate refused the pack, InputError for an unknown edition or all that cannot be set in
    the editions, Mismatch where the read-back differs, Unfinished where the disk is full; in each
    case ``out`` is left as it was.
    """
    forms = chosen(editions)
    whole, slug = assemble(report), report.pack.slug
    stamps, floors = SourceDigests(whole), floors or {}
    with staging(out) as aside:
        jobs = [
            Job(book_of(whole, form), aside / file_name(slug, form), floors.get(form.name, {}))
            for form in forms
        ]
        seen = list(make_all(jobs, stage, prove, workers))
        lines = [
            record.line(job.name, job.path, one.pages, stamps.of(job.book.edition, job.floors))
            for job, one in zip(jobs, seen, strict=True)
        ]
        earlier = look(out, slug, [form.name for form in forms], stamps)
        order = list(EDITIONS)
        lines = sorted([*lines, *earlier.kept], key=lambda line: order.index(line["edition"]))
        record.write(record.as_json(report, lines), aside / record.NAME)
        made = [*(job.path for job in jobs), aside / record.NAME]
        pages, grids = sum(one.pages for one in seen), sum(one.grids for one in seen)
        return Built(move_in(made, out, earlier.gone), pages, grids, earlier)
