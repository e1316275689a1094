"""The script as Markdown, to paste wherever it is wanted."""

from __future__ import annotations

from packbuilder.grid import format_rows
from packbuilder.puzzle import Puzzle
from packbuilder.script.beats import clock
from packbuilder.script.told import Script
from packbuilder.script.wording import SCRIPT


def markdown(script: Script, puzzle: Puzzle) -> str:
    """Beats as sections, each with the grid as it stands; words to say are quoted."""
    lines = [f"# {_plain(script.title)}", "", *map(_plain, script.head)]
    for beat, told in script.beats:
        lines += ["", f"## {clock(beat.start)} {beat.title}", "", "```text"]
        lines += [*format_rows(beat.looks[0].before, puzzle.size).splitlines(), "```"]
        for line in told:
            lines += ["", f"> {_plain(line.words)}" if line.say else _plain(line.words)]
    lines += ["", f"## {SCRIPT['chapters']}", "", "```text", *script.chapters, "```"]
    return "\n".join(lines) + "\n"


def _plain(text: str) -> str:
    """Text in which nothing is a sign of Markdown (CommonMark 0.31, 2.4: a backslash before it)."""
    return "".join(f"\\{letter}" if letter in "\\`*_[]<>#|" else letter for letter in text)
