"""Where what lies in the arrays of the compiled search (`kernel`), and how much room there is."""

from __future__ import annotations

MOST_MARKS, MOST_PAIRS, MOST_ROWS = 2048, 400_000, 60_000
SLOTS, PAIR_SLOTS, MEMO_SLOTS = 1 << 14, 1 << 20, 1 << 17
"""Room for marks, pairs, and rows that pairs rule out; and their tables, a few times as large."""

DIGITS, CELL, NONE = 16, 9, 511
"""A mark's key: its digits in the lowest 16 bits, then three cells of nine bits; 511 is none."""

KEYS, STAMPS = SLOTS, SLOTS + MOST_MARKS
"""In ``names``, behind the table of marks: their keys, and when each was found last."""

LITS, LINES, OWNER = 0, 32, 96
"""In ``desk``: the ways of a trial, the ways of each line (three a line), the mark of each line."""

(COUNT, MARKS, FULL, WORK, BUDGET, STAMP, QUEUED, FIRST, PAIRS, PAIR_COUNT, MEMO_COUNT, SIZE, WORDS,
 CANDIDATES, TIDY, ZERO) = range(120, 136)  # fmt: skip
"""In ``desk``: how many ways, marks, pairs, ...; ``FULL`` once anything ran out."""

SCRATCH, R, R3, GOAL, EVER, POOL, FIRE, BASE, EMPTY, NEXT, CLOSED, MARK, PAIR, MEMO = range(
    140, 154
)
"""In ``desk``: where rows begin. A trial's; ruled out by two, by three; what can matter; what can
go at all; placements; trials in which two fire; all candidates; none; two clash tables in the
making; four rows a mark (its ways, what they close, what it rules out, the trials in which it
fires); what pairs rule out; what was searched from before."""

FIRST_OF, SECOND_OF, THIRD_OF, CLASH = range(156, 160)
"""In ``desk``: what `_trials` is asked: marks, or -1; and the rows of what is closed at first."""

MOST = 154
"""In ``desk``: how many marks may be held."""

ASK_AGAIN = 4
"""The answer where three marks are looked for without ``desk[TIDY]``."""

CHOSEN = 160
"""In ``desk``, at the end: the marks that do it, or -1."""

ROOM = 256
"""How long ``desk`` is."""
