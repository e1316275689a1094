"""The cells of a hint's grid that are shaded: grey where the step rests, striped where it acts."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from packbuilder.grid import cell_name
from packbuilder.ladder.step import Step
from packbuilder.readback.document import Drawing, Track
from packbuilder.readback.drawn import is_pale
from packbuilder.readback.report import Fault, gather
from packbuilder.readback.shapes import Lattice

LEAST, MOST = 0.2, 0.8
"""Stripes cover such a share of their cell: less is a speck, more is a grey cell."""
WHOLE = 0.9
"""A grey cell is covered to this share at least."""
SQUARE = 0.1
"""Points: sides that turn off the level or the upright by less than this are neither."""


def stripes(lattice: Lattice, drawings: Sequence[Drawing]) -> dict[int, list[Drawing]]:
    """The slanted bands of pale grey in a grid, by cell."""
    found: dict[int, list[Drawing]] = {}
    for drawing in drawings:
        if is_pale(drawing):
            for track in drawing.tracks:
                cell = None if _is_level(track) else _cell_of(lattice, track)
                if cell is not None:
                    found.setdefault(cell, []).append(drawing._replace(tracks=(track,)))
    return found


def check_shading(lattice: Lattice, drawings: Sequence[Drawing], step: Step) -> Iterator[Fault]:
    """Striped are the cells in which the step acts, grey those on which it only rests."""
    n, area = lattice.size, lattice.pitch**2
    bands = {
        cell: sum(_area(d.tracks[0]) for d in some) / area
        for cell, some in stripes(lattice, drawings).items()
    }
    level = [t for d in drawings if is_pale(d) for t in d.tracks if _is_level(t)]
    grey = {c for t in level for c in _covered(lattice, t)}
    acts = {cell for cell, _ in (*step.places, *step.removes)}
    rests = set(step.cells) - acts
    told = []
    for cell in range(n * n):
        name, share = cell_name(cell, n), bands.get(cell, 0.0)
        striped = share > 0
        if cell in acts and not striped:
            told.append((cell, f"{name}, in which the step acts, is not striped"))
        elif cell in acts and not LEAST <= share <= MOST:
            told.append((cell, f"the stripes of {name} cover {share:.0%} of it"))
        elif striped and cell not in acts:
            told.append((cell, f"{name} is striped, and the step does not act there"))
        elif cell in rests and cell not in grey:
            told.append((cell, f"{name}, on which the step rests, is not shaded"))
        elif cell in grey and cell not in rests:
            told.append((cell, f"{name} is shaded grey, and the step does not rest on it"))
    yield from gather("shading", told)


def _is_level(track: Track) -> bool:
    """Whether all sides of a shape are level or upright."""
    ring = (*track.points, track.points[0])
    return not track.curved and all(
        abs(a[0] - b[0]) < SQUARE or abs(a[1] - b[1]) < SQUARE for a, b in pairwise(ring)
    )


def _cell_of(lattice: Lattice, track: Track) -> int | None:
    """The one cell in which a shape lies; None where it lies in more, or in none."""
    xs, ys = zip(*track.points, strict=True)
    cell = lattice.cell_at((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2)
    if cell is None:
        return None
    x, y = lattice.middle(cell)
    reach = lattice.pitch / 2 + 0.5
    return cell if all(abs(a - x) < reach and abs(b - y) < reach for a, b in track.points) else None


def _covered(lattice: Lattice, track: Track) -> Iterator[int]:
    """The cells that a level box covers."""
    xs, ys = zip(*track.points, strict=True)
    left, bottom, right, top = min(xs), min(ys), max(xs), max(ys)
    for cell in range(lattice.size**2):
        (x, y), half = lattice.middle(cell), lattice.pitch / 2
        wide = min(right, x + half) - max(left, x - half)
        high = min(top, y + half) - max(bottom, y - half)
        if wide > 0 and high > 0 and wide * high >= WHOLE * lattice.pitch**2:
            yield cell


def _area(track: Track) -> float:
    """The area of a shape with straight sides."""
    ring = (*track.points, track.points[0])
    return abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in pairwise(ring))) / 2
