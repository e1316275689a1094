"""Whether each grid is heard as it was proved: cell by cell, with rows and columns named."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from packbuilder.book.book import Book, Entry
from packbuilder.grid import SYMBOLS, cell_name
from packbuilder.ladder.hints import Hint
from packbuilder.readback.match import due, values_due
from packbuilder.readback.report import TOLD, Finding
from packbuilder.readback.sections import ANSWERS, PUZZLES, TIERS, plain
from packbuilder.readback.survey import Item
from packbuilder.readback.tags.heard import Heard
from packbuilder.readback.tags.summaries import summary_faults
from packbuilder.readback.tags.told import label_of, sect_of
from packbuilder.readback.tags.tree import Element, Tree

KIND = {PUZZLES: "Puzzle", TIERS[2]: "Hint for puzzle", ANSWERS: "Answer"}
"""The words with which a table's summary begins."""


def check_tables(
    tree: Tree, heard: Heard, items: Sequence[Item], book: Book, fields: Mapping[int, str]
) -> Iterator[Finding]:
    """Each grid of the book has one table behind its heading, which says the proved grid.

    ``fields`` are the names of the form fields by their objects' numbers.
    """
    for section in KIND:
        sect = sect_of(tree, heard.leaves, section)
        here = [i for i in items if i.section == section and i.lattice]
        if sect is None or not here:
            continue
        for item in here:
            match = due(book, item)
            if match is None:
                continue
            table = _table_after(sect, heard, label_of(item, match[0]))
            if table is None:
                yield Finding(
                    "tag-cell",
                    "no table for its grid stands behind its heading",
                    item.page,
                    (),
                    item.number,
                    match[0].puzzle.id,
                )
            else:
                yield from _check_table(table, heard, item, *match, fields)
        count = sum(e.role == "Table" for e in sect.walk())
        if count != len(here):
            yield Finding(
                "tag", f"{section} has {count} tables for {len(here)} grids", here[0].page
            )


def _table_after(sect: Element, heard: Heard, label: str) -> Element | None:
    """The first table behind the heading with a label, before the next heading."""
    found = False
    for element in sect.walk():
        if element.role == "H2":
            text = heard.text(element)
            found = text == label or text.startswith(label + " ")
        elif found and element.role == "Table":
            return element
    return None


def _check_table(
    table: Element,
    heard: Heard,
    item: Item,
    entry: Entry,
    hint: Hint | None,
    fields: Mapping[int, str],
) -> Iterator[Finding]:
    def wrong(code: str, message: str, cells: tuple[str, ...] = ()) -> Finding:
        return Finding(code, message, item.page, cells, item.number, entry.puzzle.id)

    n = entry.puzzle.size
    rows = [row.elements() for row in table.elements()]
    if [r.role for r in table.elements()] != ["TR"] * (n + 1) or any(
        [cell.role for cell in row] != (["TH"] * (n + 1) if k == 0 else ["TH"] + ["TD"] * n)
        for k, row in enumerate(rows)
    ):
        yield wrong("tag-cell", f"its table is not one row and one column of headings round "
                    f"{n} by {n} cells")  # fmt: skip
        return
    for told in _amiss_headings(rows, heard):
        yield wrong("tag-heading", told)
    told_of = list(_amiss_cells(rows, heard, item, entry, hint, fields))
    if told_of:
        more = f"; and {len(told_of) - TOLD} more" if len(told_of) > TOLD else ""
        words = "; ".join(words for _, words in told_of[:TOLD]) + more
        yield wrong("tag-cell", words, tuple(cell_name(c, n) for c, _ in told_of))
    for fault in summary_faults(
        table.summary, entry, KIND[item.section], whole=item.section == PUZZLES
    ):
        yield wrong("tag-heading", f"the summary of its table {fault}")


def _amiss_headings(rows: Sequence[Sequence[Element]], heard: Heard) -> Iterator[str]:
    """Headings of rows and columns that are not told as they must be."""
    for k, head in enumerate(rows[0]):
        wanted = f"column {k}" if k else ""
        if heard.text(head) != wanted or head.scope != "Column":
            yield f"the heading of column {k} is told as {heard.text(head)!r} ({head.scope})"
    for k, row in enumerate(rows[1:], start=1):
        if heard.text(row[0]) != f"row {k}" or row[0].scope != "Row":
            yield f"the heading of row {k} is told as {heard.text(row[0])!r} ({row[0].scope})"


def _amiss_cells(
    rows: Sequence[Sequence[Element]],
    heard: Heard,
    item: Item,
    entry: Entry,
    hint: Hint | None,
    fields: Mapping[int, str],
) -> Iterator[tuple[int, str]]:
    """The cells that would be heard otherwise than they were proved, and how."""
    n, values = entry.puzzle.size, values_due(item, entry, hint)
    noted = dict(hint.shown) if hint else {}
    typed = bool(fields) and item.section == PUZZLES
    for cell, value in enumerate(values):
        element = rows[cell // n + 1][cell % n + 1]
        candidates = "".join(SYMBOLS[v] for v in noted.get(cell, ()))
        wanted = SYMBOLS[value] if value else candidates
        words = heard.text(element)
        if sorted(plain(words)) != sorted(wanted):
            told = f"would be heard as {words!r}" if words else "would not be heard"
            yield cell, f"{cell_name(cell, n)} {told}, and is {wanted or 'empty'}"
            continue
        names = [fields.get(one.number, "") for one in element.objects()]
        due_names = [f"p{entry.number}-r{cell // n + 1}c{cell % n + 1}"]
        if names != (due_names if typed and not value else []):
            yield cell, f"{cell_name(cell, n)} has not the field that is its own"
