"""Lists of entries: one to publish, without a name unless that is asked for, and a private one."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from packbuilder.phrases import counted
from packbuilder.release.staging import move_in, staging
from packbuilder.supporters.entries import Amiss, Placed, Result, Results
from packbuilder.supporters.private import keep_out_of_repositories, private_file
from packbuilder.supporters.register import shown

NOT_WRITTEN = "no lists were written"


def public_list(
    results: Results, numbers: Mapping[str, int], *, markdown: bool, with_names: bool
) -> str:
    """Who was first, puzzle by puzzle, known by their copies' numbers (by small-letter names).

    Someone without a copy is known by the line of the list.
    """
    lines: list[str] = []
    for one in results.puzzles:
        title = f"{one.prize.number}. {one.prize.title}"
        lines += [f"## {title}" if markdown else title, ""]
        lines += [
            f"{'- ' if markdown else '  '}{_winner(placed, results, numbers, with_names)}"
            for placed in one.first
        ] or ["Nobody yet."]
        total = len(one.first) + len(one.later)
        lines += ["", f"{counted(total, 'right answer')} in all; a guess is right once in "
                  f"{one.prize.odds:,} times.", ""]  # fmt: skip
    return "\n".join(lines).rstrip() + "\n"


def _winner(placed: Placed, results: Results, numbers: Mapping[str, int], with_names: bool) -> str:
    entry = placed.entry
    who = f"entry {entry.line}"
    if with_names:
        who = entry.name
    elif number := numbers.get(entry.name.casefold()):
        who = f"copy {shown(number)}"
    return f"{_ordinal(placed.place)}: {who}, {entry.received}"


def _ordinal(place: int) -> str:
    end = {1: "st", 2: "nd", 3: "rd"}.get(place % 10, "th")
    return f"{place}{'th' if place % 100 in (11, 12, 13) else end}"


def private_list(results: Results) -> str:
    """Every line of the list with what became of it, as CSV; names and all."""
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(("line", "name", "puzzle", "outcome", "place", "utc", "tries", "why"))
    rows = [row for one in results.puzzles for row in _rows(one)]
    rows += [(fault.line, "", "not read", "", "", "", fault.why) for fault in results.unread]
    for line, *rest in sorted(rows, key=lambda row: row[0]):
        writer.writerow((line, results.names[line], *rest))
    return text.getvalue()


_Row = tuple[int, str, str, object, str, object, str]


def _rows(result: Result) -> Iterator[_Row]:
    puzzle = result.prize.id
    for outcome, some in (("first", result.first), ("right", result.later)):
        for placed in some:
            one = placed.entry
            yield one.line, puzzle, outcome, placed.place, str(one.received), one.tries, ""
    kinds: tuple[tuple[str, list[Amiss]], ...] = (
        ("wrong", result.wrong),
        ("repeat", result.repeats),
        ("late", result.late),
    )
    for outcome, faults in kinds:
        for fault in faults:
            yield fault.line, puzzle, outcome, "", "", "", fault.why


@dataclass(frozen=True)
class Lists:
    """The lists that were written, and the public one as plain text."""

    files: tuple[Path, ...]
    text: str


def write_lists(
    results: Results, numbers: Mapping[str, int], out: Path, *, with_names: bool
) -> Lists:
    """Write all lists into a folder, the private one for its owner's eyes alone.

    Raises InputError where the folder cannot be used, Unfinished where the disk is full.
    """
    text = public_list(results, numbers, markdown=False, with_names=with_names)
    marked = public_list(results, numbers, markdown=True, with_names=with_names)
    with staging(out, NOT_WRITTEN) as aside:
        made = [
            private_file(aside / "private.csv", private_list(results)),
            aside / "public.md",
            aside / "public.txt",
        ]
        made[1].write_text(marked, encoding="utf-8", newline="\n")
        made[2].write_text(text, encoding="utf-8", newline="\n")
        keep_out_of_repositories(aside, out)
        return Lists(move_in(made, out), text)
