"""What the rule search strikes, no more and no less: held against the same strikes said plainly.

Each strike only ever takes digits away, and takes no less where fewer are left: so whatever the
order, what is left where nothing moves any more is the same.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator
from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from packbuilder.grid import Geometry, blocks, latin
from packbuilder.proof import kernel
from packbuilder.proof.flat_rules import FEW, FOUND, WEARY, Flat, search
from packbuilder.proof.strikes import _blame
from packbuilder.rules.tools.flat_forms import FlatForm, Pairs, Sums
from tests.proof.geometries import MANY, random_clues

GEOMETRIES = {"6x6": blocks(2, 3), "latin": latin(5), "jigsaw": MANY["5x5-irregular"]}
SOLVED = {
    name: [kernel.random_solution(one, seed) for seed in range(4)]
    for name, one in GEOMETRIES.items()
}
FITS: list[Callable[[int, int], bool]] = [
    lambda d, e: abs(d - e) > 1,
    lambda d, e: d < e,
    lambda d, e: d + e < 8,
    lambda d, e: d % 2 == e % 2,
]
Left = list[set[int]]


class Forms:
    """A part that is nothing but its flat forms."""

    def __init__(self, *forms: FlatForm) -> None:
        self.forms = forms

    def flat_forms(self, _size: int) -> tuple[FlatForm, ...]:
        return self.forms


def struck(geometry: Geometry, forms: list[FlatForm], left: Left) -> Iterator[tuple[int, set[int]]]:
    """A cell, and what may be left there, for everything that strikes."""
    digits = set(range(1, geometry.size + 1))
    pairs = {}
    for form in forms:
        if isinstance(form, Pairs):
            for a, b in form.pairs:
                pairs[a, b] = form.fits
                pairs[b, a] = lambda d, e, fits=form.fits: fits(e, d)
        else:
            yield from of_sum(geometry, form, left)
    for (a, b), fits in pairs.items():
        yield b, {e for e in left[b] if any(fits(d, e) for d in left[a])}
    for house in geometry.houses:
        for cell in house.cells:
            if len(left[cell]) == 1:
                yield from ((other, left[other] - left[cell])
                            for other in house.cells if other != cell)  # fmt: skip
        if len(house.cells) < geometry.size:
            continue
        for digit in digits:
            places = [cell for cell in house.cells if digit in left[cell]]
            if len(places) == 1:
                yield places[0], {digit}
            for other in geometry.houses:
                if set(places) <= set(other.cells):
                    yield from ((cell, left[cell] - {digit})
                                for cell in other.cells if cell not in house.cells)  # fmt: skip
            if 2 <= len(places) <= FEW:
                for cell in range(geometry.cell_count):
                    if all(place == cell or (place, cell) in pairs for place in places):
                        yield (
                            cell,
                            {
                                e
                                for e in left[cell]
                                if any(
                                    e == digit if place == cell else pairs[place, cell](digit, e)
                                    for place in places
                                )
                            },
                        )
            if not places:
                yield house.cells[0], set()


def of_sum(geometry: Geometry, form: Sums, left: Left) -> Iterator[tuple[int, set[int]]]:
    """Every way to make a sum with digits that differ where cells see one another."""
    ways = [
        way
        for way in product(*(sorted(left[cell]) for cell in (*form.cells, *form.less)))
        if sum(way[: len(form.cells)]) - sum(way[len(form.cells) :]) == form.total
        and all(
            way[i] != way[j]
            for i, a in enumerate(form.cells)
            for j, b in enumerate(form.cells[:i])
            if b in geometry.peers[a]
        )
    ]
    for k, cell in enumerate((*form.cells, *form.less)):
        yield cell, {way[k] for way in ways}


def plainly(geometry: Geometry, forms: list[FlatForm], left: Left) -> Left | None:
    """What is left where nothing moves any more; None where a cell has lost all."""
    moved = True
    while moved:
        moved = False
        for cell, kept in struck(geometry, forms, left):
            if not left[cell] <= kept:
                moved = True
                left[cell] &= kept
                if not left[cell]:
                    return None
    return left


def masks_of(left: Left) -> list[int]:
    return [sum(1 << d - 1 for d in digits) for digits in left]


def forms_of(geometry: Geometry, solved: tuple[int, ...], draw: random.Random) -> list[FlatForm]:
    """Pairs and sums that a full grid keeps."""
    n, forms = geometry.size, list[FlatForm]()
    beside = [(c, c + step) for c in range(n * n) for step in (1, n)
              if c + step < n * n and (step == n or (c + 1) % n)]  # fmt: skip
    draw.shuffle(beside)
    for fits in draw.sample(FITS, 2):
        held = [(a, b) for a, b in beside if fits(solved[a], solved[b])]
        forms.append(Pairs(tuple(held[: draw.randrange(1, 12)]), fits))
        beside = [pair for pair in beside if pair not in held]
    for _ in range(draw.randrange(3)):
        start = n * draw.randrange(n - 1)
        cells = tuple(range(start, start + draw.randrange(1, 4)))  # one group: they see each other
        far = tuple(c for c in range(start + n, n * n) if not geometry.peers[c] & {*cells})[-1:]
        plus, less = draw.choice([(cells, ()), (cells + far, ()), (cells, far)])
        total = sum(solved[c] for c in plus) - sum(solved[c] for c in less)
        forms.append(Sums(plus, total, less))
    return forms


@settings(max_examples=150, deadline=None)
@given(st.sampled_from(sorted(GEOMETRIES)), st.integers(0, 10**6), st.booleans())
def test_what_is_left_is_what_the_plain_strikes_leave(name: str, seed: int, spoilt: bool) -> None:
    draw, geometry = random.Random(seed), GEOMETRIES[name]
    solved, digits = draw.choice(SOLVED[name]), range(1, geometry.size + 1)
    forms, share = forms_of(geometry, solved, draw), draw.choice([0.15, 0.3, 0.45, 0.6, 0.8])
    left = [{d} | {e for e in digits if draw.random() < share} for d in solved]
    if spoilt:
        cell = draw.randrange(len(left))
        left[cell] = {d for d in digits if d != solved[cell]}
    masks, flat = masks_of(left), Flat(geometry, [Forms(*forms)])  # type: ignore[list-item]
    assert not flat.others
    failed = flat.settle([0] * len(masks), masks)
    expected = plainly(geometry, forms, left)
    assert (failed < 0) == (expected is not None)
    if expected is None:
        assert flat.cells_of(failed)
        return
    assert masks == masks_of(expected)
    # One cell changes: only what it bears on is looked at, and no less is struck.
    open_cells = [cell for cell, some in enumerate(expected) if len(some) > 1]
    if open_cells:
        cell = draw.choice(open_cells)
        changed = masks.copy()
        changed[cell] &= changed[cell] - 1
        expected[cell].remove(min(expected[cell]))
        failed, after = flat.settle(masks, changed), plainly(geometry, forms, expected)
        assert (failed < 0) == (after is not None)
        assert after is None or changed == masks_of(after)


def test_a_search_branches_where_much_failed_and_little_is_left() -> None:
    """The least candidates for each failure, the first of equals; the lowest digit goes on top."""
    geometry = latin(4)
    for weights, cell in (((1, 1, 1), 1), ((4, 1, 1), 0), ((1, 1, 4), 2), ((2, 1, 1), 0)):
        masks = [15] * 16
        for k, mask in enumerate((15, 6, 14)):
            masks[5 * k] = mask  # on the diagonal: nothing follows
        stack, state = np.zeros((66, 16), np.int64), np.array([1, 0], np.int64)
        stack[0] = masks
        often = np.ones(16)
        often[[0, 5, 10]] = weights
        laid = Flat(geometry).laid
        assert search(state, stack, often, 1, *laid) == WEARY
        assert state.tolist() == [2, 1]
        low = masks[5 * cell] & -masks[5 * cell]
        assert [stack[k, 5 * cell] for k in (1, 0)] == [low, masks[5 * cell] ^ low]


@pytest.mark.parametrize("name", GEOMETRIES)
def test_a_search_finds_each_grid_once(name: str) -> None:
    """Against the kernel, which has none of its code, and never meets a grid twice."""
    geometry = GEOMETRIES[name]
    size, cells = geometry.size, geometry.cell_count
    for seed in range(60):
        clues = random_clues(geometry, seed, 0.4)
        due, few = kernel.explore(geometry, clues, limit=200)
        if not few:
            continue
        flat, masks = Flat(geometry), [1 << d - 1 if d else (1 << size) - 1 for d in clues]
        assert flat.settle([0] * cells, masks) == -1
        stack, state = np.zeros((cells * size + 2, cells), np.int64), np.array([1, 0], np.int64)
        stack[0] = masks
        found = []
        while search(state, stack, np.ones(cells), 10**6, *flat.laid) == FOUND:
            found.append([int(mask).bit_length() for mask in stack[state[0]]])
        assert sorted(found) == sorted(due.tolist())


def test_what_fails_is_blamed_on_its_own_cells() -> None:
    pairs, sums = Pairs(((0, 1), (5, 9)), FITS[0]), Sums((2, 3, 8), 7, (12,))
    flat = Flat(latin(4), [Forms(pairs, sums)])  # type: ignore[list-item]
    rows, columns = (
        ([*range(4 * k, 4 * k + 4)] for k in range(4)),
        (range(k, 16, 4) for k in range(4)),
    )
    own = [*rows, *columns, (0, 1), (5, 9), (2, 3, 8, 12)]
    for failed, cells in enumerate(own):
        assert sorted(flat.cells_of(failed)) == sorted(cells)
        weights = np.zeros(16)
        _blame(failed, weights, flat.houses, flat.rules)
        assert np.flatnonzero(weights).tolist() == sorted(cells)
        assert weights.max() == 1
