"""The ladder's table: every technique with its rung, its weight and its words.

Rungs go from 1 (a glance) to 7. The rung decides the grade; the weight is what one such step adds
to a puzzle's effort, and settles which of two techniques on a rung is the harder. Both are our own
judgement, meant to be argued with.
"""

from __future__ import annotations

from functools import partial
from typing import Any

from packbuilder.ladder import (
    chains,
    colouring,
    fish,
    locked,
    singles,
    strings,
    subsets,
    unique,
    wings,
)
from packbuilder.ladder.find import Finder
from packbuilder.ladder.rungs import Ladder, Sight, Technique

__all__ = ["ASSUMING_UNIQUE", "DEFAULT", "TABLE", "UNIQUENESS", "Ladder", "Sight", "Technique",
           "as_json"]  # fmt: skip

TABLE = (
    Technique(
        "full-house",
        "Full house",
        1,
        0.5,
        "A house has one empty cell left; it takes the one digit that is missing.",
        "A full house: a row, column or block with a single empty cell.",
        singles.tell_full_house,
        sight=Sight.LAST_CELL,
    ),
    Technique(
        "hidden-single",
        "Hidden single",
        1,
        0.8,
        "A digit has only one cell left in a block; its copies elsewhere rule out the rest.",
        "A hidden single: one digit has a single place left in a block.",
        singles.tell_hidden_single,
        sight=Sight.AREA,
    ),
    Technique(
        "hidden-single",
        "Hidden single",
        2,
        1.2,
        "A digit has only one cell left in a row or a column.",
        "A hidden single: one digit has a single place left in a row or a column.",
        singles.tell_hidden_single,
        sight=Sight.LINE,
    ),
    Technique(
        "naked-single",
        "Naked single",
        2,
        1.5,
        "A cell sees every digit but one, and takes that one.",
        "A naked single: one cell sees every digit but one.",
        singles.tell_naked_single,
        sight=Sight.CELL,
    ),
    Technique(
        "pointing",
        "Pointing",
        3,
        2.5,
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
        2.8,
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
        3.0,
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
        3.5,
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
        4.0,
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
        4.5,
        "Two digits fit only in the same two cells of a house; those cells lose every other digit.",
        "A hidden pair: two digits of a house fit only in the same two cells.",
        subsets.tell_hidden,
        find=partial(subsets.hidden, n=2),
    ),
    Technique(
        "naked-triple",
        "Naked triple",
        4,
        5.0,
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
        6.0,
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
        7.0,
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
        7.2,
        "In two rows a digit has two places each, one of them in a column that both share; one of "
        "the two others holds the digit, and a cell that sees both loses it.",
        "A skyscraper: two pairs of places for one digit stand on a common line.",
        strings.tell,
        find=strings.skyscraper,
    ),
    Technique(
        "two-string-kite",
        "Two-string kite",
        5,
        7.4,
        "A digit has two places in a row and two in a column, and one of each lies in the same "
        "block; one of the two others holds the digit, and a cell that sees both loses it.",
        "A two-string kite: a pair in a row and a pair in a column are tied in a block.",
        strings.tell,
        find=strings.two_string_kite,
    ),
    Technique(
        "xy-wing",
        "XY-wing",
        5,
        8.0,
        "A cell of two digits sees two others that share one digit more; one of the two holds that "
        "digit, and a cell that sees both loses it.",
        "An XY-wing: three cells of two digits each, one of which sees the other two.",
        wings.tell_wing,
        find=wings.xy_wing,
    ),
    Technique(
        "naked-quad",
        "Naked quad",
        5,
        8.5,
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
        9.5,
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
        11.0,
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
        11.2,
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
        11.5,
        "Two cells apart have the same two candidates, and a pair of places for one digit joins "
        "them; one of the cells holds the other digit, and a cell that sees both loses it.",
        "A W-wing: two cells with the same two candidates, joined by a pair of places for one.",
        wings.tell_w_wing,
        find=wings.w_wing,
    ),
    Technique(
        "simple-colouring",
        "Simple colouring",
        6,
        12.0,
        "Pairs of places for one digit, joined end to end, take two colours; one colour is all "
        "true, so a cell that sees both loses the digit.",
        "Simple colouring: the pairs of places for one digit, coloured in turn.",
        colouring.tell,
        find=colouring.simple_colouring,
    ),
    Technique(
        "finned-x-wing",
        "Finned X-wing",
        6,
        12.5,
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
        15.0,
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
        16.0,
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
        17.0,
        "Cells of two digits, each seeing the next and sharing a digit with it; the digit that "
        "stands free at both ends holds at one of them, and a cell that sees both ends loses it.",
        "An XY-chain: a string of cells with two digits each.",
        chains.tell_xy,
        find=chains.xy_chain,
    ),
    Technique(
        "chain",
        "Chain",
        7,
        20.0,
        "If one candidate is false another is true, which makes a third false, and so on to the "
        "end; the first or the last is true, and what both rule out is false.",
        "A chain: if one thing is not so, the next is, and so on.",
        chains.tell,
        find=chains.chain,
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
    _rectangle(1, 5, 7.1, unique.rectangle_1, "the cell with other candidates holds one of them"),
    _rectangle(2, 5, 7.6, unique.rectangle_2, "one of two cells holds the digit that they add"),
    _rectangle(4, 6, 11.3, unique.rectangle_4, "a digit of the two leaves the cells that add some"),
    _rectangle(3, 6, 12.2, unique.rectangle_3, "what two of the cells add makes a naked set"),
    Technique(
        "bivalue-universal-grave",
        "Bivalue universal grave",
        6,
        12.4,
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
