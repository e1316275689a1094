"""The compiled search. `tables` has a picture of the row of lanes that it works on.

Each level of the tree is a row; going down copies the row, so going back is free. On a row the
search fills all naked singles, then all hidden singles, then strikes locked candidates, and again
until nothing moves; only then it branches, on a cell with two candidates if there is one, in the
houses that met most contradictions so far.

Numba's cache on disk is renewed when this file changes, and only then: so everything that is
compiled, constants too, stays in this file. Numba widens 16-bit arithmetic to 64 bits, which is
why the few loops that carry the load are written as vectors by hand; the rest is plain. It also
passes each array to a function in seven pieces, which is why all functions are inlined.
"""

# mypy: disable-error-code="no-untyped-def, no-untyped-call, untyped-decorator"
from __future__ import annotations

from typing import Any

import numpy as np
from llvmlite import ir
from numba import njit, types
from numba.core import cgutils
from numba.extending import intrinsic as _untyped

from packbuilder.proof.compiling import cached

VECTOR = 16
"""Lanes in one vector: 16 lanes of 16 bits are one AVX2 register, two SSE or NEON registers."""

intrinsic: Any = _untyped  # its types count the typing context as an argument of the call

_LANE = ir.IntType(16)
_VECTOR = ir.VectorType(_LANE, VECTOR)
_LONG = ir.IntType(64)
_ZERO = ir.Constant(_VECTOR, [0] * VECTOR)
_ONE = ir.Constant(_VECTOR, [1] * VECTOR)
_LONG_VECTOR = ir.Constant(_LONG, VECTOR)


_inlined = njit(forceinline=True)


# --- Vectors: each takes arrays of lanes and offsets in lanes -------------------------------------


def _pointer(context: Any, builder: Any, kind: Any, array: Any, offset: Any) -> Any:
    data = context.make_array(kind)(context, builder, array).data
    return builder.bitcast(builder.gep(data, [offset]), _VECTOR.as_pointer())


def _load(context: Any, builder: Any, kind: Any, array: Any, offset: Any) -> Any:
    return builder.load(_pointer(context, builder, kind, array, offset), align=2)


def _store(context: Any, builder: Any, value: Any, kind: Any, array: Any, offset: Any) -> None:
    builder.store(value, _pointer(context, builder, kind, array, offset), align=2)


def _bits(builder: Any, truths: Any) -> Any:
    """A vector of truths as the low 16 bits of a long."""
    return builder.zext(builder.bitcast(truths, _LANE), _LONG)


def _fewer(builder: Any, value: Any) -> Any:
    """Each lane without its lowest bit."""
    return builder.and_(value, builder.sub(value, _ONE))


def _once_and_twice(context: Any, builder: Any, kind: Any, array: Any, walk: Any) -> Any:
    """Bits seen at least once, and at least twice, in ``count`` vectors a ``stride`` apart."""
    offset, stride, count = walk
    once = cgutils.alloca_once_value(builder, _ZERO)
    twice = cgutils.alloca_once_value(builder, _ZERO)
    with cgutils.for_range(builder, count) as loop:
        at = builder.add(offset, builder.mul(loop.index, stride))
        value, seen = _load(context, builder, kind, array, at), builder.load(once)
        builder.store(builder.or_(builder.load(twice), builder.and_(seen, value)), twice)
        builder.store(builder.or_(seen, value), once)
    return builder.load(once), builder.load(twice)


@intrinsic
def _lowest(_typing: Any, mask: Any) -> Any:
    """The index of the lowest set bit."""

    def build(context: Any, builder: Any, _sig: Any, args: Any) -> Any:
        return builder.cttz(args[0], context.get_constant(types.boolean, 0))

    return types.int64(types.int64), build


@intrinsic
def _popcount(_typing: Any, mask: Any) -> Any:
    """How many bits are set."""

    def build(_context: Any, builder: Any, _sig: Any, args: Any) -> Any:
        return builder.ctpop(args[0])

    return types.int64(types.int64), build


@intrinsic
def _copy(_typing: Any, to: Any, to_at: Any, source: Any, at: Any, vectors: Any) -> Any:
    """``to[to_at:] = source[at:]`` for so many vectors."""

    def build(context: Any, builder: Any, sig: Any, args: Any) -> Any:
        with cgutils.for_range(builder, args[4]) as loop:
            step = builder.mul(loop.index, _LONG_VECTOR)
            value = _load(context, builder, sig.args[2], args[2], builder.add(args[3], step))
            _store(context, builder, value, sig.args[0], args[0], builder.add(args[1], step))
        return context.get_dummy_value()

    return types.void(to, types.int64, source, types.int64, types.int64), build


@intrinsic
def _strike(
    _typing: Any, row: Any, at: Any, where: Any, where_at: Any, bit: Any, vectors: Any
) -> Any:
    """Strike a digit, for so many vectors: ``row[at:] &= ~(where[where_at:] & bit)``.

    A lane where ``where`` is 1 is emptied instead.
    """

    def build(context: Any, builder: Any, sig: Any, args: Any) -> Any:
        blank = ir.Constant(_VECTOR, ir.Undefined)
        spread = ir.Constant(ir.VectorType(ir.IntType(32), VECTOR), [0] * VECTOR)
        first = builder.insert_element(
            blank, builder.trunc(args[4], _LANE), ir.Constant(ir.IntType(32), 0)
        )
        bits = builder.shuffle_vector(first, blank, spread)
        with cgutils.for_range(builder, args[5]) as loop:
            step = builder.mul(loop.index, _LONG_VECTOR)
            here = builder.add(args[1], step)
            mask = _load(context, builder, sig.args[2], args[2], builder.add(args[3], step))
            emptied = builder.sext(builder.icmp_unsigned("==", mask, _ONE), _VECTOR)
            kept = builder.and_(
                _load(context, builder, sig.args[0], args[0], here),
                builder.not_(builder.or_(emptied, builder.and_(mask, bits))),
            )
            _store(context, builder, kept, sig.args[0], args[0], here)
        return context.get_dummy_value()

    long = types.int64
    return types.void(row, long, where, long, long, long), build


@intrinsic
def _at_most_one(_typing: Any, row: Any, cells: Any, pending: Any) -> Any:
    """Which of 16 cells are pending and have at most one candidate, as bits."""

    def build(context: Any, builder: Any, sig: Any, args: Any) -> Any:
        value = _load(context, builder, sig.args[0], args[0], args[1])
        pending = _load(context, builder, sig.args[0], args[0], args[2])
        rest = builder.or_(_fewer(builder, value), builder.not_(pending))
        return _bits(builder, builder.icmp_unsigned("==", rest, _ZERO))

    return types.int64(row, types.int64, types.int64), build


@intrinsic
def _exactly_two(_typing: Any, row: Any, cells: Any) -> Any:
    """Which of 16 cells have exactly two candidates, as bits."""

    def build(context: Any, builder: Any, sig: Any, args: Any) -> Any:
        rest = _fewer(builder, _load(context, builder, sig.args[0], args[0], args[1]))
        more = builder.icmp_unsigned("!=", rest, _ZERO)
        no_more = builder.icmp_unsigned("==", _fewer(builder, rest), _ZERO)
        return _bits(builder, builder.and_(more, no_more))

    return types.int64(row, types.int64), build


@intrinsic
def _one_place(
    _typing: Any, row: Any, at: Any, stride: Any, count: Any, open_at: Any, out: Any, out_at: Any
) -> Any:
    """For 16 houses, the digits with one place left, into ``out``.

    Returns as bits the houses that have such digits, and 16 bits up those that are broken: an open
    digit of theirs has no place left.
    """

    def build(context: Any, builder: Any, sig: Any, args: Any) -> Any:
        once, twice = _once_and_twice(context, builder, sig.args[0], args[0], args[1:4])
        digits = _load(context, builder, sig.args[0], args[0], args[4])
        single = builder.and_(once, builder.not_(twice))
        _store(context, builder, single, sig.args[5], args[5], args[6])
        broken = _bits(builder, builder.icmp_unsigned("!=", once, digits))
        some = _bits(builder, builder.icmp_unsigned("!=", single, _ZERO))
        return builder.or_(builder.shl(broken, ir.Constant(_LONG, 16)), some)

    long = types.int64
    return long(row, long, long, long, long, out, long), build


@intrinsic
def _seen_twice(
    _typing: Any, masks: Any, at: Any, stride: Any, count: Any, out: Any, out_at: Any
) -> Any:
    """Bits set in at least two of ``count`` vectors a ``stride`` apart, into ``out``."""

    def build(context: Any, builder: Any, sig: Any, args: Any) -> Any:
        _, twice = _once_and_twice(context, builder, sig.args[0], args[0], args[1:4])
        _store(context, builder, twice, sig.args[4], args[4], args[5])
        return context.get_dummy_value()

    long = types.int64
    return types.void(masks, long, long, long, out, long), build


# --- The search -----------------------------------------------------------------------------------


@_inlined
def _fill(row, base, cell, bit, reach, width):
    """Place a digit: strike it from all peers, close the cell in all its houses."""
    _strike(row, base, reach, cell * width, bit, width // VECTOR)


@_inlined
def _set_candidates(row, base, cell, mask, copies):
    row[base + cell] = mask
    own = copies[cell]
    for q in range(own[0]):
        row[base + own[1 + 2 * q]] = mask


@_inlined
def _lock(row, base, pieces, members, copies, masks, piece_masks, twice):
    """Strike locked candidates, all houses in one pass. True if any was struck."""
    splits = twice.size
    width = pieces.shape[1] - 6
    for t in range(pieces.shape[0]):
        piece = pieces[t]
        mask = row[base + piece[0]]
        for q in range(1, width):
            mask |= row[base + piece[q]]
        piece_masks[t] = mask
        masks[piece[width]] = mask
        masks[piece[width + 1]] = mask
    for s in range(0, splits, VECTOR):
        _seen_twice(masks, s, splits, masks.size // splits, twice, s)
    struck = False
    for t in range(pieces.shape[0]):
        piece = pieces[t]
        locked = piece_masks[t] & (twice[piece[width + 2]] ^ twice[piece[width + 3]])
        if locked == 0:
            continue
        for side in range(2):
            house = members[piece[width + 4 + side]]
            for k in range(house.size):
                cell = house[k]
                if row[base + cell] & locked == 0:
                    continue
                inside = False
                for q in range(width):
                    inside |= piece[q] == cell
                if not inside:
                    _set_candidates(row, base, cell, row[base + cell] & ~locked, copies)
                    struck = True
    return struck


@_inlined
def _naked(row, base, values, weights, reach, copies, cell_lanes, open_at, width):
    """Fill every cell that has one candidate: how many, or -1 where a cell has none."""
    filled = 0
    for lane in range(0, cell_lanes, VECTOR):
        cells = _at_most_one(row, base + lane, base + width - cell_lanes + lane)
        while cells:
            cell = lane + _lowest(cells)
            cells &= cells - 1
            bit = np.int64(row[base + cell])
            if bit == 0:
                own = copies[cell]
                for q in range(own[0]):
                    weights[own[2 + 2 * q] - open_at] += 1
                return -1
            _fill(row, base, cell, bit, reach, width)
            values[cell] = _lowest(bit) + 1
            filled += 1
    return filled


@_inlined
def _hidden(row, base, values, weights, singles, reach, members, cell_lanes, open_at, width):
    """Fill every digit that has one place in a house: how many, or -1 where one has no place."""
    filled = 0
    houses, size = weights.size, members.shape[1]
    for lane in range(0, houses, VECTOR):
        at = base + cell_lanes + lane
        found = _one_place(row, at, houses, size, base + open_at + lane, singles, lane)
        broken = found >> 16
        if broken:
            while broken:
                weights[lane + _lowest(broken)] += 1
                broken &= broken - 1
            return -1
        while found:
            house = lane + _lowest(found)
            found &= found - 1
            digits = np.int64(singles[house])
            while digits:
                bit = digits & -digits
                digits &= digits - 1
                if row[base + open_at + house] & bit == 0:
                    continue  # placed meanwhile, through another house
                k = 0
                while k < size and row[base + cell_lanes + k * houses + house] & bit == 0:
                    k += 1
                if k == size:
                    return -1
                cell = np.int64(members[house, k])
                _fill(row, base, cell, bit, reach, width)
                values[cell] = _lowest(bit) + 1
                filled += 1
    return filled


@_inlined
def _choose(row, base, weights, copies, cell_lanes, open_at, count):
    """The cell to branch on: two candidates, in the heaviest houses; else fewest candidates."""
    chosen, heaviest = -1, -1
    for lane in range(0, cell_lanes, VECTOR):
        cells = _exactly_two(row, base + lane)
        while cells:
            cell = lane + _lowest(cells)
            cells &= cells - 1
            own = copies[cell]
            weight = 0
            for q in range(own[0]):
                weight += weights[own[2 + 2 * q] - open_at]
            if weight > heaviest:
                chosen, heaviest = cell, weight
    if chosen >= 0:
        return chosen
    fewest = 99
    for cell in range(count):
        candidates = _popcount(np.int64(row[base + cell]))
        if 0 < candidates < fewest:
            chosen, fewest = cell, candidates
    return chosen


@_inlined
def _search(clues, limit, node_limit, seed, solutions, work, tables):
    """Solutions found, up to the limit (-1: the node limit ran out), and branches taken."""
    rows, trail, values, weights, singles, masks, piece_masks, twice = work
    size, cell_lanes, house_lanes, _, _, reach, copies, members, pieces, start = tables
    count = size * size
    open_at = cell_lanes + size * house_lanes
    width = start.size

    _copy(rows, 0, start, 0, width // VECTOR)
    weights[:] = 0
    left = count
    for cell in range(count):
        if clues[cell]:
            bit = np.int64(1) << (clues[cell] - 1)
            if rows[cell] & bit == 0:
                return 0, 0
            _fill(rows, 0, cell, bit, reach, width)
            values[cell] = clues[cell]
            left -= 1

    found, nodes, depth, base = 0, 0, 0, 0
    fruitful = False
    while True:
        alive = True
        while left:
            filled = _naked(rows, base, values, weights, reach, copies, cell_lanes, open_at, width)
            if filled == 0:
                filled = _hidden(
                    rows, base, values, weights, singles, reach, members,
                    cell_lanes, open_at, width,
                )  # fmt: skip
            if filled < 0:
                alive = False
                break
            left -= filled
            # While every branch ends in a solution, locked candidates would spare nothing.
            if filled == 0 and (
                fruitful
                or not _lock(rows, base, pieces, members, copies, masks, piece_masks, twice)
            ):
                break
        if not alive or left == 0:
            fruitful = alive
        if alive and left == 0:
            if found < solutions.shape[0]:
                for cell in range(count):
                    solutions[found, cell] = values[cell]
            found += 1
            if found >= limit:
                return found, nodes
            alive = False
        if not alive:
            if depth == 0:
                return found, nodes
            depth -= 1
            base = depth * width
            cell, left = trail[depth, 0], trail[depth, 2]
            mask = np.int64(rows[base + cell]) & ~trail[depth, 1]
            _set_candidates(rows, base, cell, mask, copies)
            continue

        cell = _choose(rows, base, weights, copies, cell_lanes, open_at, count)
        mask = np.int64(rows[base + cell])
        if seed:
            seed ^= seed << np.uint64(13)
            seed ^= seed >> np.uint64(7)
            seed ^= seed << np.uint64(17)
            skip = np.int64(seed >> np.uint64(33)) % _popcount(mask)
            for _ in range(skip):
                mask &= mask - 1
        bit = mask & -mask
        nodes += 1
        if nodes > node_limit:
            return -1, nodes
        trail[depth, 0], trail[depth, 1], trail[depth, 2] = cell, bit, left
        _copy(rows, base + width, rows, base, width // VECTOR)
        depth += 1
        base += width
        _fill(rows, base, cell, bit, reach, width)
        values[cell] = _lowest(bit) + 1
        left -= 1


@cached
def run(grids, limit, node_limit, seed, counts, nodes, solutions, tables):
    """Search each grid of ``grids`` (k, cells).

    ``counts[k]`` becomes the number of solutions, up to ``limit``, or -1 where ``node_limit``
    branches were not enough; ``nodes[k]`` the branches taken; ``solutions[k]`` (m, cells) the first
    m solutions. ``seed`` other than 0 branches at random (xorshift, Marsaglia 2003).
    """
    count = tables.size * tables.size
    work = (
        np.empty((count + 1) * tables.start.size, np.uint16),
        np.empty((count + 1, 3), np.int64),
        np.zeros(count, np.uint8),
        np.zeros(tables.house_lanes, np.int64),
        np.empty(tables.house_lanes, np.uint16),
        np.zeros(tables.splits * tables.depth, np.uint16),
        np.empty(tables.pieces.shape[0], np.uint16),
        np.empty(tables.splits, np.uint16),
    )
    for k in range(grids.shape[0]):
        counts[k], nodes[k] = _search(grids[k], limit, node_limit, seed, solutions[k], work, tables)
