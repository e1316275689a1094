"""Grids in a picture: one start after another, each from a solved grid that the picture masks."""

from __future__ import annotations

import random
from collections.abc import Iterator

from packbuilder import symmetry as symmetries
from packbuilder.grid import Geometry, Values
from packbuilder.proof import kernel
from packbuilder.proof.picture_kernel import Walk, unique_fillings
from packbuilder.rules.contract import Draw
from packbuilder.rules.tools.random_clues import shuffled
from packbuilder.setting.picture import CLUE, NONE, Picture
from packbuilder.setting.picture_checks import fixed_clues
from packbuilder.setting.removal import look
from packbuilder.setting.request import Request
from packbuilder.setting.sieve import anything, asked_of

CLIMB = 6_000
"""Changes to bring a start down to one solution. Most that come there need a tenth of it."""

LISTED, SELDOM = 200_000, 12
"""Solutions to list where that was not enough, and one in how many starts it is tried in: it takes
a second or two, and few pictures are so thin that nothing else finds their grids."""

WALK, STRETCHES, FEW = 4_000, 5, 6
"""Changes in one stretch of a walk among grids with one solution, the stretches of one walk, and
the grids of a stretch that are looked at. Neighbours are much alike; a new start is cheap."""


def candidates(
    request: Request, geometry: Geometry, seed: str, start: int, deadline: float | None
) -> Iterator[Values | int]:
    """Grids with one solution in the picture of a request, for the ladder to judge.

    Between them stand numbers: of grids that need not be judged, as easy steps tell enough of them.
    All come from one start, numbered from 1; the same seed gives the same ones. A request without a
    picture gets one of its own, with its symmetry. Raises Unfinished at the deadline.
    """
    # Only random() is promised to draw the same numbers in every Python.
    draw = random.Random(f"{seed}/{start}").random
    picture = request.picture or random_picture(request, draw)
    fixed = fixed_clues(picture)
    solution = kernel.random_solution(geometry, int(draw() * 2**53), clues=fixed, deadline=deadline)
    chosen = _chosen(picture, request.clues, draw)
    clues = [fixed[cell] or (solution[cell] if cell in chosen else 0) for cell in range(len(fixed))]
    changeable = [*picture.drawn, *picture.optional]
    if not changeable:
        yield tuple(clues)  # the one grid that there is
        return
    walk = Walk(geometry, clues, changeable, picture.optional, int(draw() * 2**53))
    seen: set[Values] = set()
    first = walk.go(anything(request), tries=CLIMB, most=1)
    if not first:
        look(deadline, "while clues were changed")
        first = [] if start % SELDOM else _listed(geometry, walk.clues, changeable, draw)
        if not first:
            return
        walk = Walk(geometry, first[0], changeable, picture.optional, int(draw() * 2**53))
    asked = asked_of(request)
    for _ in range(STRETCHES):
        look(deadline, "while clues were changed")
        met = walk.met
        found = walk.go(asked, tries=WALK, most=FEW)
        yield walk.met - met - len(found)
        for grid in found:
            if grid not in seen:
                seen.add(grid)
                yield grid


def random_picture(request: Request, draw: Draw) -> Picture:
    """A picture with the symmetry of a request, and as many clues."""
    size, (low, high) = request.geometry.size, request.clues
    orbits = symmetries.orbits(request.symmetry, size)
    while True:
        count, cells = low + int(draw() * (high - low + 1)), set[int]()
        for orbit in shuffled(orbits, draw):
            if len(cells) + len(orbit) <= count:
                cells |= set(orbit)
        if low <= len(cells) <= high:
            signs = (CLUE if cell in cells else NONE for cell in range(size * size))
            return Picture(size, tuple(signs))


def _chosen(picture: Picture, clues: tuple[int, int], draw: Draw) -> set[int]:
    """The cells that have a clue at the start: all that must, and as many more as may."""
    room = clues[1] - picture.span[0]
    return {*picture.drawn, *shuffled(picture.optional, draw)[: max(0, room)]}


def _listed(geometry: Geometry, clues: Values, changeable: list[int], draw: Draw) -> list[Values]:
    """Grids with one solution by listing: see `picture_kernel.unique_fillings`.

    More and more clues are set free, as long as their solutions can be listed.
    """
    free: list[int] = []
    found: list[Values] = []
    for cell in shuffled((c for c in changeable if clues[c]), draw):
        free.append(cell)
        bare = [0 if c in free else clue for c, clue in enumerate(clues)]
        if kernel.explore(geometry, bare, limit=LISTED)[1]:
            found = found or unique_fillings(geometry, clues, free, LISTED)
        if found or len(free) > 8:
            break
    return found
