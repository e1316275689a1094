"""Curves as straight pieces: the points along a subpath."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from math import ceil, hypot, sqrt

from packbuilder.reader.marks import Point, Track

SAME_POINT = 0.02
"""Points (the unit) of a path that lie nearer than this are one: files round to a hundredth."""
FLAT = 0.1
"""Points (the unit) that a curve may leave the straight pieces that stand for it."""
PIECES = (8, 64)
"""The least and the most of those pieces."""


def track(points: Sequence[Point], curves: Collection[int], *, closed: bool) -> Track:
    """A subpath from the points that its operators give.

    ``curves`` are the indices of the first of each three that make a Bezier curve.
    """
    found: list[Point] = [points[0]]
    k = 1
    while k < len(points):
        if k in curves:
            piece = bend(points[k - 1], *points[k : k + 3])
            k += 3
        else:
            piece = (points[k],)
            k += 1
        found += [point for point in piece if not _same(point, found[-1])]
    closed = closed or (len(found) > 1 and _same(found[0], found[-1]))
    if len(found) > 1 and _same(found[0], found[-1]):
        found.pop()
    return Track(tuple(found), closed, bool(curves))


def bend(a: Point, b: Point, c: Point, d: Point) -> tuple[Point, ...]:
    """Points along a cubic Bezier curve, its ends included.

    In n equal steps a chord leaves a cubic by at most 3/4 of its greatest second difference, over
    n squared (an eighth of the second derivative's bound; Wang's formula, from memory).
    """
    bow = max(
        hypot(p[0] - 2 * q[0] + r[0], p[1] - 2 * q[1] + r[1]) for p, q, r in ((a, b, c), (b, c, d))
    )
    least, most = PIECES
    steps = max(least, ceil(min(most, sqrt(0.75 * bow / FLAT))))
    found = []
    for k in range(steps + 1):
        t = k / steps
        u = 1 - t
        w = (u * u * u, 3 * u * u * t, 3 * u * t * t, t * t * t)
        x, y = (sum(f * p[i] for f, p in zip(w, (a, b, c, d), strict=True)) for i in (0, 1))
        found.append((x, y))
    return tuple(found)


def _same(a: Point, b: Point) -> bool:
    return abs(a[0] - b[0]) < SAME_POINT and abs(a[1] - b[1]) < SAME_POINT
