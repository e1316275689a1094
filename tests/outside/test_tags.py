"""Tags for screen readers, as poppler, pikepdf and two checkers of PDF/UA's rules see them.

The checkers hold a file against the rules that a program can check. That they find nothing is no
certificate, and the files claim none. The codes are the checkers' own.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any, NamedTuple

import pytest
import yaml

from tests.conftest import ROOT
from tests.outside.pixels import run
from tests.outside.prints import PICKED, TAGGED, Prints, edited

CLAIM = "the file claims no conformity, for no validator has certified any"
ALLOWED_UA = {"UA-28-004": CLAIM}
ALLOWED = {
    "DOC-012": CLAIM,
    "TBL-012": "a puzzle's grid is a table most of whose cells are empty: it is what a puzzle is",
    "FIG-012": "the text of an example's picture tells its grid row by row: digits, not prose",
    "PAG-001": "captions and grades that stand at one place of several pages are content",
    "ORD-001": "clues are painted before the digits found, each in its face; the tree has order",
}
"""What the checkers remark on, and why it stays so."""
HOUSE = ["Cover", "Contents", "Foreword", "How to play", "Primer", "Puzzles", "Notes",
         "The rules", "First hints", "Second hints", "Ideas in the hints", "Third hints", "Answers",
         "The full pack", "Credits"]  # fmt: skip
"""The sections, in the order of the house style."""
UNDONE = {"UA-14-001": "pdfua 0.1.3 breaks off at a heading with several contents; outloud asks it"}
"""Rules that a checker gives up on, for a fault of its own."""


@pytest.mark.parametrize("name", TAGGED)
def test_pdfua_finds_no_error(prints: Prints, name: str) -> None:
    pdfua = pytest.importorskip("pdfua", reason="pdfua is not installed")
    report = pdfua.validate(str(prints.file(name)))
    told = {f"{one.rule_id}: {one.message}" for one in report.findings}
    assert not {one for one in told if one.partition(":")[0] not in ALLOWED_UA}
    assert len(report.outcomes) > 10
    assert {one.rule_id for one in report.outcomes if one.skipped_reason} <= UNDONE.keys()


@pytest.mark.parametrize("name", TAGGED)
def test_outloud_finds_no_error(prints: Prints, name: str) -> None:
    outloud = pytest.importorskip("outloud", reason="outloud is not installed")
    result = outloud.check(str(prints.file(name)))
    assert not result.error
    told = {f"{one.rule}: {one.message}" for one in result.findings if one.rule not in ALLOWED}
    assert not told


@pytest.mark.parametrize("name", ["print", "large-print", "screen"])
def test_poppler_reads_the_book_in_order_each_grid_with_its_digits(
    prints: Prints, name: str
) -> None:
    sections = {node.title: node for node in _read_aloud(prints.file(name)).all("Sect")}
    assert list(sections) == [title for title in HOUSE if title in sections]
    assert len(sections) >= 9
    assert list(_titles_and_grids(sections["Puzzles"])) == list(_from_the_manifests())
    answers = dict(_titles_and_grids(sections["Answers"]))
    entries = edited(name).entries
    assert [int(title.split()[0]) for title in answers] == [entry.number for entry in entries]
    for rows, entry in zip(answers.values(), entries, strict=True):
        assert "".join(map("".join, rows)) == "".join(map(str, entry.solution))


class Node(NamedTuple):
    """An element of the structure as poppler tells it: tag, title, elements and texts in it."""

    tag: str
    title: str
    children: list[Any]

    def all(self, tag: str) -> Iterator[Node]:
        """The elements of a tag below this one, in reading order."""
        for child in self.children:
            if isinstance(child, Node):
                if child.tag == tag:
                    yield child
                yield from child.all(tag)

    def text(self) -> str:
        """All text below this one, in reading order."""
        parts = (one.text() if isinstance(one, Node) else one for one in self.children)
        return " ".join("".join(parts).split())


def _read_aloud(file: Path) -> Node:
    """What ``pdfinfo -struct-text`` prints of a file: two blanks a level, texts in quotes."""
    told = run("pdfinfo", "poppler-utils", "-struct-text", file)
    root = Node("", "", [])
    open_nodes = [root]
    for line in told.splitlines():
        level, said = (len(line) - len(line.lstrip())) // 2, line.strip()
        del open_nodes[level + 1 :]
        if said.startswith('"'):
            open_nodes[-1].children.append(said.strip('"') + " ")
        elif found := re.fullmatch(r'(\w+)(?: "(.*)")?(?: \((?:block|inline)\))?:?', said):
            node = Node(found[1], found[2] or "", [])
            open_nodes[-1].children.append(node)
            open_nodes.append(node)
    return root


def _titles_and_grids(section: Node) -> Iterator[tuple[str, list[list[str]]]]:
    """Each heading of a grid, and its rows: the text of each cell, "" where there is none."""
    heading = ""
    for child in section.children:
        if isinstance(child, Node) and child.tag == "H2":
            heading = child.text()
        if isinstance(child, Node) and child.tag == "Table":
            rows = list(child.all("TR"))
            yield heading, [[cell.text() for cell in row.all("TD")] for row in rows[1:]]


def _from_the_manifests() -> Iterator[tuple[str, list[list[str]]]]:
    """The same from the packs' YAML, by YAML alone."""
    number = 0
    for pack, names in PICKED.items():
        folder = ROOT / "packs" / pack
        listed = yaml.safe_load((folder / "manifest.yaml").read_text(encoding="utf-8"))["puzzles"]
        for one in listed:
            if "file" in one:
                one.update(yaml.safe_load((folder / one["file"]).read_text(encoding="utf-8")))
        by_id = {one["id"]: one for one in listed}
        for name in names:
            number += 1
            lines = by_id[name]["grid"].split("\n")
            rows = [line.replace(" ", "") for line in lines if line.strip()]
            cells = [["" if digit in ".0" else digit for digit in row] for row in rows]
            yield f"{number} {by_id[name]['title']}", cells


# --- the same file through pikepdf -------------------------------------------------------------


@pytest.mark.parametrize("name", TAGGED)
def test_what_a_reader_program_asks_of_the_catalogue(prints: Prints, name: str) -> None:
    pikepdf = pytest.importorskip("pikepdf", reason="pikepdf is not installed")
    title = edited(name).pack.title
    with pikepdf.open(prints.file(name)) as pdf:
        root = pdf.Root
        assert root.Lang == "en"
        assert root.MarkInfo.Marked
        assert root.ViewerPreferences.DisplayDocTitle
        assert pdf.docinfo["/Title"] == title
        with pdf.open_metadata(set_pikepdf_as_editor=False) as xmp:
            assert xmp["dc:title"] == title
            assert not [key for key in xmp if "pdfuaid" in key or "pdfaid" in key]
        numbers = [page.obj.StructParents for page in pdf.pages]
        assert len(set(numbers)) == len(numbers)
        assert {str(page.obj.Tabs) for page in pdf.pages} == {"/S"}


@pytest.mark.parametrize("name", TAGGED)
def test_every_mark_on_a_page_is_an_artifact_or_stands_once_in_the_tree(
    prints: Prints, name: str
) -> None:
    # ISO 32000-1, 14.8.2.2: real content and artifacts are told apart, and all is one or the other
    pikepdf = pytest.importorskip("pikepdf", reason="pikepdf is not installed")
    with pikepdf.open(prints.file(name)) as pdf:
        place = {page.obj.objgen: k for k, page in enumerate(pdf.pages)}
        marked = {(k, m) for k, page in enumerate(pdf.pages) for m in _marked(pikepdf, page)}
        told = [(place[page], number) for page, number in _leaves(pikepdf, pdf)]
        assert Counter(told) == Counter(marked)
        pages = [page for page, _ in told]
        assert pages == sorted(pages)  # read in the order of the pages


@pytest.mark.parametrize("name", TAGGED)
def test_every_table_has_its_headings_and_every_figure_its_text(prints: Prints, name: str) -> None:
    pikepdf = pytest.importorskip("pikepdf", reason="pikepdf is not installed")
    sizes = [entry.puzzle.size for entry in edited(name).entries]
    with pikepdf.open(prints.file(name)) as pdf:
        elements = list(_elements(pikepdf, pdf.Root.StructTreeRoot))
        tables = [one for one in elements if one.S == "/Table"]
        for table in tables:
            _has_headings(pikepdf, table)
        assert [len(table.K) - 1 for table in tables[: len(sizes)]] == sizes
        figures = [one for one in elements if one.S == "/Figure"]
        assert figures
        assert all(len(str(figure.Alt)) > 10 for figure in figures)


def _has_headings(pikepdf: Any, table: Any) -> None:
    rows = [list(row.K) for row in table.K]
    n = len(rows) - 1
    assert [str(one.S) for one in rows[0]] == ["/TH"] * (n + 1)
    assert [str(one.ActualText) for one in rows[0][1:]] == [f"column {k + 1}" for k in range(n)]
    for k, row in enumerate(rows[1:], start=1):
        assert [str(one.S) for one in row] == ["/TH"] + ["/TD"] * n
        assert row[0].ActualText == f"row {k}"
    scopes = [[str(one.A.Scope) for one in heads] for heads in (rows[0], [r[0] for r in rows[1:]])]
    assert scopes == [["/Column"] * (n + 1), ["/Row"] * n]


def _marked(pikepdf: Any, page: Any) -> list[int]:
    """The numbers of a page's marked contents; all that is painted is in one or an artifact."""
    numbers: list[int] = []
    depth = inside = 0  # ``inside``: at which depth real content or an artifact begins
    for operands, operator in pikepdf.parse_content_stream(page):
        does = str(operator)
        if does in ("BDC", "BMC"):
            depth += 1
            numbered = does == "BDC" and "/MCID" in operands[1]
            if numbered:
                numbers.append(int(operands[1].MCID))
            if numbered or operands[0] == "/Artifact":
                inside = inside or depth
        elif does == "EMC":
            inside = 0 if inside == depth else inside
            depth -= 1
        elif does in ("Tj", "TJ", "'", '"', "f", "f*", "S", "s", "B", "B*", "b", "b*", "Do", "sh"):
            assert inside, f"page {page.label}: {operands} {does} is neither content nor artifact"
    assert len(set(numbers)) == len(numbers)
    return numbers


def _elements(pikepdf: Any, element: Any) -> Iterator[Any]:
    """All elements below one, in reading order."""
    for child in _children(pikepdf, element):
        if isinstance(child, pikepdf.Dictionary) and "/S" in child:
            yield child
            yield from _elements(pikepdf, child)


def _leaves(pikepdf: Any, pdf: Any) -> Iterator[tuple[Any, int]]:
    """(page, number) of each marked content in the tree, in reading order."""
    for element in _elements(pikepdf, pdf.Root.StructTreeRoot):
        for child in _children(pikepdf, element):
            if isinstance(child, int):
                yield element.Pg.objgen, child
            elif "/MCID" in child:
                yield child.get("/Pg", element.get("/Pg")).objgen, int(child.MCID)


def _children(pikepdf: Any, element: Any) -> list[Any]:
    kids = element.get("/K", [])
    return list(kids) if isinstance(kids, pikepdf.Array) else [kids]
