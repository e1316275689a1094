"""Extra regions: both engines, OR-Tools and plain trying; print, scattered regions too; faults."""

from __future__ import annotations

from packbuilder.grid import blocks
from packbuilder.rules import kinds
from packbuilder.rules.houses import with_houses
from packbuilder.rules.shapes import Corner, Patch
from tests.rules import judge
from tests.rules.checks import check_tiny, geometry_of, refused


def test_tiny_grids() -> None:
    # There are 288 grids of size 4 (a published count, from memory); OR-Tools counts what is left.
    for picture in ("....\n.aa.\n.aa.\n....", "a...\n..a.\n...b\n.b.."):
        left = judge.solutions(4, (2, 2), (0,) * 16, [("extra-regions", picture)], limit=300)
        assert check_tiny("extra-regions", picture, blocks(2, 2)) == len(left)
        assert 0 < len(left) < 288


def test_a_region_in_pieces_is_lettered() -> None:
    kind, geometry = kinds()["extra-regions"], geometry_of(4)
    parts = kind.read("aa..\n...a\nb...\n..bb", geometry)
    assert [part.name(4) for part in parts] == ["extra region at r1c1", "extra region at r3c1"]
    assert parts[0].shapes() == (Patch((0, 1)), Patch((7,)), Corner(0, "A"), Corner(7, "A"))


def test_single_cells_alone_need_no_letter() -> None:
    kind, geometry = kinds()["extra-regions"], geometry_of(4)
    parts = kind.read("a...\n..a.\n.a..\n...a", geometry)
    assert parts[0].shapes() == (Patch((0,)), Patch((6,)), Patch((9,)), Patch((15,)))
    assert set(kind.recover(parts[0].shapes(), geometry)) == set(parts)


def test_faults() -> None:
    assert refused("extra-regions", "aaaaa\n.....", 4) == (
        "the picture has 2 rows; it needs 4, a line a row"
    )
    assert refused("extra-regions", "a...\n...\n....\n....", 4) == (
        "1: row 2 of the picture has 3 letters; it needs 4, one a cell ('.' for a cell that "
        "belongs to none)"
    )
    assert refused("extra-regions", "aa..\naa..\na...\n....", 4) == (
        "region 'a' covers 5 cells, but there are only 4 digits to fill them without a repeat; "
        "draw it with 4 cells or fewer"
    )
    assert refused("extra-regions", "a...\n....\n....\n....", 4) == (
        "region 'a' covers one cell, r1c1, which says nothing; draw it with two cells or more, or "
        "leave it out"
    )
    assert refused("extra-regions", "....\n....\n....\n....", 4) == (
        "the picture holds nothing but dots; draw at least one letter"
    )
    assert refused("extra-regions", None, 4) == (
        "nothing stands where a text belongs; write it like a picture, one letter a cell, a line "
        "a row"
    )


def test_a_region_within_a_house_says_nothing_new_and_is_told() -> None:
    """As common practice has it, no source: such a region is legal, and mostly a slip."""
    geometry = blocks(2, 2)
    kind = kinds()["extra-regions"]
    parts = kind.read("....\n.aa.\nb...\n.bb.", geometry)
    assert kind.warnings(parts, 4) == [
        ("the extra region at r2c2 lies within row 2, which repeats no digit anyway", (5, 6))
    ]
    found = with_houses(geometry, parts).houses
    assert [house.cells for house in found[len(geometry.houses) :]] == [(8, 13, 14)]
    assert kind.recover([shape for part in parts for shape in part.shapes()], geometry) == parts
