"""The words of a solve without notes. Sentences vary as speech does, and never by chance.

Every sentence is one of the lists below; the k-th time that something is said, the list's k-th
wording is taken, round and round. ``tests/words/expected.txt`` has them as they were approved.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from packbuilder.grid import Geometry, cell_name
from packbuilder.ladder.english import (
    article,
    cannot,
    cells,
    digit,
    digits,
    digits_plural,
    label,
    listed,
    noun,
    number,
)

SAID: dict[str, tuple[str, ...]] = {
    "places": (
        "The {plural} of {house} can only be in {cells}.",
        "In {house} the {digit} has only {cells} left.",
        "Look at {house}: the {digit} goes into {cells}.",
    ),
    "cell": ("{cells} can only be {digits}.", "All that is left for {cells} is {digits}."),
    "naked": (
        "{cells} of {house} can only be {digits}.",
        "In {house} nothing but {digits} is left for {cells}.",
    ),
    "hidden": (
        "The digits {digits} of {house} can only be in {cells}.",
        "In {house} only {cells} can take {digits}.",
    ),
    "keep": ("Keep this in mind.", "Hold on to that.", "Remember it for a moment."),
    "with": ("With {marks} in mind: {rest}", "Thanks to {marks}: {rest}"),
    "so": ("With {marks} in mind, {lost}.", "You hold {marks}; so {lost}."),
    "hold": (
        "Hold {count} things: {marks}. Now whichever of these is true, {lost}.",
        "There are {count} things to hold: {marks}. Whichever way they fall, {lost}.",
    ),
    "hold one": (
        "Hold one thing: {marks}. Now whichever of these is true, {lost}.",
        "Remember: {marks}. Whichever of these is true, {lost}.",
    ),
    "named": ("This is {name}.", "Solvers call this {name}."),
    "place": (
        "So {digit} fits in {house} only in {cell}.",
        "In {house} that leaves {cell} for {digit}.",
    ),
    "last digit": ("So {cell} can only be {digit}.", "That leaves {digit} for {cell}."),
    "forget one": ("This mark can be forgotten now.", "You can let go of that now."),
    "forget": ("These marks can be forgotten now.", "You can let go of these now."),
    "forget other": ("You can let go of {marks} now.",),
    "idea 1": ("One thing held in mind is enough: whichever way it falls, it rules out the same.",),
    "idea 2": ("Hold two things in mind: whichever way they fall, they rule out the same.",),
    "idea 3": ("Hold three things in mind: whichever way they fall, they rule out the same.",),
    "stopped": (
        "Here the head alone comes to an end: {count} cells are left, and no {most} facts bring "
        "another digit into sight. With notes, the next step is {technique}: {step}",
    ),
}  # fmt: skip
"""By what is said: its wordings, with what is filled in."""


@dataclass(frozen=True, slots=True)
class NamedMark:
    """A mark for people: these digits are in these cells; ``house`` (index) is where it shows.

    One digit in two or three cells; as many digits as cells; or, with no house (-1), one cell with
    two digits.
    """

    digits: tuple[int, ...]
    cells: tuple[int, ...]
    house: int


@dataclass
class Voice:
    """Who tells a solve: it knows what it said before, and says it otherwise the next time."""

    geometry: Geometry
    _said: Counter[str] = field(default_factory=Counter)

    def say(self, what: str, **filled: str) -> str:
        """The next wording of a sentence, filled in; a cell at its head is written small."""
        wordings = SAID[what]
        told = wordings[self._said[what] % len(wordings)].format(**filled)
        self._said[what] += 1
        return _sentence(told)

    def mark(self, mark: NamedMark, naked: bool, uses: Sequence[NamedMark]) -> str:
        """A mark that is set, and what shows it."""
        size = self.geometry.size
        where = label(mark.house, self.geometry) if mark.house >= 0 else ""
        if len(mark.digits) == 1:
            told = self.say(
                "places", plural=digits_plural(mark.digits[0]), digit=digit(mark.digits[0]),
                house=where, cells=cells(mark.cells, size, "or"),
            )  # fmt: skip
        else:
            kind = "cell" if len(mark.cells) == 1 else "naked" if naked else "hidden"
            last = "or" if kind == "cell" else "and"
            told = self.say(
                kind, cells=cells(mark.cells, size), digits=digits(mark.digits, last), house=where
            )
        if uses:
            rest = told if told[1:2].isdigit() else told[0].lower() + told[1:]
            told = self.say("with", marks=self.names(uses), rest=rest)
        return f"{told} {self.say('keep')}"

    def placement(
        self, cell: int, d: int, house: int, lost: Iterable[tuple[int, int]],
        uses: Sequence[NamedMark], pattern: str,
    ) -> str:  # fmt: skip
        """A digit that comes into sight by held marks: the argument in the order of looking."""
        size, told = self.geometry.size, []
        gone = self._lost(lost)
        ways = all((len(mark.cells) > 1 and len(mark.digits) == 1) or len(mark.cells) == 1
                   for mark in uses)  # fmt: skip
        named = listed(self._in_full(mark) for mark in uses)
        if ways and len(uses) > 1:
            told.append(self.say("hold", count=number(len(uses)), marks=named, lost=gone))
        elif ways:
            told.append(self.say("hold one", marks=named, lost=gone))
        else:
            told.append(self.say("so", marks=self.names(uses), lost=gone))
        if pattern:
            told.append(self.say("named", name=article(noun(pattern))))
        at = cell_name(cell, size)
        if house >= 0:
            where = label(house, self.geometry)
            told.append(self.say("place", digit=digit(d), house=where, cell=at))
        else:
            told.append(self.say("last digit", cell=at, digit=digit(d)))
        return " ".join(told)

    def end(self, ends: Sequence[NamedMark], uses: Sequence[NamedMark]) -> str:
        """That marks have done their work; without their names if they were just named."""
        if set(ends) == set(uses):
            return self.say("forget one" if len(ends) == 1 else "forget")
        return self.say("forget other", marks=self.names(ends))

    def names(self, marks: Iterable[NamedMark]) -> str:
        """Marks by name, in a list."""
        return listed(name(mark, self.geometry) for mark in marks)

    def _in_full(self, mark: NamedMark) -> str:
        """A mark as two or three possibilities: ``the 8 of column 4 is in r2c4 or r7c4``."""
        size = self.geometry.size
        if len(mark.cells) == 1:
            return f"{cell_name(mark.cells[0], size)} is {digits(mark.digits, 'or')}"
        where = label(mark.house, self.geometry)
        return f"the {digit(mark.digits[0])} of {where} is in {cells(mark.cells, size, 'or')}"

    def _lost(self, lost: Iterable[tuple[int, int]]) -> str:
        """``r8c5 cannot be 8``; cells of one digit together."""
        by_digit: dict[int, list[int]] = {}
        for cell, d in lost:
            by_digit.setdefault(d, []).append(cell)
        size = self.geometry.size
        if len(by_digit) > 1 and len({cell for found in by_digit.values() for cell in found}) == 1:
            (cell,) = {cell for found in by_digit.values() for cell in found}
            return f"{cell_name(cell, size)} cannot be {digits(sorted(by_digit), 'or')}"
        return listed(cannot(found, f" {digit(d)}", size) for d, found in sorted(by_digit.items()))


def name(mark: NamedMark, geometry: Geometry) -> str:
    """``the 5s of block 3``, ``the pair 3 and 7 of row 1``, ``the 3 or 7 of r1c1``."""
    if len(mark.cells) == 1:
        return f"the {digits(mark.digits, 'or')} of {cell_name(mark.cells[0], geometry.size)}"
    house = label(mark.house, geometry)
    if len(mark.digits) == 1:
        return f"the {digits_plural(mark.digits[0])} of {house}"
    return f"the {'pair' if len(mark.digits) == 2 else 'triple'} {digits(mark.digits)} of {house}"


def _sentence(text: str) -> str:
    """The text with a capital, unless it begins with a cell: those are written small everywhere."""
    return text if text[1:2].isdigit() else text[0].upper() + text[1:]
