"""The canonical form of a puzzle: one list of marks for all its disguises, and for nothing else.

A puzzle is given as *marks*, each a cell and a label: a clue is a mark whose label is its digit; a
house, or a relation of a rule, is a label with a mark in each of its cells. A disguise moves lines
(rows and columns) within their bands, bands on their side of the page, and swaps the two sides;
labels of one kind may take one another's names::

    vertices   | 2n lines: rows, columns | bands, stacks | 2 sides | labels |
               `-- parent: its band ----^-- its side ---^

*Refinement* gives each vertex a colour that no disguise can change: a 64-bit hash, first of the
vertex's kind, then, round by round, of the colours of its parent, its children and what its marks
join it to. While lines that have marks share a colour, the *search* puts each of them first in
turn, and goes on only from those after which the colours are the least. Where all differ, bands and
lines are put in the order of their colours, labels are numbered as they appear, and the marks are
written down. The least list that is found is the form. (Refinement and search are textbook: McKay,
"Practical graph isomorphism", 1981.)

The form is the whole puzzle written anew, so equal forms are the same puzzle; a clash of hashes may
cost branches, never a wrong "the same". Nothing but 64-bit arithmetic goes into it, so a puzzle's
form is the same on every machine, for ever.

All functions run on lists of Python's ints as they stand, and are compiled as they stand for arrays
(`compiled`). There a constant of 64 bits is an unsigned word, and words wrap: the masks cost
nothing. Words and ints never meet in one sum: numba would make a float of it.
"""

# mypy: disable-error-code="no-untyped-def, no-untyped-call"
from __future__ import annotations

from typing import Any, NamedTuple

WORD = 0xFFFFFFFFFFFFFFFF
ODD, STIR, AGAIN, CHOSEN = (
    0x9E3779B97F4A7C15, 0xD6E8FEB86659FD93, 0xC2B2AE3D27D4EB4F, 0xA0761D6478BD642F,
)  # fmt: skip

ROUNDS = 3
"""Rounds of refinement between two choices: more cost more than the branches that they spare."""


class Frame(NamedTuple):
    """The lines, bands and sides; ``start`` has their first colours."""

    size: int
    bands: int
    parent: Any
    start: Any


class Marks(NamedTuple):
    """The marks of a puzzle, ``total`` of them; columns are numbered on from the rows.

    The labels are the digits, then those of houses and relations. ``weight`` is a word for the role
    that the cell plays, ``note`` a number for the role and the label's kind: the form keeps it.
    ``first`` has the first colours of the labels. The arrays have room for a clue in every cell.
    """

    total: int
    row: Any
    column: Any
    label: Any
    weight: Any
    note: Any
    first: Any


class Work(NamedTuple):
    """Room to work in (`room` tells how much). The ``best`` ones hold the answer in the end."""

    colours: Any
    sums: Any
    keys: Any
    colour_at: Any
    least_at: Any
    next_at: Any
    path: Any
    used: Any
    alike: Any
    order: Any
    numbers: Any
    sorted: Any
    starts: Any
    form: Any
    best: Any
    best_order: Any
    best_numbers: Any
    best_path: Any


def room(size: int, bands: int, labels: int, marks: int) -> tuple[Any, Any]:
    """The length of each array of `Work`: first those of words, then those of ints."""
    lines, cells = 2 * size, size * size
    width = lines + bands + 2 + labels
    words = (width * (lines + 2), width, labels, lines + 1, lines + 1)
    ints = (lines + 1, lines + 1, lines, lines, lines, labels, marks, 3 * cells + size + 1)
    return words, (*ints, marks, marks, lines, labels, lines + 1)


def forms(grids, frame, marks, notes, work, node_limit, nodes, found, orders, numbers):
    """Find the form of each of ``grids``: clues by cell, beside the ``marks`` that all share.

    ``notes`` are those of clues, by digit. For grid k, ``nodes[k]`` becomes the number of positions
    looked at, -1 where ``node_limit`` was not enough; ``found[k]`` the number of marks and then the
    form; ``orders[k]`` and ``numbers[k]`` the places of the lines and the numbers of the labels.
    """
    size, shared = frame.size, marks.total
    for k in range(len(grids)):
        count = shared
        for cell in range(size * size):
            digit = grids[k][cell]
            if digit:
                marks.row[count] = cell // size
                marks.column[count] = size + cell % size
                marks.label[count] = digit - 1
                marks.weight[count] = ODD
                marks.note[count] = notes[digit - 1]
                count += 1
        whole = Marks(
            count, marks.row, marks.column, marks.label, marks.weight, marks.note, marks.first
        )
        full = count - shared == size * size and is_latin(grids[k], size)
        nodes[k] = search(frame, whole, full, work, node_limit)
        found[k][0] = count
        for q in range(count):
            found[k][q + 1] = work.best[q]
        for v in range(2 * size):
            orders[k][v] = work.best_order[v]
        for v in range(len(marks.first)):
            numbers[k][v] = work.best_numbers[v]


def is_latin(grid, size):
    """Whether every row and every column of a full grid holds every digit."""
    digits = (1 << size) - 1
    for line in range(size):
        row, column = 0, 0
        for k in range(size):
            row |= 1 << (grid[line * size + k] - 1)
            column |= 1 << (grid[k * size + line] - 1)
        if row != digits or column != digits:
            return False
    return True


def search(frame, marks, full, work, node_limit):
    """Find the form; how many positions were looked at, or -1 where the limit was not enough.

    ``full`` says that the last marks are a Latin square, cell by cell.
    """
    lines, labels = 2 * frame.size, len(marks.first)
    width = lines + frame.bands + 2 + labels
    colours = work.colours
    for v in range(lines):
        work.used[v] = 0
    for t in range(marks.total):
        work.used[marks.row[t]] = 1
        work.used[marks.column[t]] = 1
    for v in range(width - labels):
        colours[v] = frame.start[v]
    for v in range(labels):
        colours[width - labels + v] = marks.first[v]
    if full:
        add_cycles(frame, marks, work)
    refine(colours, 0, work.sums, frame, marks, ROUNDS + 1)

    depth, nodes, found, fresh = 0, 1, False, True
    while depth >= 0:
        at = depth * width
        if fresh:
            some, colour = choice(colours, at, work.used, work.alike, frame.size)
            if some == 0:
                write(colours, at, frame, marks, work)
                against = compare(work.form, work.best, marks.total) if found else -1
                if against < 0:
                    keep(marks.total, labels, lines, depth, work)
                found, fresh = True, False
                depth = fork(depth, work) if against == 0 else depth - 1
                continue
            nodes += some
            if nodes > node_limit:
                return -1
            work.colour_at[depth] = colour
            work.least_at[depth] = WORD
            for v in range(lines):
                if work.used[v] and colours[at + v] == colour:
                    whole = put_first(colours, at, at + width, v, work.sums, frame, marks)
                    if whole < work.least_at[depth]:
                        work.least_at[depth] = whole
            work.next_at[depth] = 0
        v = work.next_at[depth]
        while v < lines and not (work.used[v] and colours[at + v] == work.colour_at[depth]):
            v += 1
        work.next_at[depth] = v + 1
        fresh = False
        if v >= lines:
            depth -= 1
        elif put_first(colours, at, at + width, v, work.sums, frame, marks) == work.least_at[depth]:
            work.path[depth] = v
            depth, fresh = depth + 1, True
    return nodes


def stir(word: Any) -> Any:
    """A word of which every bit depends on every bit of the given one."""
    word = ((word ^ (word >> 32)) * STIR) & WORD
    return ((word ^ (word >> 29)) * AGAIN) & WORD


def refine(colours, at, sums, frame, marks, rounds):
    """Colour each vertex by its colour, its parent's, its children's, and those of its marks."""
    sides = 2 * frame.size + frame.bands
    labels = sides + 2
    end = labels + len(marks.first)
    for _ in range(rounds):
        for v in range(sides):
            sums[v] = colours[at + v] * ODD + colours[at + frame.parent[v]]
        for v in range(sides, end):
            sums[v] = colours[at + v] * ODD
        for t in range(marks.total):
            row, column, label = marks.row[t], marks.column[t], labels + marks.label[t]
            a, b, weight = colours[at + row], colours[at + column], marks.weight[t]
            joined = (colours[at + label] * weight) & WORD
            sums[row] += b * joined
            sums[column] += a * joined
            sums[label] += a * b * weight
        for v in range(end):
            word = stir(sums[v] & WORD)
            colours[at + v] = word
            if v < sides:
                sums[frame.parent[v]] += word


def add_cycles(frame, marks, work):
    """Tell the lines and digits of a full grid apart: to refinement they look all alike.

    One line laid over another moves the digits in cycles, whose lengths no disguise can change; so
    does one digit laid over another.
    """
    size = frame.size
    cells, first_label = size * size, 2 * size + frame.bands + 2
    table, seen = work.starts, 3 * size * size  # three tables, and what is seen of a line
    first = marks.total - cells
    for cell in range(cells):
        row, column, digit = cell // size, cell % size, marks.label[first + cell]
        table[row * size + column] = digit
        table[cells + column * size + row] = digit
        table[2 * cells + digit * size + row] = column
    for kind in range(3):
        for a in range(size):
            one = kind * cells + a * size
            vertex = first_label + a if kind == 2 else kind * size + a
            for b in range(size):
                other = kind * cells + b * size
                if a == b:
                    continue
                for k in range(size):
                    table[seen + table[one + k]] = table[other + k]
                whole = ODD
                for start in range(size):
                    k, word = table[seen + start], CHOSEN
                    while k >= 0:
                        following = table[seen + k]
                        table[seen + k] = -1
                        k, word = following, stir(word)
                    if word != CHOSEN:
                        whole += word
                if kind < 2 and frame.parent[kind * size + a] == frame.parent[kind * size + b]:
                    whole += CHOSEN
                work.colours[vertex] = (work.colours[vertex] + stir(whole & WORD)) & WORD


def choice(colours, at, used, alike, size):
    """The lines to choose from: how many, and their colour; 0 where all lines in use differ.

    On the side with fewer lines settled, for it settles the other; there the fewest lines alike.
    """
    lines = 2 * size
    rows, columns = 0, 0
    for v in range(lines):
        alike[v] = 0
        if used[v]:
            for u in range(lines):
                if used[u] and colours[at + u] == colours[at + v]:
                    alike[v] += 1
            if alike[v] == 1 and v < size:
                rows += 1
            elif alike[v] == 1:
                columns += 1
    some, least, colour = 0, 0, colours[at]
    for v in range(lines):
        if alike[v] > 1:
            rank = (rows if v < size else columns) * 64 + alike[v]
            if some == 0 or rank < least or (rank == least and colours[at + v] < colour):
                some, least, colour = alike[v], rank, colours[at + v]
    return some, colour


def put_first(colours, at, to, line, sums, frame, marks):
    """The colours once a line is the first of its kind, at ``to``; and all of them in one word."""
    lines = 2 * frame.size
    for v in range(lines + frame.bands + 2 + len(marks.first)):
        colours[to + v] = colours[at + v]
    colours[to + line] = stir((colours[to + line] + CHOSEN) & WORD)
    refine(colours, to, sums, frame, marks, ROUNDS)
    whole = ODD
    for v in range(lines):
        whole += colours[to + v]
    return whole & WORD


def write(colours, at, frame, marks, work):
    """Write the marks in the order of the colours: into ``form``, ``order`` and ``numbers``."""
    size, parent = frame.size, frame.parent
    lines, cells = 2 * size, size * size
    swapped = colours[at + lines + frame.bands + 1] < colours[at + lines + frame.bands]
    for v in range(lines):
        half, band, colour = v // size, parent[v], colours[at + v]
        place = 0
        for u in range(half * size, (half + 1) * size):
            if parent[u] == band:
                before = colours[at + u] < colour or (colours[at + u] == colour and u < v)
            else:
                a, b = colours[at + parent[u]], colours[at + band]
                before = a < b or (a == b and parent[u] < band)
            if before:
                place += 1
        work.order[v] = place if (half == 1) == swapped else size + place

    starts = work.starts
    for place in range(cells + 1):
        starts[place] = 0
    for t in range(marks.total):
        starts[place_of(work.order, marks.row[t], marks.column[t], size) + 1] += 1
        work.form[t] = -1
    crowded = False
    for place in range(cells):
        crowded = crowded or starts[place + 1] > 1
        starts[place + 1] += starts[place]
    for label in range(len(marks.first)):
        work.numbers[label] = -1
        work.keys[label] = ODD
    if crowded:
        for t in range(marks.total):
            joined = colours[at + marks.row[t]] * colours[at + marks.column[t]] & WORD
            work.keys[marks.label[t]] += joined * marks.weight[t]
        for label in range(len(marks.first)):
            work.keys[label] &= WORD
    for t in range(marks.total):
        place = place_of(work.order, marks.row[t], marks.column[t], size)
        q = starts[place]
        starts[place] += 1
        key, note = work.keys[marks.label[t]], marks.note[t]
        while q > 0 and work.form[q - 1] == place:  # the marks of one cell: by note, then by key
            other = work.sorted[q - 1]
            its = marks.note[other]
            if its < note or (its == note and work.keys[marks.label[other]] <= key):
                break
            work.sorted[q] = other
            work.form[q] = place
            q -= 1
        work.sorted[q] = t
        work.form[q] = place
    seen = 0
    for q in range(marks.total):
        label = marks.label[work.sorted[q]]
        if work.numbers[label] < 0:
            work.numbers[label] = seen
            seen += 1
        note = marks.note[work.sorted[q]]
        work.form[q] = (work.form[q] << 40) + (note << 16) + work.numbers[label]


def place_of(order, row, column, size):
    """The cell where two lines meet once they are in order."""
    a, b = order[row], order[column]
    return a * size + b - size if a < b else b * size + a - size


def compare(form, best, total):
    """Below 0 where the first list is less, above 0 where the second is; 0 where they are equal."""
    for q in range(total):
        if form[q] != best[q]:
            return form[q] - best[q]
    return 0


def keep(total, labels, lines, depth, work):
    """Keep the form that was written as the best so far, and the choices that led to it."""
    for q in range(total):
        work.best[q] = work.form[q]
    for v in range(lines):
        work.best_order[v] = work.order[v]
    for v in range(labels):
        work.best_numbers[v] = work.numbers[v]
    for d in range(depth):
        work.best_path[d] = work.path[d]


def fork(depth, work):
    """Where to go on after a form that is the best one again.

    The puzzle is itself in disguise, then. If the choices of the one way go over into those of the
    other, all that comes after where they part is the same again, and is spared.
    """
    parted = depth
    for d in range(depth - 1, -1, -1):
        if work.order[work.path[d]] != work.best_order[work.best_path[d]]:
            return depth - 1
        if work.path[d] != work.best_path[d]:
            parted = d
    return min(parted, depth - 1)


HELPERS = (
    *(stir, refine, add_cycles, choice, put_first, place_of, write),
    *(compare, keep, fork, search, is_latin),
)  # fmt: skip
"""What `forms` calls, each after what it calls itself."""
