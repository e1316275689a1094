"""A pack through the whole house: gate, pages, press, read-back, in every edition."""

from __future__ import annotations

import tempfile
from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

from packbuilder.book.assembling import assemble, book_of
from packbuilder.editions import EDITIONS
from packbuilder.errors import InputError
from packbuilder.gate import Report, check
from packbuilder.manifest import load
from packbuilder.readback.uniqueness import Prove
from packbuilder.release.edition_jobs import Job, read_edition
from packbuilder.release.edition_jobs import write as make
from packbuilder.release.fits import with_fits
from tests.legitimate.packs import write


class Outcome(NamedTuple):
    """What became of a pack: what the gate refused of it, before anything was made; the editions
    that were made; and what is wrong: a faulty refusal, or an edition that is no good."""

    told: list[str]
    made: list[str]
    wrong: list[str]


def outcome(seed: int, editions: Sequence[str], prove: Prove) -> Outcome:
    """Make the pack of a seed in each edition of which the gate says nothing."""
    told, made, wrong = [], [], []
    with tempfile.TemporaryDirectory() as folder:
        report = check(load(write(seed, Path(folder))))
        if told := _refusals(report):
            return Outcome(told, made, wrong)
        whole = assemble(report)
        for name in editions:
            if said := _refusals(with_fits(report, [EDITIONS[name]])):
                told += said
                continue
            form = EDITIONS[name]
            job = Job(book_of(whole, form), Path(folder) / f"made{form.suffix}")
            try:
                seen = read_edition(job.path, job.book, make(job), prove)
                wrong += [f"{name}: {one.words()}" for one in seen.findings]
                made.append(name)
            except InputError as fault:
                wrong.append(f"{name}: {fault}")
    return Outcome(told, made, wrong)


def _refusals(report: Report) -> list[str]:
    found = [*report.findings, *(one for puzzle in report.checked for one in puzzle.findings)]
    return [f"{one.code}: {one.message} | {one.mend}" for one in found if one.refuses]
