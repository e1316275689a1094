"""Codes: every finding that the gate may have, with what it means and how it is mended.

The codes are an interface that scripts may rely on. A finding's own words say more.
"""

from __future__ import annotations

from typing import Literal, NamedTuple

Level = Literal["refuse", "warn"]


class Code(NamedTuple):
    """What a finding of a code means, how it is mended, and whether it keeps a pack from print."""

    meaning: str
    mend: str
    level: Level = "refuse"


_ORIGINAL = "compare the cells that are named with the setter's original"

CODES = {
    # is it one puzzle?
    "clue-clash": Code("a house has a clue twice", f"{_ORIGINAL} and correct the wrong one"),
    "no-solution": Code(
        "clues, or clues and rules, contradict one another",
        f"{_ORIGINAL}; at least one of them must change",
    ),
    "not-unique": Code(
        "there is more than one solution", "add the clue that is named, or the one that was meant"
    ),
    "undecided": Code(
        "a limit ran out before the answer was known",
        "raise --node-limit and --time-limit, or ask for less",
    ),
    "engines-disagree": Code(
        "the two proof engines disagree on how many solutions a grid has",
        "this is a fault of packbuilder: report it with the grid; nothing is released",
    ),
    "wrong-solution": Code(
        "the solution in the manifest is not the proved one", "correct the solution or the clues"
    ),
    "nothing-to-solve": Code(
        "every cell has its digit already",
        "give the puzzle's clues under `grid:`; the answer may stand under `solution:`",
    ),
    # is it new?
    "same-puzzle": Code(
        "a puzzle is an earlier one of this pack or of another, perhaps in disguise",
        "leave one of the two out",
    ),
    "same-solution": Code(
        "a puzzle has the solved grid of an earlier one, perhaps in disguise",
        "see whether it is the same puzzle but for a clue or two; leave it if it is meant so",
        "warn",
    ),
    "no-archive": Code(
        "a folder under `archive:` cannot be looked into",
        "correct the folder under `archive:`, or take it out",
    ),
    "unread-pack": Code(
        "another pack cannot be read, so its puzzles were not compared",
        "mend its manifest, or move it elsewhere",
        "warn",
    ),
    "index-made-anew": Code(
        "the index of other packs was damaged",
        "nothing: it was made anew, and no puzzle is lost",
        "warn",
    ),
    # is it as promised?
    "wrong-grade": Code(
        "the hardest step is of another grade, or the ladder cannot finish the grid",
        "promise the grade that is named, or change the clues",
    ),
    "not-needed": Code(
        "a technique under `needs:` can be done without, or is not enough",
        "choose another grid, or withdraw the promise under `needs:`",
    ),
    "not-only": Code(
        "something else does instead of a technique under `only:`, or it is not needed",
        "choose another grid, or withdraw the promise under `only:`",
    ),
    "not-used": Code(
        "a technique under `uses:` is not on the easiest-first path",
        "withdraw the promise under `uses:`, or change the clues",
    ),
    "notes-needed": Code(
        "it cannot be solved without notes", "withdraw `no-notes:`, or choose another grid"
    ),
    "too-many-marks": Code(
        "more marks must be in mind than promised",
        "promise the number that is named, or choose another grid",
    ),
    "not-minimal": Code(
        "a clue can be left out of a grid that is promised minimal",
        "leave one of them out and check again, or withdraw `minimal: true`",
    ),
    "wrong-clue-count": Code(
        "the grid has another number of clues",
        "promise the number that is named, or compare the grid with the setter's original",
    ),
    "wrong-symmetry": Code(
        "the clues' picture has not the symmetry that is promised",
        "compare these cells with the setter's original, or promise another `symmetry:`",
    ),
    # may it be printed?
    "no-permission": Code(
        "a guest's puzzle has no permission",
        "ask the setter, then say under `permission:` how and when it was given",
    ),
    "unprintable": Code(
        "the type lacks a letter of a text", "write it in Latin, Greek or Cyrillic letters"
    ),
    "spare-hint": Code(
        "there are words for more hints than the puzzle has",
        "take the last of them out under `hints:`",
    ),
    "no-entry": Code(
        "a puzzle has fewer empty cells than it needs letters",
        "write a smaller number under the pack's `entry:`, or leave `entry: true` out",
    ),
    "bad-layout": Code(
        "the layout is missing, faulty, or not made for the paper",
        "choose another under `layout:` or `paper:`, or mend the layout's file",
    ),
    "no-room": Code(
        "the layout cannot hold a grid", "take a layout with fewer grids to a page, or larger paper"
    ),
    "bad-picture": Code(
        "the picture for the cover cannot be printed",
        "save it anew as its message says, or choose a design under `cover:`",
    ),
    "does-not-fit": Code(
        "something has no room on the pages of an edition that is asked for",
        "shorten it, or take another layout or larger paper",
    ),
    # is it meant so?
    "rival": Code(
        "another technique of the rung would do instead of one under `needs:`",
        "leave it if that is meant, or choose a grid that keeps it under `only:`",
        "warn",
    ),
    "region-in-pieces": Code(
        "an irregular region is not connected",
        "look at the picture under `blocks:`; leave it if it is meant so",
        "warn",
    ),
    "odd-rule": Code(
        "a piece of a rule looks like a slip",
        "look at the rule under `rules:`; leave it if it is meant so",
        "warn",
    ),
    "guessable": Code(
        "the digits that solvers send in can be guessed",
        "write a larger number under the pack's `entry:`, or choose a larger grid",
        "warn",
    ),
    "placeholder": Code(
        "a text is still the one that `start` wrote as an example",
        "write your own, or leave the field out if it may be",
        "warn",
    ),
    "whole-sampler": Code(
        "the sampler would give the whole pack away",
        "write a smaller number under `sampler:`, or build no sampler",
        "warn",
    ),
}
"""Every code, by the question that it answers."""
