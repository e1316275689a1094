"""The ladder's table: every technique with its rung, its weight and its words.

Rungs go from 1 (a glance) to `rungs.RUNGS`. The rung decides the grade; the weight is what one such
step adds to a puzzle's effort, a whole number, and settles which of two techniques on a rung is the
harder. Both are our own judgement, meant to be argued with.
"""

from __future__ import annotations

from functools import partial
from typing import Any

from packbuilder.ladder.find import Finder
from packbuilder.ladder.rungs import Ladder, Sight, Technique
from packbuilder.ladder.step import as_told
from packbuilder.ladder.techniques import (
    almost_locked,
    chains,
    colouring,
    empty_rectangle,
    fish,
    forcing,
    locked,
    refutation,
    single_digit,
    singles,
    subsets,
    unique,
    wings,
)

__all__ = ["ASSUMING_UNIQUE", "DEFAULT", "TABLE", "UNIQUENESS", "Ladder", "Sight", "Technique",
           "as_json"]  # fmt: skip

TABLE = (
    Technique(
        "full-house",
        "Full house",
        1,
        1,
        "A house has one empty cell left; it takes the one digit that is missing.",
        "A full house: a house with a single empty cell.",
        singles.tell_full_house,
        sight=Sight.LAST_CELL,
    ),
    Technique(
        "hidden-single",
        "Hidden single",
        1,
        3,
        "A digit has only one cell left in a block; its copies elsewhere rule out the rest.",
        "A hidden single: one digit has a single place left in a block.",
        singles.tell_hidden_single,
        sight=Sight.AREA,
    ),
    Technique(
        "hidden-single",
        "Hidden single",
        2,
        4,
        "A digit has only one cell left in a row, a column or another house.",
        "A hidden single: one digit has a single place left in a row or a column.",
        singles.tell_hidden_single,
        sight=Sight.LINE,
    ),
    Technique(
        "naked-single",
        "Naked single",
        2,
        6,
        "A cell sees every digit but one, and takes that one.",
        "A naked single: one cell sees every digit but one.",
        singles.tell_naked_single,
        sight=Sight.CELL,
    ),
    Technique(
        "pointing",
        "Pointing",
        3,
        7,
        "All places for a digit in a block lie in one row or column; the rest of that row or "
        "column loses the digit.",
        "Pointing: one digit of a block is held to a line.",
        locked.tell,
        find=locked.pointing,
    ),
    Technique(
        "claiming",
        "Claiming",
        3,
        9,
        "All places for a digit in a row or column lie in one block; the rest of that block loses "
        "the digit.",
        "Claiming: one digit of a line is held to a block.",
        locked.tell,
        find=locked.claiming,
    ),
    Technique(
        "locked-pair",
        "Locked pair",
        3,
        11,
        "Two cells where a line meets a block hold two digits between them; both the line and the "
        "block lose those digits elsewhere.",
        "A locked pair: two digits are held to two cells where a line meets a block.",
        subsets.tell_naked,
        find=partial(subsets.locked, n=2),
    ),
    Technique(
        "locked-triple",
        "Locked triple",
        3,
        14,
        "Three cells where a line meets a block hold three digits between them; both the line and "
        "the block lose those digits elsewhere.",
        "A locked triple: three digits are held to three cells where a line meets a block.",
        subsets.tell_naked,
        find=partial(subsets.locked, n=3),
    ),
    Technique(
        "naked-pair",
        "Naked pair",
        4,
        15,
        "Two cells of a house hold the same two digits between them; the rest of the house loses "
        "both.",
        "A naked pair: two cells of a house hold two digits between them.",
        subsets.tell_naked,
        find=partial(subsets.naked, n=2),
    ),
    Technique(
        "hidden-pair",
        "Hidden pair",
        4,
        17,
        "Two digits fit only in the same two cells of a house; those cells lose every other digit.",
        "A hidden pair: two digits of a house fit only in the same two cells.",
        subsets.tell_hidden,
        find=partial(subsets.hidden, n=2),
    ),
    Technique(
        "naked-triple",
        "Naked triple",
        4,
        19,
        "Three cells of a house hold three digits between them; the rest of the house loses all "
        "three.",
        "A naked triple: three cells of a house hold three digits between them.",
        subsets.tell_naked,
        find=partial(subsets.naked, n=3),
    ),
    Technique(
        "hidden-triple",
        "Hidden triple",
        4,
        20,
        "Three digits fit only in the same three cells of a house; those cells lose every other "
        "digit.",
        "A hidden triple: three digits of a house fit only in the same three cells.",
        subsets.tell_hidden,
        find=partial(subsets.hidden, n=3),
    ),
    Technique(
        "x-wing",
        "X-wing",
        5,
        21,
        "In two rows a digit is held to the same two columns; the rest of those columns loses it. "
        "Rows and columns may change places.",
        "An X-wing: in two lines, one digit is held to the same two lines across.",
        fish.tell,
        find=partial(fish.basic, n=2),
    ),
    Technique(
        "skyscraper",
        "Skyscraper",
        5,
        23,
        "In two rows a digit has two places each, one of them in a column that both share; at "
        "least one of the two others holds the digit, and a cell that sees both loses it. Rows and "
        "columns may change places.",
        "A skyscraper: two pairs of places for one digit stand on a common line.",
        single_digit.tell,
        find=single_digit.skyscraper,
    ),
    Technique(
        "two-string-kite",
        "Two-string kite",
        5,
        24,
        "A digit has two places in a row and two in a column, and one of each lies in the same "
        "block; at least one of the two others holds the digit, and a cell that sees both loses "
        "it.",
        "A two-string kite: a pair in a row and a pair in a column are tied in a block.",
        single_digit.tell,
        find=single_digit.two_string_kite,
    ),
    Technique(
        "empty-rectangle",
        "Empty rectangle",
        5,
        25,
        "A digit's places in a block lie in one row and one column of it, and a pair of places "
        "elsewhere has an end on the one; a cell on the other that sees the pair's far end loses "
        "the digit.",
        "An empty rectangle: one digit of a block makes a bent line, and a pair of places begins "
        "on one arm of it.",
        empty_rectangle.tell,
        find=empty_rectangle.empty_rectangle,
    ),
    Technique(
        "xy-wing",
        "XY-wing",
        5,
        26,
        "A cell of two digits sees two cells that have one of them each, and a third digit in "
        "common; at least one of those two holds the third digit, and a cell that sees both loses "
        "it.",
        "An XY-wing: three cells of two digits each, one of which sees the other two.",
        wings.tell_wing,
        find=wings.xy_wing,
    ),
    Technique(
        "naked-quad",
        "Naked quad",
        5,
        28,
        "Four cells of a house hold four digits between them; the rest of the house loses all "
        "four.",
        "A naked quad: four cells of a house hold four digits between them.",
        subsets.tell_naked,
        find=partial(subsets.naked, n=4),
    ),
    Technique(
        "hidden-quad",
        "Hidden quad",
        5,
        30,
        "Four digits fit only in the same four cells of a house; those cells lose every other "
        "digit.",
        "A hidden quad: four digits of a house fit only in the same four cells.",
        subsets.tell_hidden,
        find=partial(subsets.hidden, n=4),
    ),
    Technique(
        "swordfish",
        "Swordfish",
        6,
        31,
        "In three rows a digit is held to the same three columns; the rest of those columns loses "
        "it. Rows and columns may change places.",
        "A swordfish: in three lines, one digit is held to the same three lines across.",
        fish.tell,
        find=partial(fish.basic, n=3),
    ),
    Technique(
        "xyz-wing",
        "XYZ-wing",
        6,
        32,
        "A cell of three digits sees two cells of two of them; one of the three holds the digit "
        "that all share, and a cell that sees all three loses it.",
        "An XYZ-wing: a cell of three digits sees two cells of two of them.",
        wings.tell_wing,
        find=wings.xyz_wing,
    ),
    Technique(
        "w-wing",
        "W-wing",
        6,
        34,
        "Two cells out of each other's sight have the same two candidates, and a house has two "
        "places for one of these digits, one in sight of either cell; at least one of the cells "
        "holds the other digit, and a cell that sees both loses it.",
        "A W-wing: two cells with the same two candidates, joined by a pair of places for one.",
        wings.tell_w_wing,
        find=wings.w_wing,
    ),
    Technique(
        "simple-colouring",
        "Simple colouring",
        6,
        35,
        "Pairs of places for one digit, joined end to end, take two colours; one colour is all "
        "true, so a cell that sees both loses the digit, and a colour that comes twice in a house "
        "is false.",
        "Simple colouring: the pairs of places for one digit, coloured in turn.",
        colouring.tell,
        find=colouring.simple_colouring,
    ),
    Technique(
        "finned-x-wing",
        "Finned X-wing",
        6,
        38,
        "An X-wing but for some places more; a cell that the X-wing would clear and that sees all "
        "of those loses the digit.",
        "A finned X-wing: all but an X-wing, with a few places to spare.",
        fish.tell_finned,
        find=partial(fish.finned, n=2),
    ),
    Technique(
        "jellyfish",
        "Jellyfish",
        7,
        39,
        "In four rows a digit is held to the same four columns; the rest of those columns loses "
        "it. Rows and columns may change places.",
        "A jellyfish: in four lines, one digit is held to the same four lines across.",
        fish.tell,
        find=partial(fish.basic, n=4),
    ),
    Technique(
        "finned-swordfish",
        "Finned swordfish",
        7,
        40,
        "A swordfish but for some places more; a cell that the swordfish would clear and that "
        "sees all of those loses the digit.",
        "A finned swordfish: all but a swordfish, with a few places to spare.",
        fish.tell_finned,
        find=partial(fish.finned, n=3),
    ),
    Technique(
        "xy-chain",
        "XY-chain",
        7,
        43,
        "Cells of two digits, each seeing the next and sharing a digit with it; the digit that "
        "stands free at both ends holds at one of them, and a cell that sees both ends loses it.",
        "An XY-chain: a string of cells with two digits each.",
        chains.tell_xy,
        find=chains.xy_chain,
        sweep=chains.strikes_of_xy,
    ),
    Technique(
        "chain",
        "Chain",
        7,
        50,
        "If one candidate is false another is true, which makes a third false, and so on to the "
        "end; the first or the last is true, and what both rule out is false.",
        "A chain: if one thing is not so, the next is, and so on.",
        chains.tell,
        find=chains.chain,
        sweep=chains.strikes,
    ),
    Technique(
        "almost-locked-sets",
        "Almost locked sets",
        7,
        54,
        "Two sets of cells, each in a house and each with one digit more than it has cells, whose "
        "places for one digit see each other; one of them holds a second digit that both have, and "
        "a cell that sees every place for it loses that digit.",
        "Two almost locked sets: each has one digit too many to be locked, and they share one.",
        as_told,
        find=almost_locked.two_sets,
    ),
    Technique(
        "forcing-cell",
        "Forcing cell",
        8,
        60,
        "Each digit of a cell, followed link by link, rules out the same candidate; so it goes, "
        "whichever the cell holds.",
        "A forcing cell: whichever digit it takes, the same follows.",
        as_told,
        find=forcing.forcing_cell,
        sweep=forcing.strikes_of_cells,
    ),
    Technique(
        "forcing-house",
        "Forcing house",
        8,
        64,
        "Each place of a digit in a house, followed link by link, rules out the same candidate; so "
        "it goes, wherever the digit is.",
        "A forcing house: whichever place a digit takes there, the same follows.",
        as_told,
        find=forcing.forcing_house,
        sweep=forcing.strikes_of_houses,
    ),
    Technique(
        "refutation",
        "Refutation",
        8,
        80,
        "A candidate is tried; singles follow until a cell has no digit left, or a digit no place "
        "in a house; so the candidate goes.",
        "A refutation: try one candidate, follow the singles, and see it fail.",
        as_told,
        find=refutation.refutation,
        sweep=refutation.strikes,
    ),
)


def _rectangle(kind: int, rung: int, weight: float, find: Finder, then: str) -> Technique:
    return Technique(
        f"unique-rectangle-{kind}",
        f"Unique rectangle {kind}",
        rung,
        weight,
        "Two digits could change places in four cells if those held nothing else; as the puzzle "
        f"has one solution, {then}.",
        "A unique rectangle: it takes the puzzle to have one solution.",
        unique.tell_rectangle,
        find=find,
    )


UNIQUENESS = (
    _rectangle(1, 5, 22, unique.rectangle_1, "the cell with other candidates holds one of them"),
    _rectangle(
        2, 5, 27, unique.rectangle_2, "one of two cells holds the third digit that both have"
    ),
    _rectangle(
        4,
        6,
        33,
        unique.rectangle_4,
        "two cells that have others, and to which one of the two digits is held, lose the other",
    ),
    _rectangle(
        3,
        6,
        36,
        unique.rectangle_3,
        "one of two cells holds a digit that they have besides, so both count as one cell of a "
        "naked set",
    ),
    Technique(
        "bivalue-universal-grave",
        "Bivalue universal grave",
        6,
        37,
        "All open cells but one have two candidates, each with two places in its houses; as the "
        "puzzle has one solution, the odd candidate holds.",
        "A bivalue universal grave: it takes the puzzle to have one solution.",
        unique.tell_grave,
        find=unique.grave,
    ),
)
"""Techniques that rest on the puzzle being unique: no part of the ladder unless asked for."""

DEFAULT = Ladder(TABLE)
"""The ladder as this project sees it."""

ASSUMING_UNIQUE = Ladder(TABLE + UNIQUENESS)
"""The ladder for solvers who take it that the puzzle has one solution."""


def as_json(ladder: Ladder = DEFAULT) -> list[dict[str, Any]]:
    """The table for machines: one object a row."""
    return [
        {"slug": t.slug, "name": t.name, "rung": t.rung, "weight": t.weight, "about": t.about}
        for t in ladder.techniques
    ]
