"""Making: one edition printed into a file and read back; and many, in this process or in several.

Each edition is a job of its own, and what becomes of them is told in their order, so the outcome
is the same whoever does the work.
"""

from __future__ import annotations

import signal
from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from dataclasses import dataclass, field
from multiprocessing import active_children, get_context
from pathlib import Path

from packbuilder import pages, press, readback
from packbuilder.book.book import Book
from packbuilder.editions import PRINT
from packbuilder.errors import InputError, Mismatch, Unfinished
from packbuilder.ladder.english import listed
from packbuilder.plan.items import Plan
from packbuilder.readback import ReadBack
from packbuilder.release.proof_cache import Prove, remembered

ALONE = 2
"""Up to so many editions are made in this process: others take a second or two to begin."""


@dataclass(frozen=True)
class Job:
    """One edition to make: its book, the file to write, and its floors (see `pages.plan_book`)."""

    book: Book
    path: Path
    floors: Mapping[str, int] = field(default_factory=dict)

    @property
    def name(self) -> str:
        """The edition's."""
        return self.book.edition.name


def make_all(
    jobs: Sequence[Job], stage: Callable[[str], None], prove: Prove | None = None, workers: int = 1
) -> Iterator[ReadBack]:
    """Make every edition, and give what the read-back says of each, in order.

    More than ``ALONE`` are shared among so many ``workers``, if the system grants them, and these
    prove what is printed for themselves; in this process ``prove`` does.
    Raises InputError for all that cannot be set, in whichever editions, Mismatch where one is not
    the verified pack, Unfinished where a process was ended from outside.
    """
    if workers > 1 and len(jobs) > ALONE:
        try:
            yield from _shared(jobs, stage, min(workers, len(jobs)))
            return
        except _NoWorkersError:
            stage("the system grants no further processes: one edition after another")
    prove, unset = prove or remembered(), list[UnsetError]()
    for job in jobs:
        stage(f"setting the {job.name} edition")
        plan = None
        try:
            plan = write(job)
        except UnsetError as fault:
            unset.append(fault)
        if not unset:  # else only what more cannot be set is still worth knowing
            stage(f"reading the {job.name} edition back")
            yield _true(job, read_edition(job.path, job.book, plan, prove))
    _tell(unset)


class UnsetError(InputError):
    """An edition that cannot be set: its name, and what is wrong and how to mend it."""

    def __init__(self, edition: str, words: str) -> None:
        super().__init__(edition, words)
        self.edition, self.words = edition, words

    def __str__(self) -> str:
        return _unset([self.edition], self.words)


def _tell(unset: Sequence[UnsetError]) -> None:
    """Raise one InputError for all that cannot be set; what editions share is told once."""
    names: dict[str, list[str]] = {}
    for fault in unset:
        names.setdefault(fault.words, []).append(fault.edition)
    if names:
        raise InputError("\n".join(_unset(some, words) for words, some in names.items()))


def _unset(names: Sequence[str], words: str) -> str:
    which = f"{listed(names)} edition{'s' if len(names) > 1 else ''}"
    told = f"the {which} cannot be set; nothing was released\n{words}"
    if PRINT.name not in names:
        told += f"\nTo mend: do as that says, or build the pack without its {which}"
    return told


def write(job: Job) -> Plan | None:
    """Print one edition, and give its plan, if it is one of pages.

    Raises UnsetError, with the edition's name and the mend.
    """
    try:
        with job.path.open("wb") as file:
            if job.book.edition.suffix == ".txt":
                from packbuilder import plaintext

                plaintext.write_text(job.book, file)
                return None
            plan = pages.plan_book(job.book, floors=job.floors)
            press.write_pdf(plan, file)
            return plan
    except InputError as fault:
        raise UnsetError(job.name, str(fault)) from fault


def read_edition(
    file: Path, book: Book, plan: Plan | None = None, prove: Prove | None = None
) -> ReadBack:
    """Read a file back against a book in the form of its edition: a PDF, or a text.

    ``plan`` is what a PDF was printed from. Raises InputError where the file cannot be read at all.
    """
    if book.edition.suffix == ".txt":
        return readback.read_text(file, book, prove=prove)
    return readback.read(file, book, plan, prove=prove)


def _true(job: Job, seen: ReadBack) -> ReadBack:
    """Raise Mismatch with everything that the read-back found wrong."""
    if not seen.ok:
        lines = "\n".join(f"  {f.words()}" for f in seen.findings)
        raise Mismatch(
            f"{job.path.name}: the printed file is not the verified pack; nothing was released\n"
            f"{lines}"
        )
    return seen


# --- several processes ---------------------------------------------------------------------------


class _NoWorkersError(Exception):
    """The system grants no processes: too many, too many files, or none at all on its kind."""


def _shared(jobs: Sequence[Job], stage: Callable[[str], None], workers: int) -> Iterator[ReadBack]:
    """Raises _NoWorkersError before anything is given, where there are no processes to be had."""
    stage(f"setting {len(jobs)} editions and reading them back, {workers} at a time")
    others, unset = set(active_children()), list[UnsetError]()
    pool: ProcessPoolExecutor | None = None
    # A fresh start, not a fork: whoever draws a progress bar has threads running. An interrupt goes
    # to all processes of a terminal; only this one has something to say of it.
    mask = getattr(signal, "pthread_sigmask", None)
    before = mask(signal.SIG_BLOCK, {signal.SIGINT}) if mask else None
    try:
        try:
            pool = ProcessPoolExecutor(workers, get_context("spawn"), initializer=_begin)
            results = [pool.submit(_make, job) for job in jobs]
        except (OSError, ImportError, NotImplementedError) as fault:
            raise _NoWorkersError from fault
        finally:
            if mask:
                mask(signal.SIG_SETMASK, before)
        for job, result in zip(jobs, results, strict=True):
            try:
                seen = result.result()
            except UnsetError as fault:
                unset.append(fault)
                continue
            if not unset:
                seen = _true(job, seen)
                stage(f"the {job.name} edition is set and read back")
                yield seen
        _tell(unset)
    except BaseException as fault:  # nobody waits for what is under way
        for process in set(active_children()) - others:
            process.terminate()
        if isinstance(fault, BrokenProcessPool):
            raise Unfinished(
                "a process that set an edition was ended from outside, as happens where memory "
                "runs out; nothing was released. Build fewer editions at a time"
            ) from fault
        raise
    finally:
        if pool:
            pool.shutdown(cancel_futures=True)


def _begin() -> None:
    """A new process remembers its proofs from edition to edition."""
    global _prove
    _prove = remembered()


def _make(job: Job) -> ReadBack:
    return read_edition(job.path, job.book, write(job), _prove)


_prove: Prove
