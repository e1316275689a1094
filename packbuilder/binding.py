"""Binding: from a passed gate to the book that goes to print."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import asdict, replace

from packbuilder.book import Book, Entry
from packbuilder.errors import Refused
from packbuilder.gate import Checked, Report
from packbuilder.ladder.hints import Hint, hints
from packbuilder.puzzle import BEYOND, HintWords


def bind(report: Report) -> Book:
    """The book of a pack that the gate let pass, its puzzles in printing order.

    Raises Refused where the gate refused the pack: what is not proved is not printed.
    """
    if not report.passed:
        raise Refused("the gate refused this pack; nothing is printed")
    checked = list(report.checked)
    if report.pack.order == "easiest-first":
        checked.sort(key=_ease)
    return Book(report.pack, tuple(_entry(k, one) for k, one in enumerate(checked, start=1)))


def _ease(one: Checked) -> tuple[float, float]:
    assert one.path is not None  # a passed report has a path for every puzzle
    grade = float("inf") if one.path.grade == BEYOND else one.path.grade
    return grade, one.path.effort


def _entry(number: int, one: Checked) -> Entry:
    assert one.path is not None
    assert one.solution is not None
    return Entry(
        number=number,
        puzzle=one.puzzle,
        solution=one.solution,
        grade=one.path.grade,
        hardest=one.path.hardest,
        effort=one.path.effort,
        techniques=tuple(dict(one.path.techniques).items()),
        hints=tuple(_reworded(hints(one.path), one.puzzle.hints)),
        ways=one.path.ways(),
    )


def _reworded(computed: Sequence[Hint], own: Sequence[HintWords]) -> Iterator[Hint]:
    """The hints in the creator's words where there are any. The small grids stay as computed."""
    for k, hint in enumerate(computed):
        words = asdict(own[k]) if k < len(own) else {}
        yield replace(hint, **{tier: text for tier, text in words.items() if text is not None})
