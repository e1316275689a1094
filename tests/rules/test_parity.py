"""Even and odd: both engines, OR-Tools and plain trying; deductions by hand; print; faults."""

from __future__ import annotations

from functools import partial

from packbuilder.grid import blocks, latin
from packbuilder.rules import kinds
from packbuilder.rules.shapes import Box, Path, Ring
from tests.rules import checks
from tests.rules.checks import check_tiny, refused

told = partial(checks.told, "parity", size=6)


def test_tiny_grids() -> None:
    for geometry in (latin(4), blocks(2, 2)):
        # Swapping 1 with 2 and 3 with 4 turns one half of all grids into the other.
        assert check_tiny("parity", {"even": "r1c1"}, geometry) == check_tiny(
            "parity", {"odd": "r1c1"}, geometry
        )
        check_tiny("parity", {"even": "r1c1 r2c2", "odd": "r4c4, r1c2"}, geometry)


# What follows is worked out by hand.


def test_marked_cells() -> None:
    assert told({"even": "r1c1 r2c2", "odd": "r3c3"}) == [
        (
            "parity-mark",
            "r1c1 and r2c2 are marked even. That takes 1, 3 and 5 out of r1c1 and r2c2.",
        ),
        ("parity-mark", "r3c3 is marked odd. That takes 2, 4 and 6 out of r3c3."),
    ]


def test_even_cells_counted() -> None:
    # r1c1 and r1c4 are marked, r1c6 is 4: the row's three even digits are spoken for.
    masks = {"r1c1": "26", "r1c4": "26", "r1c6": "4", "r1c2": "1356", "r1c3": "135", "r1c5": "1235"}
    found = told({"even": "r1c1 r1c4"}, masks)
    assert found == [
        (
            "parity-count",
            "In row 1, r1c1, r1c4 and r1c6 hold 2, 4 and 6, all the even digits there are. "
            "That takes 6 out of r1c2 and 2 out of r1c5.",
        )
    ]


def test_drawn_and_read_back_beside_a_line() -> None:
    kind = kinds()["parity"]
    parts = kind.read({"even": "r1c1", "odd": "r1c2"}, latin(4))
    assert [part.shapes() for part in parts] == [(Box(0),), (Ring(1, solid=True),)]
    assert [part.name(4) for part in parts] == ["even mark at r1c1", "odd mark at r1c2"]
    # A grey disc with a line on it is the end of that line, not a mark.
    others = (Ring(8, solid=True), Path((8, 9, 10), "broad"), Ring(3))
    found = kind.recover((*others, *parts[0].shapes(), *parts[1].shapes()), latin(4))
    assert set(found) == set(parts)


def test_faults() -> None:
    assert refused("parity", {"even": "r1c1 r2c2", "odd": "r2c2"}) == (
        "odd: r2c2 is marked both even and odd; mark it once"
    )
    assert refused("parity", {"even": "r1c1 r1c2 r1c4 r1c6"}) == (
        "even: row 1 has 4 cells marked even, but a 6x6 grid has only 3 even digits; mark at most "
        "3 of them"
    )
    assert refused("parity", {"even": "r1c1 r1c1"}) == (
        "even: r1c1 is named twice; name each cell once"
    )
    assert refused("parity", {"even": "r7c1"}).startswith("even: r7c1 lies outside a 6x6 grid; ")
    assert refused("parity", {"even": ""}).startswith("even: the text is empty; ")
    assert (
        refused("parity", {"evens": "r1c1"}) == "evens: unknown key 'evens'; did you mean 'even'?"
    )
    assert refused("parity", {}).startswith("nothing is given; ")
