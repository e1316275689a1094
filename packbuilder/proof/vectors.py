"""Vectors of 16 lanes, for the few loops of the compiled search that carry the load.

Numba widens 16-bit arithmetic to 64 bits, which is why these are written by hand. Each takes
arrays of lanes and offsets in lanes.
"""

# mypy: disable-error-code="untyped-decorator, no-untyped-call"
from __future__ import annotations

from typing import Any

from llvmlite import ir
from numba import types
from numba.core import cgutils
from numba.extending import intrinsic as _untyped

from packbuilder.proof.tables import VECTOR

intrinsic: Any = _untyped  # its types count the typing context as an argument of the call

_LANE = ir.IntType(16)
_VECTOR = ir.VectorType(_LANE, VECTOR)
_LONG = ir.IntType(64)
_ZERO = ir.Constant(_VECTOR, [0] * VECTOR)
_ONE = ir.Constant(_VECTOR, [1] * VECTOR)
_LONG_VECTOR = ir.Constant(_LONG, VECTOR)


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
def lowest(_typing: Any, mask: Any) -> Any:
    """The index of the lowest set bit."""

    def build(context: Any, builder: Any, _sig: Any, args: Any) -> Any:
        return builder.cttz(args[0], context.get_constant(types.boolean, 0))

    return types.int64(types.int64), build


@intrinsic
def popcount(_typing: Any, mask: Any) -> Any:
    """How many bits are set."""

    def build(_context: Any, builder: Any, _sig: Any, args: Any) -> Any:
        return builder.ctpop(args[0])

    return types.int64(types.int64), build


@intrinsic
def copy(_typing: Any, to: Any, to_at: Any, source: Any, at: Any, vectors: Any) -> Any:
    """``to[to_at:] = source[at:]`` for so many vectors."""

    def build(context: Any, builder: Any, sig: Any, args: Any) -> Any:
        with cgutils.for_range(builder, args[4]) as loop:
            step = builder.mul(loop.index, _LONG_VECTOR)
            value = _load(context, builder, sig.args[2], args[2], builder.add(args[3], step))
            _store(context, builder, value, sig.args[0], args[0], builder.add(args[1], step))
        return context.get_dummy_value()

    return types.void(to, types.int64, source, types.int64, types.int64), build


@intrinsic
def strike(
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
def at_most_one(_typing: Any, row: Any, cells: Any, pending: Any) -> Any:
    """Which of 16 cells are pending and have at most one candidate, as bits."""

    def build(context: Any, builder: Any, sig: Any, args: Any) -> Any:
        value = _load(context, builder, sig.args[0], args[0], args[1])
        pending = _load(context, builder, sig.args[0], args[0], args[2])
        rest = builder.or_(_fewer(builder, value), builder.not_(pending))
        return _bits(builder, builder.icmp_unsigned("==", rest, _ZERO))

    return types.int64(row, types.int64, types.int64), build


@intrinsic
def exactly_two(_typing: Any, row: Any, cells: Any) -> Any:
    """Which of 16 cells have exactly two candidates, as bits."""

    def build(context: Any, builder: Any, sig: Any, args: Any) -> Any:
        rest = _fewer(builder, _load(context, builder, sig.args[0], args[0], args[1]))
        more = builder.icmp_unsigned("!=", rest, _ZERO)
        no_more = builder.icmp_unsigned("==", _fewer(builder, rest), _ZERO)
        return _bits(builder, builder.and_(more, no_more))

    return types.int64(row, types.int64), build


@intrinsic
def one_place(
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
def seen_twice(
    _typing: Any, masks: Any, at: Any, stride: Any, count: Any, out: Any, out_at: Any
) -> Any:
    """Bits set in at least two of ``count`` vectors a ``stride`` apart, into ``out``."""

    def build(context: Any, builder: Any, sig: Any, args: Any) -> Any:
        _, twice = _once_and_twice(context, builder, sig.args[0], args[0], args[1:4])
        _store(context, builder, twice, sig.args[4], args[4], args[5])
        return context.get_dummy_value()

    long = types.int64
    return types.void(masks, long, long, long, out, long), build
