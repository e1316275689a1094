"""Build: the pipeline from a checked pack to released files, all or nothing.

Files are made in a folder beside their final place, read back there, and only then moved into
it. Whatever goes wrong on the way, in whichever edition, what an earlier build left stays whole.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from packbuilder.book.assembling import assemble, book_of
from packbuilder.editions import EDITIONS, PRINT, chosen
from packbuilder.errors import Refused
from packbuilder.gate import Report
from packbuilder.readback.uniqueness import Prove
from packbuilder.release import record
from packbuilder.release.edition_jobs import Job, UnsetError, make_all
from packbuilder.release.fits import told, with_unset
from packbuilder.release.leftovers import Leftovers, file_name, leftovers
from packbuilder.release.source_digest import SourceDigests
from packbuilder.release.staging import move_in, staging

LeastPages = Mapping[str, Mapping[str, int]]
"""By edition and section, the least numbers of pages: see `pages.plan_book`."""


@dataclass(frozen=True)
class Built:
    """What a build released: the files' paths, and how many pages and grids were read back.

    ``leftovers`` says what became of the files of other editions that an earlier build left.
    """

    files: tuple[Path, ...]
    pages: int
    grids: int
    leftovers: Leftovers


def build(
    report: Report,
    out: Path,
    editions: Sequence[str] = (PRINT.name,),
    say: Callable[[str], None] = lambda _words: None,
    least_pages: LeastPages | None = None,
    prove: Prove | None = None,
    workers: int = 1,
) -> Built:
    """Print, read back and release a pack that the gate let pass, in one edition or more.

    ``out`` is the folder to release into, made where it is missing. ``say`` is told in words what
    is being done. ``least_pages`` keep page numbers from build to build; ``prove`` proves the
    printed grids, by default once for all editions; ``workers`` are the processes that several
    editions may be shared among, and these prove by both engines, without ``prove``. Raises
    Refused where the gate refused the pack, and for all that cannot be set in the editions,
    InputError for an unknown edition, Mismatch where the read-back differs, Unfinished where the
    disk is full; in each case ``out`` is left as it was.
    """
    forms = chosen(editions)
    whole, slug = assemble(report), report.pack.slug
    digests, least_pages = SourceDigests(whole), least_pages or {}
    with staging(out) as aside:
        jobs = [
            Job(book_of(whole, form), aside / file_name(slug, form), least_pages.get(form.name, {}))
            for form in forms
        ]
        try:
            seen = list(make_all(jobs, say, prove, workers))
        except UnsetError as fault:
            raise Refused(told(with_unset(report, fault.unset))) from fault
        lines = [
            record.file_line(
                job.name, job.path, one.pages, digests.of(job.book.edition, job.least_pages)
            )
            for job, one in zip(jobs, seen, strict=True)
        ]
        left = leftovers(out, slug, [form.name for form in forms], digests)
        order = list(EDITIONS)
        lines = sorted([*lines, *left.kept], key=lambda line: order.index(line["edition"]))
        numbers = {entry.puzzle.id: entry.number for entry in whole.entries}
        record.write(record.as_json(report, numbers, lines), aside / record.NAME)
        made = [*(job.path for job in jobs), aside / record.NAME]
        pages, grids = sum(one.pages for one in seen), sum(one.grids for one in seen)
        return Built(move_in(made, out, left.outdated), pages, grids, left)
