"""Edition jobs: one edition printed into a file and read back; many, in one process or in several.

Each edition is a job of its own, and what becomes of them is told in their order, so the outcome
is the same whoever does the work.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import Future
from concurrent.futures.process import BrokenProcessPool
from contextlib import ExitStack
from dataclasses import dataclass, field
from itertools import zip_longest
from pathlib import Path

from packbuilder import pages, press, readback
from packbuilder.book.book import Book
from packbuilder.errors import InputError, Mismatch, Unfinished
from packbuilder.plan.items import Plan
from packbuilder.plan.outline import Outline
from packbuilder.readback import ReadBack
from packbuilder.readback.uniqueness import Prove
from packbuilder.release.proof_cache import cached
from packbuilder.workers import processes, uninterrupted

ALONE = 2
"""Up to so many editions are made in this process: others take a second or two to begin."""


@dataclass(frozen=True)
class Job:
    """One edition to make: its book, the file to write, and the least pages of its sections."""

    book: Book
    path: Path
    least_pages: Mapping[str, int] = field(default_factory=dict)

    @property
    def name(self) -> str:
        """The edition's."""
        return self.book.edition.name


class UnsetError(InputError):
    """Editions that cannot be set: by their names, what is wrong and how to mend it."""

    def __init__(self, unset: Mapping[str, InputError]) -> None:
        super().__init__(unset)
        self.unset = unset


def make_all(
    jobs: Sequence[Job], say: Callable[[str], None], prove: Prove | None = None, workers: int = 1
) -> Iterator[ReadBack]:
    """Make every edition, and give what the read-back says of each, in order.

    More than ``ALONE`` are shared among so many ``workers``, if the system grants them, and these
    prove what is printed for themselves; in this process ``prove`` does.
    Raises UnsetError for all that cannot be set, in whichever editions, Mismatch where one is not
    the verified pack, Unfinished where a process was ended from outside.
    """
    prove, unset = prove or cached(), dict[str, InputError]()
    with ExitStack() as stack:
        shared = workers > 1 and len(jobs) > ALONE
        under_way = _begun(jobs, say, min(workers, len(jobs)), stack) if shared else []
        for job, future in zip_longest(jobs, under_way):
            try:
                seen = future.result() if future else _made_here(job, say, prove, unset)
            except UnsetError as fault:
                unset |= fault.unset
                continue
            except BrokenProcessPool as fault:
                raise Unfinished(
                    "a process that set an edition was ended from outside, as happens where memory "
                    "runs out; nothing was released. Build fewer editions at a time"
                ) from fault
            if seen and not unset:
                _check(job, seen)
                if future:
                    say(f"the {job.name} edition is set and read back")
                yield seen
    if unset:
        raise UnsetError(unset)


def _made_here(
    job: Job, say: Callable[[str], None], prove: Prove, unset: Mapping[str, InputError]
) -> ReadBack | None:
    """One edition; not read where others cannot be set: only what more cannot is worth knowing."""
    say(f"setting the {job.name} edition")
    plan = write(job)
    if unset:
        return None
    say(f"reading the {job.name} edition back")
    return read_edition(job.path, job.book, plan, prove)


def write(job: Job) -> Plan | Outline:
    """Make one edition's file, and give the plan or the outline that it was made from.

    Raises UnsetError, with the edition's name and the mend.
    """
    try:
        with job.path.open("wb") as file:
            if job.book.edition.suffix == ".txt":
                from packbuilder import plaintext

                outline = plaintext.outline_of(job.book)
                plaintext.write_text(outline, file)
                return outline
            plan = pages.plan_book(job.book, floors=job.least_pages)
            press.write_pdf(plan, file)
            return plan
    except InputError as fault:
        raise UnsetError({job.name: fault}) from fault


def read_edition(
    file: Path, book: Book, planned: Plan | Outline, prove: Prove | None = None
) -> ReadBack:
    """Read a file back against a book in the form of its edition: a PDF, or a text.

    ``planned`` is what it was made from. Raises InputError where the file cannot be read at all.
    """
    if book.edition.suffix == ".txt":
        assert isinstance(planned, Outline)
        return readback.read_text(file, book, planned, prove=prove)
    assert isinstance(planned, Plan)
    return readback.read(file, book, planned, prove=prove)


def _check(job: Job, seen: ReadBack) -> None:
    """Raise Mismatch with everything that the read-back found wrong."""
    if not seen.ok:
        lines = "\n".join(f"  {f.words()}" for f in seen.findings)
        raise Mismatch(
            f"{job.path.name}: the printed file is not the verified pack; nothing was released\n"
            f"{lines}"
        )


# --- several processes ---------------------------------------------------------------------------


def _begun(
    jobs: Sequence[Job], say: Callable[[str], None], workers: int, stack: ExitStack
) -> list[Future[ReadBack]]:
    """Jobs under way in other processes, which end with the stack; none if none are granted."""
    say(f"setting {len(jobs)} editions and reading them back, {workers} at a time")
    try:
        with ExitStack() as begun:
            pool = begun.enter_context(processes(workers, _begin))
            with uninterrupted():
                futures = [pool.submit(_make, job) for job in jobs]
            stack.push(begun.pop_all())
            return futures
    except (OSError, ImportError, NotImplementedError):
        say("the system grants no further processes: one edition after another")
        return []


def _begin() -> None:
    """A new process remembers its proofs from edition to edition."""
    global _prove
    _prove = cached()


def _make(job: Job) -> ReadBack:
    return read_edition(job.path, job.book, write(job), _prove)


_prove: Prove
