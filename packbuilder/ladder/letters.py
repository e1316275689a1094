"""Letters: what the cells of a step are called below its picture, where they stand as well.

The argument runs by letters, each told with its cell at first: ``A (r2c3)``. What closes cells
before it is told by cells, which have another part there; and so is what is to be done: the reader
does it in a grid of his own, which has no letters.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from packbuilder.grid import Geometry, cell_name
from packbuilder.ladder.english import cells
from packbuilder.ladder.step import Step
from packbuilder.ladder.teaching import taught
from packbuilder.ladder.words import tell

Letters = tuple[tuple[int, str], ...]
"""(cell, letter) pairs. Of a colouring several cells have one letter."""

_BY_LETTERS = ("skyscraper", "two-string-kite", "empty-rectangle", "xy-wing", "xyz-wing", "w-wing",
               "simple-colouring", "finned-x-wing", "finned-swordfish", "chain",
               "xy-chain")  # fmt: skip
"""The techniques whose argument goes from cell to cell. Others speak of their cells together."""

_DONE = re.compile(r"(?:^|(?<=[.?!] ))(?:That (?:takes|leaves) [^.]*\. ?)+$")
"""The sentences that say what is to be done."""

_BEFORE = re.compile(r".*\bcloses? [^.]*\. ?", re.DOTALL)
"""What closes cells, with the earlier steps that do: all that is told before the argument."""

_NAMED = re.compile(
    r"(?:regions? of|\bat|\bfrom) r\d+c\d+(?:(?:, | and | to |-)r\d+c\d+)*"  # a house, or a mark
    r"|\b[A-Z] \([^()]*\)"
    r"|\b(?P<cell>r\d+c\d+)\b(?: \((?P<more>[^()]*)\))?"
)


def letters_of(step: Step, geometry: Geometry) -> Letters:
    """The letters of a step's cells, in the order in which its words name them.

    None where they do not help, or might be digits.
    """
    if step.technique not in _BY_LETTERS or geometry.size > 9:
        return ()
    found = taught(step, geometry).letters
    if len({letter for _, letter in found}) < len(found):
        return found  # of colours, which are told as they are
    named = [one["cell"] for one in _NAMED.finditer(tell(step, geometry))]
    # The sooner a cell is named, the sooner comes a False.
    order = sorted(
        found, key=lambda one: [name != cell_name(one[0], geometry.size) for name in named]
    )
    return tuple((cell, letter) for (cell, _), (_, letter) in zip(order, found, strict=True))


def by_letters(text: str, letters: Sequence[tuple[int, str]], size: int) -> str:
    """The words of a step, with the letters of its cells."""
    done = _DONE.search(text)
    end = done.start() if done else len(text)
    before = _BEFORE.match(text[:end])
    start = before.end() if before else 0
    return f"{text[:start]}{_called(text[start:end], letters, size)}{text[end:]}"


def _called(text: str, letters: Sequence[tuple[int, str]], size: int) -> str:
    groups: dict[str, list[int]] = {}
    for cell, letter in letters:
        groups.setdefault(letter, []).append(cell)
    for letter, group in groups.items():
        if len(group) > 1:
            text = _together(text, letter, cells(group, size))
    names = {cell_name(cell, size): letter for cell, letter in letters}
    told: set[str] = set()

    def call(found: re.Match[str]) -> str:
        name, letter = found["cell"], names.get(found["cell"] or "")
        if letter is None:
            return found[0]
        if len(groups[letter]) > 1:
            return f"the {letter} in {found[0]}"
        if letter in told:
            return f"{letter}{found[0].removeprefix(name)}"
        told.add(letter)
        return f"{letter} ({', '.join(filter(None, (name, found['more'])))})"

    return _NAMED.sub(call, text)


def _together(text: str, letter: str, names: str) -> str:
    """``r1c1 and r2c3 both are 5`` as ``both A (r1c1 and r2c3) are 5``; as ``both A`` later on."""
    first, *later = re.split(rf"{re.escape(names)} (both|all) are", text)
    for k in range(0, len(later), 2):
        count, rest = later[k : k + 2]
        first += f"{count} {letter}{'' if k else f' ({names})'} are{rest}"
    return first
