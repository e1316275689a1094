"""What a person sees in the terminal: tables and findings, drawn with rich."""

from __future__ import annotations

import errno
import os
import shutil
import textwrap
from collections.abc import Collection, Sequence
from typing import TYPE_CHECKING

from rich import box
from rich.console import Console
from rich.table import Table
from rich.text import Text

from packbuilder.cli.progress import MOST_TOLD
from packbuilder.gate.codes import CODES
from packbuilder.grid import Geometry, cell_name, default_shape, format_rows
from packbuilder.phrases import counted

if TYPE_CHECKING:
    from packbuilder.gate import Checked, Finding, Report
    from packbuilder.issuing.proposal import Proposal
    from packbuilder.issuing.year import Year
    from packbuilder.ladder.head.load import NoNotes
    from packbuilder.ladder.head.solve import Told
    from packbuilder.ladder.path import Path
    from packbuilder.setters.roll import Setter

WIDTH = 100
"""Columns of prose, at the most."""

TABLE_WIDTH = 112
"""Columns of a table where standard output is not a terminal."""

_FAIR = (
    "To keep entries fair: every edition with such a puzzle has its answer too. Post a picture of "
    "its page first (packbuilder previews), and send the pack out when entries have closed."
)


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
    _show_findings(console, report)
    for one in report.checked:
        if one.entry:
            cells = ", ".join(cell_name(cell, one.puzzle.size) for cell in one.entry.cells)
            told = f"{one.puzzle.id}: entry letters in {cells}; a guess is right once in "
            console.print(Text(f"{told}{one.entry.odds:,} times"), soft_wrap=True)
    if any(one.entry for one in report.checked):
        console.print(Text(_FAIR), soft_wrap=True)
    puzzles = counted(len(report.checked), "puzzle")
    if report.passed:
        console.print(f"passed: {puzzles}, each as promised")
        return
    refused = sum(one.refused for one in report.checked)
    what = [f"{refused} of {puzzles}"] if refused else []
    if codes := dict.fromkeys(f.code for f in report.refusals):
        what.append(f"the pack itself ({', '.join(codes)})")
    console.print(f"refused: {' and '.join(what)}")


def show_notes(report: Report) -> None:
    """What is still to be written of a pack that may be printed, on standard error."""
    _show_findings(_console(err=True), report, {"placeholder"})


def _show_findings(console: Console, report: Report, codes: Collection[str] = CODES) -> None:
    """All findings of these codes, first those of puzzles."""
    named = [(f"{one.puzzle.where}: {one.puzzle.id}", one.findings) for one in report.checked]
    told = [
        (finding, where)
        for where, findings in (*named, (report.pack.slug, report.findings))
        for finding in findings
        if finding.code in codes
    ]
    if len(told) > MOST_TOLD:  # what bars the release is not to be missed
        told.sort(key=lambda one: not one[0].refuses)
    for finding, where in told[:MOST_TOLD]:
        _show_finding(console, finding, where)
    if len(told) > MOST_TOLD:
        console.print(f"... and {len(told) - MOST_TOLD} more findings")


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


def _columns() -> int:
    """Columns of prose: WIDTH, or those of a narrower terminal."""
    return min(WIDTH, shutil.get_terminal_size((WIDTH, 0)).columns)


def _wrapped(text: str, indent: str, first: str = "") -> str:
    """Prose in lines; the first begins with ``first`` in place of blanks."""
    return textwrap.fill(
        text,
        _columns(),
        initial_indent=first or indent,
        subsequent_indent=" " * len(first or indent),
        break_long_words=False,  # the digits of a grid are to be copied
    )


def show_path(path: Path) -> None:
    """The solve, a numbered line a step, then the facts."""
    from packbuilder.ladder.reasons import Reasons
    from packbuilder.ladder.telling import Telling

    console = _console()
    telling = Telling(Reasons(path))
    for k in range(len(path.steps)):
        lines = _wrapped(telling.words(k), "", f"{k + 1:3}. ")
        console.print(Text(lines), soft_wrap=True)
    console.print()
    if path.solved:
        console.print(f"grade {path.grade}, hardest step {path.hardest}, effort {path.effort:.0f}")
    else:
        console.print("the ladder cannot finish this grid: its grade is beyond")
    console.print(", ".join(f"{slug} {count}" for slug, count in dict(path.techniques).items()))


def show_profile(path: Path) -> None:
    """Where the solve is narrow: a bar a step, its height the ways on, and rungs of 3 and up."""
    from packbuilder.ladder.profile import profile

    console = _console()
    console.print("\nways on at each step (a low bar is a narrow place; below, the rung from 3 up)")
    for line in profile(path):
        console.print(Text(line), soft_wrap=True)


def show_no_notes(told: Sequence[Told], load: NoNotes, geometry: Geometry, ends: str) -> None:
    """The solve in the head: each placement and mark in words, and the marks as they change.

    ``ends`` says what is next where it comes to an end.
    """
    from packbuilder.ladder.head.sentences import NamedMark, name

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
    from packbuilder.ladder.table import TABLE

    table = Table(box=box.SIMPLE_HEAD)
    table.add_column("rung", justify="right")
    table.add_column("technique")
    table.add_column("weight", justify="right")
    table.add_column("what it is")
    for one in TABLE:
        table.add_row(str(one.rung), one.slug, f"{one.weight:g}", Text(one.about))
    _console().print(table)


def show_setters(setters: Sequence[Setter]) -> None:
    """Who gave what, with whose leave, and what is missing."""
    console = _console()
    table = Table(box=box.SIMPLE_HEAD, padding=(0, 1, 0, 0))
    for heading in ("setter", "puzzle", "permission", "date", "missing"):
        table.add_column(heading, overflow="fold", no_wrap=heading == "date")
    for setter in setters:
        for k, one in enumerate(setter.given):
            permission = one.permission or ("–" if setter.guest else "own")
            missing = Text("; ".join(one.missing) or "nothing", "bold red" * bool(one.missing))
            name = setter.name if k == 0 else ""
            table.add_row(Text(name), Text(one.id), Text(permission), one.date or "–", missing)
    console.print(table)


MOST_MONTHS = 12
"""Columns of months; what was before them counts in the totals."""


def show_year(year: Year, proposed: Proposal) -> None:
    """A table of each kind of things, with a column for each of the last issues; the proposal."""
    console = _console()
    shown = year.issues[-MOST_MONTHS:]
    for kind in year.kinds:
        used = [use for use in kind.uses if use.total]
        if used:
            table = Table(box=box.SIMPLE_HEAD, padding=(0, 1, 0, 0))
            table.add_column(kind.title, no_wrap=True, min_width=22)
            for one in shown:  # the month above the year, to be narrow
                table.add_column(f"{one.issue[5:]}\n{one.issue[2:4]}", justify="right")
            table.add_column("in\nall", justify="right", no_wrap=True)
            table.add_column("last", no_wrap=True)
            for use in used:
                counts = [str(count or "") for count in use.counts[-len(shown) :]]
                table.add_row(Text(use.name), *counts, str(use.total), use.last or "")
            console.print(table)
        idle = [use.name for use in used if use.long_unused]
        never = [use.name for use in kind.uses if not use.total]
        for told, names in (("not for long", idle), ("never yet", never)):
            if names:
                told = f"{kind.title}, {told}: {', '.join(names)}"
                lines = textwrap.wrap(
                    told, _columns(), break_on_hyphens=False, subsequent_indent="    "
                )
                console.print(Text("\n".join(lines)), soft_wrap=True)
    if year.drafts:
        console.print(f"\nbuilt, not yet released: {', '.join(year.drafts)}")
    console.print(f"\nfor {proposed.issue}:")
    for line in proposed.words:
        console.print(Text(f"    {line}"))
    for command in proposed.commands:
        console.print(Text(f"    {command}"), soft_wrap=True)
