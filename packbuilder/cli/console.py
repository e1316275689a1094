"""What a person sees in the terminal: tables and findings, drawn with rich."""

from __future__ import annotations

import errno
import os
import textwrap
from collections.abc import Sequence

from rich import box
from rich.console import Console
from rich.table import Table
from rich.text import Text

from packbuilder.gate import Checked, Finding, Report
from packbuilder.grid import Geometry, default_shape, format_rows
from packbuilder.ladder import words
from packbuilder.ladder.head.load import NoNotes
from packbuilder.ladder.head.sentences import NamedMark, name
from packbuilder.ladder.head.solve import Told
from packbuilder.ladder.path import Path
from packbuilder.ladder.profile import profile
from packbuilder.ladder.table import TABLE
from packbuilder.phrases import counted

WIDTH = 100
"""Columns of prose."""

TABLE_WIDTH = 112
"""Columns of a table where standard output is not a terminal."""


class _Terminal(Console):
    """rich's console, which would end a broken pipe with the exit code of a crash."""

    def on_broken_pipe(self) -> None:
        """Leave it to the command line."""
        raise BrokenPipeError(errno.EPIPE, os.strerror(errno.EPIPE))


def _console(err: bool = False) -> Console:
    console = _Terminal(stderr=err, highlight=False, soft_wrap=False)
    if not console.is_terminal:
        console.width = TABLE_WIDTH
    return console


def show_report(report: Report, *, err: bool = False) -> None:
    """The gate's report: a table of the puzzles, each finding with its mend, the verdict."""
    console = _console(err)
    table = Table(
        box=box.SIMPLE_HEAD, padding=(0, 1, 0, 0), title=f"{report.pack.title}, {report.pack.issue}"
    )
    table.add_column("puzzle", no_wrap=True, max_width=24)
    table.add_column("setter", min_width=10, overflow="fold")
    table.add_column("grid", no_wrap=True)
    for heading in ("clues", "solutions", "grade"):
        table.add_column(heading, justify="right", no_wrap=True)
    table.add_column("hardest step", min_width=14, overflow="fold")
    table.add_column("effort", justify="right", no_wrap=True)
    table.add_column("marks", justify="right", no_wrap=True)
    table.add_column("gate", no_wrap=True)
    for one in report.checked:
        table.add_row(*_row(one))
    console.print(table)
    for one in report.checked:
        for finding in one.findings:
            _show_finding(console, finding, f"{one.puzzle.where}: {one.puzzle.id}")
    for finding in report.findings:
        _show_finding(console, finding, report.pack.slug)
    puzzles = counted(len(report.checked), "puzzle")
    if report.passed:
        console.print(f"passed: {puzzles}, each as promised")
        return
    refused = sum(one.refused for one in report.checked)
    what = [f"{refused} of {puzzles}"] if refused else []
    if codes := dict.fromkeys(f.code for f in report.refusals):
        what.append(f"the pack itself ({', '.join(codes)})")
    console.print(f"refused: {' and '.join(what)}")


def _row(one: Checked) -> list[str | Text]:
    puzzle, path = one.puzzle, one.path
    counts = {0: "none", 1: "one", 2: "several", None: "undecided"}
    solutions = counts[one.proof.verdict.solutions] if one.proof else "none"
    verdict = Text("refused", "bold red") if one.refused else Text("good", "green")
    return [
        Text(puzzle.id),
        Text(puzzle.setter),
        _kind(puzzle.geometry),
        str(sum(v > 0 for v in puzzle.clues)),
        solutions,
        str(path.grade) if path else "–",
        path.hardest if path else "–",
        f"{path.effort:.0f}" if path and path.solved else "–",
        _marks(one.no_notes),
        verdict,
    ]


def _marks(load: NoNotes | None) -> str:
    """The mark load; a dash where notes are needed, ``?`` where it is not known."""
    if load is None or load.solved is False:
        return "–"
    return "?" if load.solved is None else str(load.marks)


def _kind(geometry: Geometry) -> str:
    """``9x9``; with what sets it apart where its regions are not the usual blocks."""
    side = f"{geometry.size}x{geometry.size}"
    if geometry.shape == default_shape(geometry.size):
        return side
    return geometry.name().replace("blocks ", "").replace(" square", "").replace(" regions", "")


def _show_finding(console: Console, finding: Finding, where: str) -> None:
    lines = [f"{where}: {'refused' if finding.refuses else 'note'}, {finding.code}"]
    lines += [
        _wrapped(f"{text}.", "    ") for text in (finding.message, "To mend: " + finding.mend)
    ]
    console.print(Text("\n".join(lines)), soft_wrap=True)
    console.print()


def _wrapped(text: str, indent: str, first: str = "") -> str:
    """Prose in lines; the first begins with ``first`` in place of blanks."""
    return textwrap.fill(
        text, WIDTH, initial_indent=first or indent, subsequent_indent=" " * len(first or indent)
    )


def show_path(path: Path) -> None:
    """The solve, a numbered line a step, then the facts."""
    console = _console()
    for number, step in enumerate(path.steps, start=1):
        lines = _wrapped(words.tell(step, path.geometry), "", f"{number:3}. ")
        console.print(Text(lines), soft_wrap=True)
    console.print()
    if path.solved:
        console.print(f"grade {path.grade}, hardest step {path.hardest}, effort {path.effort:.0f}")
    else:
        console.print("the ladder cannot finish this grid: its grade is beyond")
    console.print(", ".join(f"{slug} {count}" for slug, count in dict(path.techniques).items()))


def show_profile(path: Path) -> None:
    """Where the solve is narrow: a bar a step, its height the ways on, and rungs of 3 and up."""
    console = _console()
    console.print("\nways on at each step (a low bar is a narrow place; below, the rung from 3 up)")
    for line in profile(path):
        console.print(Text(line), soft_wrap=True)


def show_no_notes(told: Sequence[Told], load: NoNotes, geometry: Geometry, ends: str) -> None:
    """The solve in the head: each placement and mark in words, and the marks as they change.

    ``ends`` says what is next where it comes to an end.
    """
    console = _console()
    last: tuple[NamedMark, ...] = ()
    for number, one in enumerate(told, start=1):
        console.print(Text(_wrapped(one.words, "", f"{number:3}. ")), soft_wrap=True)
        if one.marks and one.marks != last:
            held = "; ".join(name(mark, geometry) for mark in one.marks)
            lines = _wrapped(f"(in mind: {held})", "     ")
            console.print(Text(lines, "dim"), soft_wrap=True)
        last = one.marks
    if load.solved and load.marks is not None:
        held = {0: "nothing", 1: "1 mark"}.get(load.marks, f"at most {load.marks} marks")
        console.print(f"\nsolved without notes, with {held} in mind")
        return
    rows = "\n".join("     " + row for row in format_rows(load.values, geometry.size).split("\n"))
    console.print(f"\n{rows}\n")
    if load.solved is None:
        console.print("whether it can be solved without notes is not known: a limit ran out")
    else:
        console.print(Text(_wrapped(ends, "")), soft_wrap=True)


def show_techniques() -> None:
    """The ladder as a table."""
    table = Table(box=box.SIMPLE_HEAD)
    table.add_column("rung", justify="right")
    table.add_column("technique")
    table.add_column("weight", justify="right")
    table.add_column("what it is")
    for one in TABLE:
        table.add_row(str(one.rung), one.slug, f"{one.weight:g}", Text(one.about))
    _console().print(table)
