"""Geometry, and grids of text in and out."""

from __future__ import annotations

import networkx
import pytest
from hypothesis import given
from hypothesis import strategies as st

from packbuilder import grid
from packbuilder.grid import Geometry, GridFault, House, blocks, irregular, latin
from tests.conftest import EXAMPLE, EXAMPLE_SOLVED

PICTURE = "AABB\nAABC\nDDBC\nDDCC"
# Every size from 4 to 16 that has blocks, with its usual block: common practice, no source.
USUAL = {4: (2, 2), 6: (2, 3), 8: (2, 4), 9: (3, 3), 10: (2, 5), 12: (3, 4), 14: (2, 7), 15: (3, 5),
         16: (4, 4)}  # fmt: skip


# --- houses ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("shape", [*USUAL.values(), (3, 2), (2, 8), (8, 2), (4, 3)])
def test_blocks_part_the_grid_three_times(shape: tuple[int, int]) -> None:
    geometry = blocks(*shape)
    size = shape[0] * shape[1]
    assert (geometry.size, geometry.cell_count) == (size, size * size)
    for kind in ("row", "column", "block"):
        houses = [house for house in geometry.houses if house.kind == kind]
        assert len(houses) == size
        assert all(len(house.cells) == size for house in houses)
        assert sorted(cell for house in houses for cell in house.cells) == list(range(size * size))


def test_houses_by_hand() -> None:
    houses = {house.label: house.cells for house in blocks(2, 3).houses}
    assert houses["row 2"] == (6, 7, 8, 9, 10, 11)
    assert houses["column 6"] == (5, 11, 17, 23, 29, 35)
    assert houses["block 2"] == (3, 4, 5, 9, 10, 11)
    assert houses["block 5"] == (24, 25, 26, 30, 31, 32)


@pytest.mark.parametrize("order", [2, 3, 4])
def test_peers_and_houses_are_those_of_networkx(order: int) -> None:
    geometry = blocks(order, order)
    graph = networkx.sudoku_graph(order)
    assert [set(graph[cell]) for cell in range(order**4)] == [set(p) for p in geometry.peers]
    assert sum(map(len, geometry.peers)) // 2 == graph.number_of_edges()
    for house in geometry.houses:  # a house is a clique of the graph
        assert graph.subgraph(house.cells).number_of_edges() == order**2 * (order**2 - 1) // 2


def test_a_latin_square_has_lines_only() -> None:
    geometry = latin(7)
    assert {house.kind for house in geometry.houses} == {"row", "column"}
    assert geometry.regions is None
    assert all(len(peers) == 12 for peers in geometry.peers)


def test_irregular_regions_follow_the_picture() -> None:
    geometry = irregular(PICTURE)
    letters = PICTURE.replace("\n", "")
    for house in geometry.houses[8:]:
        letter = house.label.removeprefix("region ")
        assert house.cells == tuple(i for i, ch in enumerate(letters) if ch == letter)
    assert geometry.regions == tuple("ABCD".index(ch) for ch in letters)
    assert geometry.shape is None


def test_a_picture_of_blocks_has_the_houses_of_blocks() -> None:
    drawn, made = irregular("1 1 2 2\n1 1 2 2\n3 3 4 4\n3 3 4 4\n"), blocks(2, 2)
    assert drawn.peers == made.peers
    assert drawn.regions == made.regions


@pytest.mark.parametrize(
    ("picture", "said", "row"),
    [
        ("AABB\nAAB\nDDBC\nDDCC", "row 2 of the regions picture has 3 letters; it needs 4", 2),
        ("AABB\nAABB\nDDBC\nDDCC", "region 'B' covers 5 cells; each region of a 4x4 grid covers 4",
         None),
        ("AAA\nBBB\nCCC", "a grid of size 3; sizes go from 4 to 16", None),
        ("A" * 17 + ("\n" + "A" * 17) * 16, "a grid of size 17; sizes go from 4 to 16", None),
        ("", "a grid of size 0; sizes go from 4 to 16", None),
    ],
)  # fmt: skip
def test_a_picture_that_is_no_grid_is_refused(picture: str, said: str, row: int | None) -> None:
    with pytest.raises(GridFault) as fault:
        irregular(picture)
    assert str(fault.value) == said
    assert fault.value.row == row


LETTERS = "AABBAABCDDBCDDCC"


@pytest.mark.parametrize(
    ("text", "made"),
    [
        (None, blocks(2, 2)),
        ("2x2", blocks(2, 2)),
        (" none\n", latin(4)),
        (PICTURE, irregular(PICTURE)),
        (LETTERS, irregular(PICTURE)),
        ("AABB AABC DDBC DDCC", irregular(PICTURE)),
        ("1122\n1123\n4423\n4433", irregular("1122\n1123\n4423\n4433")),
        ("1122112344234433", irregular("1122\n1123\n4423\n4433")),
    ],
)
def test_blocks_as_a_person_writes_them(text: str | None, made: Geometry) -> None:
    assert grid.read_blocks(text, 4) == made


@pytest.mark.parametrize(
    ("text", "size", "said", "row"),
    [
        (None, 7, "a grid of size 7 has no usual block; write none for a Latin square", None),
        ("2x3", 4, "blocks of 2x3 hold 6 cells, in a grid of size 4; write 2x2, or size: 6", None),
        ("9x9", 7, "blocks of 9x9 hold 81 cells, in a grid of size 7; write none, or a", None),
        ("2 by 2", 4, "'2 by 2' is not a shape of blocks; write rows x columns", None),
        ("1x4", 4, "blocks of 1x4 are the rows or columns again; write none", None),
        ("9" * 5000, 9, f"'{'9' * 37}...' is not a shape of blocks; write rows x columns", None),
        ("", 9, "'' is not a shape of blocks; write rows x columns (such as 3x3), none", None),
        ("AABB\nAAB.\nDDBC\nDDCC", 4, "row 2, column 4 of the picture is '.'; write a letter", 2),
        ("AABB\nAABC\nDDBC", 4, "the picture has 3 rows; a grid of size 4 needs 4", None),
        (None, 17, "a grid of size 17; sizes go from 4 to 16", None),
    ],
)
def test_blocks_that_cannot_be_read(
    text: str | None, size: int, said: str, row: int | None
) -> None:
    with pytest.raises(GridFault) as fault:
        grid.read_blocks(text, size)
    assert str(fault.value).startswith(said)
    assert fault.value.row == row


@pytest.mark.parametrize("size", range(4, 17))
def test_the_usual_block_of_a_size(size: int) -> None:
    assert grid.default_shape(size) == USUAL.get(size)


@pytest.mark.parametrize(
    ("geometry", "name"),
    [
        (blocks(3, 3), "9x9, blocks 3x3"),
        (latin(5), "5x5, Latin square"),
        (irregular(PICTURE), "4x4, irregular regions"),
    ],
)
def test_a_geometry_in_words(geometry: Geometry, name: str) -> None:
    assert geometry.name() == name


# --- the plain rule -------------------------------------------------------------------------------


def test_a_solution_holds_and_no_neighbour_of_it_does() -> None:
    solved = grid.parse_grid(EXAMPLE_SOLVED, 9)
    geometry = blocks(3, 3)
    assert geometry.holds(solved)
    for cell in range(81):
        for digit in {*range(10)} - {solved[cell]}:
            assert not geometry.holds((*solved[:cell], digit, *solved[cell + 1 :]))


@pytest.mark.parametrize("wrong", [0, 5, -1])
def test_a_digit_out_of_range_never_holds(wrong: int) -> None:
    one_house = Geometry(4, (House("row", "row 1", (0, 1, 2, 3)),))
    assert one_house.holds((1, 2, 3, 4) + (1,) * 12)
    assert not one_house.holds((1, 2, 3, 4) + (1,) * 11 + (wrong,))


def test_each_kind_of_house_is_judged() -> None:
    latin_only = grid.parse_grid("1234234134124123", 4)  # a Latin square that no 2x2 blocks fit
    assert latin(4).holds(latin_only)
    assert not blocks(2, 2).holds(latin_only)
    rows_only = (1, 2, 3, 4) * 4
    assert not latin(4).holds(rows_only)


# --- text -----------------------------------------------------------------------------------------


@st.composite
def grids(draw: st.DrawFn) -> tuple[int, grid.Values]:
    size = draw(st.integers(4, 16))
    cells = st.lists(st.integers(0, size), min_size=size * size, max_size=size * size)
    return size, tuple(draw(cells))


@given(grids())
def test_text_comes_back_as_the_same_grid(sized: tuple[int, grid.Values]) -> None:
    size, values = sized
    line = grid.format_grid(values)
    assert len(line) == size * size
    for text in (line, line.lower(), line.replace(".", "0"), f"\n  {line}\r\n",
                 grid.format_rows(values, size), grid.format_rows(values, size).replace(".", " . "),
                 "\r\n\r\n".join(grid.format_rows(values, size).splitlines())):  # fmt: skip
        assert grid.parse_grid(text, size) == values


def test_rows_with_bars_and_blanks_as_people_write_them() -> None:
    text = """
        12 | 34
        34 | 12

        .. | ..
        00 | 43
    """
    assert grid.parse_grid(text, 4) == (1, 2, 3, 4, 3, 4, 1, 2, 0, 0, 0, 0, 0, 0, 4, 3)


def test_digits_past_nine_are_letters() -> None:
    values = (*range(17), *[0] * 239)
    assert grid.format_grid(values).startswith(".123456789ABCDEFG.")
    assert grid.parse_grid(grid.format_grid(values), 16) == values


ROWS = "12..\n..34\n.1.2\n4321"
CELL = "a cell of a 4x4 grid is '.' or 1 to 4"


@pytest.mark.parametrize(
    ("text", "said", "row", "column"),
    [
        (ROWS.replace("..34", "..54"), f"row 2, column 3 is '5'; {CELL}", 2, 3),
        (ROWS.replace("4321", "432x"), f"row 4, column 4 is 'x'; {CELL}", 4, 4),
        (ROWS.replace("\n", "").replace("4321", "4A21"), f"row 4, column 2 is 'A'; {CELL}", 4, 2),
        (ROWS.replace("12..", "12.\u0663"), f"row 1, column 4 is '\u0663'; {CELL}", 1, 4),
        (ROWS.replace("..34", ".34"), "row 2 has 3 cells; it needs 4", 2, None),
        (ROWS.replace("..34", "..344"), "row 2 has 5 cells; it needs 4", 2, None),
        (ROWS.removesuffix("\n4321"), "the grid has 3 rows; it needs 4", None, None),
        (ROWS + "\n1234", "the grid has 5 rows; it needs 4", None, None),
        ("12..", "the grid has 4 cells in one line; it needs 16", 1, None),
        ("1" * 17, "the grid has 17 cells in one line; it needs 16", 1, None),
        ("", "the grid has 0 rows; it needs 4", None, None),
        (" \n\n", "the grid has 0 rows; it needs 4", None, None),
    ],
)
def test_a_grid_that_cannot_be_read_says_where(
    text: str, said: str, row: int | None, column: int | None
) -> None:
    with pytest.raises(GridFault) as fault:
        grid.parse_grid(text, 4)
    assert str(fault.value) == said
    assert (fault.value.row, fault.value.column) == (row, column)


@given(st.text(max_size=40) | st.text(".123456789\n |", max_size=120), st.integers(4, 16))
def test_any_text_is_a_grid_or_a_fault(text: str, size: int) -> None:
    try:
        values = grid.parse_grid(text, size)
    except GridFault as fault:
        assert str(fault)
    else:
        assert len(values) == size * size


@given(st.integers(4, 16).flatmap(lambda n: st.tuples(st.just(n), st.integers(0, n * n - 1))))
def test_a_cell_name_comes_back_as_the_same_cell(sized: tuple[int, int]) -> None:
    size, cell = sized
    name = grid.cell_name(cell, size)
    assert grid.parse_cell(name, size) == cell
    assert name == f"r{cell // size + 1}c{cell % size + 1}"


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("r0c1", "r0c1 lies outside a 9x9 grid"),
        ("r1c10", "r1c10 lies outside a 9x9 grid"),
        ("r1c100", "'r1c100' is not a cell; write it as r1c1 (row, column, from 1)"),
        ("c1r1", "'c1r1' is not a cell; write it as r1c1 (row, column, from 1)"),
        ("", "'' is not a cell; write it as r1c1 (row, column, from 1)"),
    ],
)
def test_a_name_that_is_no_cell_is_refused(text: str, said: str) -> None:
    with pytest.raises(GridFault) as fault:
        grid.parse_cell(text, 9)
    assert str(fault.value) == said


def test_the_example_reads() -> None:
    values = grid.parse_grid(EXAMPLE, 9)
    assert sum(map(bool, values)) == 30
    assert values[:5] == (1, 2, 0, 9, 7)
