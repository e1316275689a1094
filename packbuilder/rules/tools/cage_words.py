"""Cages in words: the table of their deductions, and what each says, fit for print."""

from __future__ import annotations

from typing import TYPE_CHECKING

from packbuilder.grid import SYMBOLS, cell_name
from packbuilder.rules.contract import Removes, Row, Sight
from packbuilder.rules.tools import words as words
from packbuilder.rules.tools.masks import digits_of

if TYPE_CHECKING:
    from packbuilder.rules.cages import Cage

TOLD = 4
"""Sets that a sentence lists; more are not told one by one."""

TECHNIQUES = (
    Row("cage-total", "Cage total", 2, 7,
        "All digits of a cage but one are known, and the sum gives the last.",
        "A cage with a single open cell."),
    Row("cage-combinations", "Cage combinations", 3, 5,
        "Only so many sets of digits make the sum of a cage; digits in none of them go.",
        "The few sets of digits that make the sum of a cage."),
    Row("cage-partners", "Cage partners", 3, 6,
        "Two open cells of a cage: a digit goes where the other cell cannot make up the sum.",
        "Two cells of a cage: each digit needs its partner."),
    Row("single-innie", "Single innie or outie", 3, 12,
        "A house makes a known sum, and so do the cages in it; the one cell that sticks in or out "
        "makes up the difference.",
        "What a whole house adds up to, against the cages in it."),
    Row("cage-leftover", "Cage combinations left", 4, 10,
        "Of the sets that make the sum of a cage, some no longer fit its candidates; digits that "
        "only those had go.",
        "The sets of digits that are still open to a cage."),
    Row("cage-must-hold", "Cage must hold", 4, 16,
        "Every set still open to a cage has a certain digit, so cells that see all its places in "
        "the cage lose it.",
        "A digit that a cage cannot do without."),
    Row("single-innie-wide", "Single innie or outie of several houses", 4, 18,
        "Several houses make a known sum, and so do the cages in them; the one cell that sticks "
        "in or out makes up the difference.",
        "What some houses side by side add up to, against the cages in them."),
    Row("innies-outies", "Innies and outies", 5, 13,
        "A house makes a known sum, and so do the cages in it; the few cells that stick in or out "
        "make up the difference, which rules out some of their digits.",
        "What a whole house adds up to, against the cages in it: a few cells are left over."),
    Row("cage-arrangements", "Cage arrangements", 5, 14,
        "Of the ways in which the sets still open to a cage can lie in its cells, none has a "
        "certain digit in a certain cell.",
        "How the sets that are open to a cage can lie in it."),
    Row("innies-outies-wide", "Innies and outies of several houses", 6, 16,
        "Several houses make a known sum, and so do the cages in them; the few cells that stick "
        "in or out make up the difference, which rules out some of their digits.",
        "What some houses side by side add up to, against the cages in them: a few cells are left "
        "over."),
)  # fmt: skip


def tell_last(cage: Cage, cell: int, digit: int, filled: int, size: int, _: Removes) -> str:
    """The one digit that is missing from a cage."""
    where, it = cell_name(cage.cells[0], size), cell_name(cell, size)
    if not filled:
        return f"{it} is a cage by itself, so it is {SYMBOLS[digit]}."
    rest = "+".join(SYMBOLS[d] for d in digits_of(filled))
    made = rest if filled & (filled - 1) == 0 else f"{rest} = {sum(digits_of(filled))}"
    return (
        f"The cage of {cage.total} at {where} has one open cell. The others hold {made}, so {it} "
        f"is {SYMBOLS[digit]}."
    )


def tell_unused(
    cage: Cage,
    opened: tuple[int, ...],
    left: list[int],
    technique: str,
    size: int,
    removes: Removes,
) -> str:
    """Digits that no set for the open cells has."""
    where, takes = cell_name(cage.cells[0], size), words.takes_out(removes, size)
    whole = len(opened) == len(cage.cells)
    subject = (
        f"The cage of {cage.total} at {where}"
        if whole
        else f"In the cage of {cage.total} at {where}, {words.cells(opened, size)}"
    )
    as_they_stand = ", as its cells stand" if technique == "cage-leftover" else ""
    if len(left) <= TOLD:
        return f"{subject} can only be {words.sets(left)}{as_they_stand}. {takes}"
    lost = words.digits(sorted({d for _, d in removes}), "or")
    return f"{subject} can be made in several ways{as_they_stand}, but none has {lost}. {takes}"


def tell_held(
    cage: Cage,
    opened: tuple[int, ...],
    left: list[int],
    d: int,
    places: list[int],
    size: int,
    removes: Removes,
) -> str:
    """A digit that every set for the open cells has."""
    where, digit = cell_name(cage.cells[0], size), SYMBOLS[d]
    start = f"The cage of {cage.total} at {where} needs {digit}"
    if len(left) <= TOLD and len(opened) == len(cage.cells):
        start = (
            f"The cage of {cage.total} at {where} can only be {words.sets(left)}: it needs {digit}"
        )
    if len(places) == 1:
        return f"{start}, and only {cell_name(places[0], size)} can hold it."
    return f"{start}, in {words.cells(places, size, 'or')}. {words.takes_out(removes, size)}"


def tell_arranged(
    cage: Cage, opened: tuple[int, ...], rest: int, sight: Sight, removes: Removes
) -> str:
    """Candidates with which the open cells cannot make the rest of the sum."""
    size = sight.size
    start = f"{words.cells(opened, size)} make {rest}"
    if len(opened) < len(cage.cells):
        start = f"{words.cells(opened, size)} still make {rest}"
    ways = words.ways_to_that(removes, sight.masks, size)
    return f"In the cage of {cage.total} at {cell_name(cage.cells[0], size)}, {start}. {ways}"
