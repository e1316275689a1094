"""The gate: each code is reached by a pack that earns it, with the sentence that the user sees."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from types import SimpleNamespace

import pytest

from packbuilder import gate, manifest
from packbuilder.gate import Finding
from packbuilder.gate.checking import ladder_of
from packbuilder.gate.entry_cells import EntryCells
from packbuilder.gate.printable import letters_to_enter, scattered_regions
from packbuilder.grid import House, blocks
from packbuilder.ladder.path import walk
from packbuilder.ladder.table import DEFAULT, Ladder
from packbuilder.proof.verdict import Verdict
from tests.conftest import EXAMPLE, EXAMPLE_SOLVED
from tests.ladder import grids

WritePack = Callable[..., Path]


def entry(grid: str = EXAMPLE, id_: str = "kettle", more: str = "", promise: str = "") -> str:
    text = f"- id: {id_}\n  title: Kettle\n  grid: {grid}\n"
    text += "".join(f"  {line}\n" for line in more.splitlines())
    if promise:
        text += "  promise:\n" + "".join(f"    {line}\n" for line in promise.splitlines())
    return text


def findings(folder: Path, node_limit: int = 10**6) -> list[Finding]:
    report = gate.check(manifest.load(folder), limits=gate.Limits(nodes=node_limit))
    found = [f for one in report.checked for f in one.findings]
    assert report.passed == all(f.level != "refuse" for f in found)
    return found


def only(folder: Path, code: str, node_limit: int = 10**6) -> Finding:
    found = findings(folder, node_limit)
    assert [f.code for f in found] == [code]
    return found[0]


def test_a_puzzle_as_promised_has_no_finding(write_pack: WritePack) -> None:
    # 30 clues in half-turn symmetry, grade 1 or 2: read off the printed example.
    folder = write_pack(entry(promise="clues: 30\nsymmetry: rotational"))
    assert findings(folder) == []


def test_not_unique_shows_both_and_mends(write_pack: WritePack) -> None:
    # With no 1 and no 4 among the clues the two digits can always be exchanged (common practice, no
    # source); in this grid only all 18 of them together, so that any one more clue mends it.
    grid = EXAMPLE_SOLVED.replace("1", ".").replace("4", ".")
    finding = only(write_pack(entry(grid)), "not-unique")
    assert finding.message.startswith("the grid has more than one solution; two of them differ in")
    assert EXAMPLE_SOLVED in finding.message
    assert len(finding.cells) == 18
    assert "would leave one solution" in finding.mend


def test_no_solution_names_the_clashing_clues(write_pack: WritePack) -> None:
    # The 9 at r2c9 keeps 9 out of block 3's part of row 1, and six clues fill the rest of the row:
    # seven clues are enough, the 7 and the 8 are innocent (common practice, no source).
    grid = "12345678." + "." * 8 + "9" + "." * 63
    finding = only(write_pack(entry(grid)), "no-solution")
    assert "9 at r2c9" in finding.message
    assert finding.cells == (0, 1, 2, 3, 4, 5, 17)


def test_clue_clash(write_pack: WritePack) -> None:
    grid = EXAMPLE[:8] + "7" + EXAMPLE[9:]
    finding = only(write_pack(entry(grid)), "clue-clash")
    assert finding.message == "row 1 has the clue 7 twice, at r1c5 and r1c9"
    assert finding.cells == (4, 8)


def test_wrong_grade(write_pack: WritePack) -> None:
    finding = only(write_pack(entry(promise="grade: 4")), "wrong-grade")
    assert finding.message.startswith("grade 4 is promised, but the hardest step is a ")
    assert "promise `grade: " in finding.mend


def test_a_wrong_grade_is_told_with_the_cells_of_a_hardest_step(write_pack: WritePack) -> None:
    clues = grids.lines(grids.BY_GRADE[5])[0]
    path = walk(blocks(3, 3), clues)
    text = entry("".join(map(str, clues)), promise="grade: 1")
    (cells,) = {f.cells for f in findings(write_pack(text)) if f.code == "wrong-grade"}
    hardest = [step for step in path.steps if step.technique == path.hardest]
    assert any({*step.cells, *(c for c, _ in step.removes)} <= {*cells} for step in hardest)


def test_wrong_solution(write_pack: WritePack) -> None:
    wrong = EXAMPLE_SOLVED[:-2] + "97"
    finding = only(write_pack(entry(more=f"solution: {wrong}")), "wrong-solution")
    assert finding.cells == (79, 80)
    assert "r9c8 and r9c9" in finding.message


def test_wrong_clue_count(write_pack: WritePack) -> None:
    finding = only(write_pack(entry(promise="clues: 29")), "wrong-clue-count")
    assert finding.message == "29 clues are promised, but the grid has 30"


def test_wrong_symmetry(write_pack: WritePack) -> None:
    grid = EXAMPLE_SOLVED[:3] + EXAMPLE[3:]
    finding = only(write_pack(entry(grid, promise="symmetry: rotational")), "wrong-symmetry")
    assert "r1c3" in finding.message
    assert 2 in finding.cells and 78 in finding.cells


def test_not_minimal_names_the_spare_clues(write_pack: WritePack) -> None:
    grid = EXAMPLE_SOLVED[:3] + EXAMPLE[3:]
    finding = only(write_pack(entry(grid, promise="minimal: true")), "not-minimal")
    assert "4 at r1c3" in finding.message


def test_not_used_and_not_needed(write_pack: WritePack) -> None:
    folder = write_pack(entry(promise="uses: [naked-triple]"))
    assert "the easiest-first path does without it" in only(folder, "not-used").message
    folder = write_pack(entry(promise="needs: [naked-triple]"))
    assert only(folder, "not-needed").message.startswith("Naked triple is not needed: ")


def test_a_need_of_the_pack_holds_for_every_puzzle(write_pack: WritePack) -> None:
    folder = write_pack(entry(), pack="needs: [naked-triple]")
    assert "the pack's own" in only(folder, "not-needed").mend


def test_no_permission(write_pack: WritePack) -> None:
    folder = write_pack(entry(more="setter: Osk Marrin"))
    assert only(folder, "no-permission").message == (
        "the setter is Osk Marrin, and no permission is noted"
    )
    folder = write_pack(entry(more="setter: Osk Marrin\npermission: by letter, 3 May 2026"))
    assert findings(folder) == []


def test_same_puzzle_in_disguise(write_pack: WritePack) -> None:
    renamed = EXAMPLE.translate(str.maketrans("123456789", "456789123"))
    transposed = "".join(renamed[c * 9 + r] for r in range(9) for c in range(9))
    folder = write_pack(entry() + entry(transposed, "teapot"))
    finding = only(folder, "same-puzzle")
    assert finding.message.startswith("this is kettle again, in disguise")


def test_a_node_limit_gives_undecided(write_pack: WritePack) -> None:
    hard = grids.BY_GRADE[8].split()[0]  # the kernel has to branch for its one solution
    finding = only(write_pack(entry(hard)), "undecided", node_limit=0)
    assert finding.message.startswith("the limit ran out")


def test_a_region_in_two_pieces_is_only_a_warning(write_pack: WritePack) -> None:
    # By hand: r1c4 and r3c1 of the square below are both 4, so they can change regions, which
    # leaves b and c in two pieces and the answer as it was.
    solved = "1234341243212143"
    more = "size: 4\nblocks: |\n  aabc\n  aabb\n  bcdd\n  ccdd"
    report = gate.check(manifest.load(write_pack(entry("." + solved[1:], more=more))))
    (one,) = report.checked
    assert report.passed
    assert [(f.level, f.code) for f in one.findings] == [("warn", "region-in-pieces")] * 2
    assert [f.message for f in one.findings] == [
        "region b is not connected",
        "region c is not connected",
    ]


def test_a_full_grid_is_no_puzzle(write_pack: WritePack) -> None:
    assert only(write_pack(entry(EXAMPLE_SOLVED)), "nothing-to-solve").message == (
        "every cell has its digit already"
    )


def test_letters_that_the_type_lacks(write_pack: WritePack) -> None:
    folder = write_pack(entry(more="intro: The sign 漢, and Конец."))
    assert only(folder, "unprintable").message == (
        "intro has '漢' (U+6F22), which the type does not have"
    )
    report = gate.check(manifest.load(write_pack(entry(), pack="theme: A smile 😀.")))
    assert not report.passed
    assert [f.message for f in report.findings] == [
        "pack.theme has '😀' (U+1F600), which the type does not have"
    ]
    named = "ladder: {chain: off, x-wing: {name: Lamp 灯}}"
    report = gate.check(manifest.load(write_pack(entry(), pack=named)))
    assert [f.message for f in report.findings] == [
        "pack.ladder.x-wing.name has '灯' (U+706F), which the type does not have"
    ]


def test_minimal_is_undecided_where_a_limit_runs_out(
    write_pack: WritePack, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = write_pack(entry(promise="minimal: true"))
    out_of_time = SimpleNamespace(prove=lambda *_args, **_more: Verdict(None))
    monkeypatch.setattr("packbuilder.gate.promised.sat", out_of_time)
    finding = only(folder, "undecided")
    assert "a limit ran out before it was known whether these clues can be left out" in (
        finding.message
    )


@pytest.mark.parametrize("key", ["pack", "verdict", "puzzles", "findings"])
def test_json_has_the_contract_keys(write_pack: WritePack, key: str) -> None:
    document = gate.as_json(gate.check(manifest.load(write_pack(entry(promise="clues: 1")))))
    assert key in document
    assert document["verdict"] == "refused"
    (puzzle,) = document["puzzles"]
    assert (puzzle["solutions"], puzzle["solution"]) == (1, EXAMPLE_SOLVED)
    assert puzzle["findings"][0]["code"] == "wrong-clue-count"


@pytest.mark.parametrize(
    ("count", "codes"), [(1, []), (2, ["whole-sampler"]), (3, []), (9, ["whole-sampler"])]
)
def test_a_sampler_that_would_hold_the_whole_pack_is_noted(
    write_pack: WritePack, count: int, codes: list[str]
) -> None:
    """Three is the usual number: a small pack need not say another."""
    puzzles = f"- id: a\n  title: A\n  grid: {EXAMPLE}\n" + (
        "- id: cup\n  title: Cup\n  size: 4\n  grid: ..3. ..2. .4.. .2..\n"
    )
    report = gate.check(manifest.load(write_pack(puzzles, pack=f"sampler: {count}")))
    assert [f.code for f in report.findings] == codes
    assert all("write a number below 2" in f.mend for f in report.findings)
    assert report.passed


def test_a_pack_of_one_puzzle_is_told_to_have_no_sampler(write_pack: WritePack) -> None:
    pack = write_pack(f"- id: a\n  title: A\n  grid: {EXAMPLE}\n", pack="sampler: 2")
    (told,) = gate.check(manifest.load(pack)).findings
    assert told.mend == "take the line `sampler:` out, and build no sampler"


PAIRED = ".6.8...4.2......6.95.1.7....32.7..........1.3......497..54.....3...8......1.26.85"
"""A grid of the ladder's tests, where it is worked out what would do instead of what."""


def test_a_rival_is_a_warning_and_only_refuses_it(write_pack: WritePack) -> None:
    rival = only(write_pack(entry(PAIRED, promise="needs: [hidden-triple]")), "rival")
    assert rival.level == "warn"
    assert rival.message == "Hidden triple is needed, but a naked triple would do instead"
    refused = only(write_pack(entry(PAIRED, promise="only: [hidden-triple]")), "not-only")
    assert refused.message == rival.message and "`only:`" in refused.mend
    both = write_pack(entry(PAIRED, promise="needs: [hidden-triple]\nonly: [hidden-triple]"))
    assert [f.code for f in findings(both)] == ["not-only"]


def test_what_is_not_needed_is_not_the_only_way(write_pack: WritePack) -> None:
    finding = only(write_pack(entry(promise="only: [naked-triple]")), "not-only")
    assert finding.message.startswith("Naked triple is not needed: ")
    finding = only(write_pack(entry(promise="only: [cage-partners]")), "not-only")
    assert "not on this puzzle's ladder" in finding.message


def test_a_digit_that_would_mend_it_is_named_before_the_clash(write_pack: WritePack) -> None:
    # The 8 of r9c6 written as a 9: which other digits would do was tried out with OR-Tools.
    grid = EXAMPLE[:77] + "9" + EXAMPLE[78:]
    finding = only(write_pack(entry(grid)), "no-solution")
    assert finding.message.startswith(
        "the grid has no solution; r1c2: 4 for 2, r4c2: 1 for 6, r6c8: 9 for 2 or r9c6: 8 for 9 "
        "would leave one solution; these clues already contradict one another: 2 at r1c2, "
    )
    assert finding.mend.startswith("compare r1c2, r4c2, r6c8 and r9c6 with the setter's original")


def test_two_clues_are_offered_where_one_will_not_do(write_pack: WritePack) -> None:
    grid = "." * 9 + EXAMPLE_SOLVED[9:63] + "." * 18
    finding = only(write_pack(entry(grid)), "not-unique")
    assert finding.mend == (
        "a clue 4 at r8c1 and a clue 8 at r8c2 would leave one solution; no single clue would; if "
        "the setter meant others, add those clues instead"
    )


@pytest.mark.parametrize(
    ("cells", "mend"),
    [
        ([43], "a clue 7 at r5c8 would leave one solution; if"),
        ([43, 80], "would leave one solution; no single clue would and keep the rotational symm"),
    ],
)
def test_what_is_offered_keeps_the_symmetry(
    cells: list[int], mend: str, write_pack: WritePack
) -> None:
    """A grid of our own in a half-turn picture, without these clues."""
    whole = "98.4..2....1..96.....87......9.....663.5.1.782.....1......45.....72..4....2..7.63"
    grid = "".join("." if cell in cells else sign for cell, sign in enumerate(whole))
    found = findings(write_pack(entry(f'"{grid}"', promise="symmetry: rotational")))
    (finding,) = [one for one in found if one.code == "not-unique"]
    assert mend in finding.mend
    offered = {(int(r) - 1) * 9 + int(c) - 1 for r, c in re.findall(r"at r(.)c(.)", finding.mend)}
    assert offered == set(cells)


def test_a_pack_is_graded_on_its_own_ladder_else_on_the_houses(write_pack: WritePack) -> None:
    def ladder(pack: str) -> Ladder:
        return ladder_of(manifest.load(write_pack(entry(), pack=pack)))

    assert ladder("") == DEFAULT
    own = ladder("ladder: {naked-pair: {rung: 3}, x-wing: off}")
    assert "x-wing" not in own.slugs and "x-wing" in DEFAULT.slugs
    more = ladder("assume-unique: true")
    assert set(more.slugs) > set(DEFAULT.slugs)


@pytest.mark.parametrize("cells, whole", [
    ((0, 2, 5, 7, 10, 11, 12), True),  # a U: from its first cell one must go down and up again
    ((0, 1, 2, 5, 7, 10, 12), True),
    ((0, 1, 2, 7, 10, 11, 12), True),  # open to the left, and to the right
    ((0, 1, 2, 5, 10, 11, 12), True),
    ((0, 2, 5, 7, 10, 12), False),
    ((0, 6), False),
    ((4, 5), False),  # the end of a row and the beginning of the next
])  # fmt: skip
def test_a_region_of_any_form_is_one_piece_or_told(cells: tuple[int, ...], whole: bool) -> None:
    region = House("region", "region A", cells)
    found = list(scattered_regions(SimpleNamespace(size=5, houses=(region,))))  # type: ignore[arg-type]
    assert [one.cells for one in found] == ([] if whole else [cells])


def test_two_puzzles_of_other_solutions_are_no_repeats(write_pack: WritePack) -> None:
    other = grids.BY_GRADE[8]
    (clues, *_) = grids.lines(other)
    second = entry("".join(map(str, clues)), "second")
    for one, two in ((entry(), second), (second, entry())):
        codes = {found.code for found in findings(write_pack(one + two))}
        assert not codes & {"same-puzzle", "same-solution"}


def test_a_code_is_guessable_below_one_in_a_thousand() -> None:
    for odds, codes in ((999, ["guessable"]), (1000, []), (1001, [])):
        found = letters_to_enter(None, EntryCells((1, 2), odds))  # type: ignore[arg-type]
        assert [one.code for one in found] == codes
