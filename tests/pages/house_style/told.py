"""What is told beside grids and in them: grades, promises, fields to type in, pictures, codes."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from itertools import pairwise

import numpy as np
import zxingcpp

from packbuilder.grid import cell_name
from packbuilder.plan.items import Destination, Item, Lozenges, NotesField, Page, Table, Text
from packbuilder.puzzle import BEYOND, Grade
from packbuilder.rules import kinds
from tests.pages.house_style.measuring import Look, Mark, Printed, Told, bare, inked, within

QR = zxingcpp.BarcodeFormat.QRCode


def pips_are_as_many_as_the_grade(p: Printed) -> Told:
    """Before each grade stand eight lozenges in a row, the first so many of them filled; the grades
    are those of the book, where it has them."""
    told: dict[str, list[str]] = {}
    for look in p.looks:
        for words, pips in _graded(look):
            told.setdefault(look.section, []).append(words)
            filled = [pip.item.width is None for pip in pips]  # type: ignore[union-attr]
            middles = [(pip.box[0] + pip.box[2]) / 2 for pip in pips]
            steps = {round(b - a, 2) for a, b in pairwise(middles)}
            count = int(words[-1]) if words else 0
            if filled != [k < count for k in range(8)] or len(steps) > 1:
                yield f"page {look.folio}: {sum(filled)} of {len(filled)} before {words!r}"
    of = [entry.grade for entry in p.book.entries]
    contents = [] if p.book.whole else of
    each = sorted(set(of), key=lambda grade: 9 if grade == BEYOND else grade)
    opened = not next(look.grids for look in p.looks if look.section == "Puzzles")
    back = [look for look in p.looks if look.section == "Back cover" and any(_graded(look))]
    due = {"Contents": contents, "How to play": [3], "Primer": [one.rung for one in p.book.lessons],
           "Puzzles": [*each * opened, *of],
           "Back cover": each if back else [],
           "The full pack": [entry.grade for entry in p.book.whole]}  # fmt: skip
    for section, grades in due.items():
        if sorted(told.get(section, [])) != sorted(map(_sign, grades)):
            yield f"{section} tells {told.get(section)}"


def _graded(look: Look) -> Iterator[tuple[str, list[Mark]]]:
    """Each grade that stands behind lozenges with them; lozenges before none come with no words."""
    signs = [mark for mark in look.loose if isinstance(mark.item, Lozenges)]
    pips = [mark for mark in signs if not any(_in_one_another(mark, other) for other in signs)]
    for line in sorted(look.lines, key=lambda mark: mark.box[0]):
        size, baseline = line.item.size, line.item.y
        mine = [
            pip for pip in pips
            if 0 < line.box[0] - pip.box[2] < 8 * size
            and abs((pip.box[1] + pip.box[3]) / 2 - baseline - 0.32 * size) < 0.2 * size
        ]  # fmt: skip
        if mine and re.fullmatch("Grade [1-8]|Beyond 8", line.text):
            yield line.text, sorted(mine, key=lambda pip: pip.box[0])
            pips = [pip for pip in pips if pip not in mine]
    if pips:
        yield "", pips


def _in_one_another(one: Mark, other: Mark) -> bool:
    """Whether two lozenges are a seal: the badge of a grid without a clue to spare."""
    return one is not other and (within(one.box, other.box) or within(other.box, one.box))


def _sign(grade: Grade) -> str:
    return "Beyond 8" if grade == BEYOND else f"Grade {grade}"


def each_puzzle_tells_its_own(p: Printed) -> Told:
    """With each puzzle, on one page, stand number and title, setter, grade, rules, promises, what
    is said of it, or where in the notes that is, and where to go on; nothing of a rule or a promise
    that it does not have."""
    places, noted = list(_places(p.plan.pages)), dict(_places(p.plan.pages, "note-"))
    if [number for number, _ in places] != [entry.number for entry in p.book.entries]:
        yield f"puzzles are {[number for number, _ in places]}"
    carded = any(look.card_feet for look in p.looks)
    for (number, items), entry in zip(places, p.book.entries, strict=False):
        puzzle, texts = entry.puzzle, [i.text for i in items if isinstance(i, Text)]
        if any(text.startswith("Notes: page ") for text in texts):
            texts += [i.text for i in noted[number] if isinstance(i, Text)]
        needs = dict.fromkeys((*puzzle.promise.needs, *p.book.pack.needs))
        marks = puzzle.promise.no_notes
        said = {
            "Rules:": "".join(kinds()[slug].title for slug in puzzle.rule_names),
            "Turns on:": "".join(needs),
            "No notes:": "" if marks is None else f"{marks or 'nothing'} in mind",
            "First hint:": "page" * bool(entry.hints and not carded),
            "No clue to spare": "to spare" * bool(puzzle.promise.minimal),
        }
        answer = "Answer: card" if carded else "Answer: page"
        due = [f"{number}{puzzle.title}", puzzle.setter, _sign(entry.grade), answer,
               puzzle.intro or "", puzzle.link or "", *needs]  # fmt: skip
        due += [said[label] for label in ("Rules:", "No notes:")]
        for one in due:
            if bare(one) not in bare("".join(texts)):
                yield f"puzzle {number} does not tell {one!r}"
        for label, words in said.items():
            if (label in " ".join(texts)) != bool(words):
                yield f"puzzle {number}: {label} {words!r}"
        seals = [i for i in items if isinstance(i, Lozenges) and i.width == 0.6]
        if len(seals) != bool(puzzle.promise.minimal):
            yield f"puzzle {number} has {len(seals)} seals"
        grids = [(item.name, item.size) for item in items if isinstance(item, Table)]
        if grids != [(f"p{number}", puzzle.size)]:
            yield f"puzzle {number} has the grids {grids}"


def _places(pages: Sequence[Page], kind: str = "puzzle-") -> Iterator[tuple[int, list[Item]]]:
    """What belongs to each puzzle: from its named place to the next one on its page."""
    for page in pages:
        starts = [k for k, item in enumerate(page.items)
                  if isinstance(item, Destination) and item.name.startswith(kind)]  # fmt: skip
        for start, end in pairwise([*starts, None]):
            items = list(page.items[start:end])
            yield int(items[0].name.removeprefix(kind)), items  # type: ignore[union-attr]


def fields_are_the_empty_cells(p: Printed) -> Told:
    """On screens, and nowhere else, a field lies on each empty cell of a puzzle and of a grid to
    try, row by row, below a strip of .24 along its top, on which lies one for notes that is named
    for the same cell."""
    clues = {f"p{entry.number}": entry.puzzle.clues for entry in p.book.entries}
    clues |= {f"try-{x.slug}": x.trial.puzzle.clues for x in p.book.lessons if x.trial}
    for look in p.looks:
        notes = {item.name: item.box for item in look.page.items if isinstance(item, NotesField)}
        for grid in (one for one in look.grids if isinstance(one.item, Table)):
            fields, typed = grid.item.fields, p.plan.edition.fields
            empty = [k for k, clue in enumerate(clues.get(grid.item.name, ())) if not clue]
            if [cell for cell, _ in fields] != empty * typed:
                yield f"page {look.folio}: fields on {[cell for cell, _ in fields]}"
            for cell, box in fields:
                left, bottom, right, top = grid.cell(cell)
                edge = top - 0.24 * grid.pitch
                strip = notes.pop(f"{grid.item.name}-{cell_name(cell, grid.size)}-notes", box)
                due = (left, bottom, right, edge), (left + 1, edge, right - 1, top - 1)
                for one, wanted in zip((box, strip), due, strict=True):
                    if any(abs(a - b) > 0.01 for a, b in zip(one, wanted, strict=True)):
                        yield f"page {look.folio}: a field of cell {cell} lies on {one}"
        if notes:
            yield f"page {look.folio}: fields for notes on no empty cell: {[*notes]}"


def pictures_are_of_clues(p: Printed) -> Told:
    """A square for each cell of a puzzle, in its middle, the larger the higher its digit. Other
    pictures stand on the cover, and signs in the primer and where third hints begin."""
    for look in p.looks:
        for figure, marks in look.pictures:
            if look.section in ("Cover", "Primer", "Third hints"):
                continue
            if not figure.tag.alt.startswith("QR code"):
                named = re.search(r"puzzle (\d+)", figure.tag.alt)
                may = [e for e in p.book.entries if not named or e.number == int(named[1])]
                if not any(_is_picture(marks, entry.puzzle.clues) for entry in may):
                    yield f"page {look.folio}: {figure.tag.alt}"


def _is_picture(marks: Sequence[Mark], clues: Sequence[int]) -> bool:
    if len(marks) != len(clues):
        return False
    middles = [((m.box[0] + m.box[2]) / 2, (m.box[1] + m.box[3]) / 2) for m in marks]
    ordered = sorted(
        zip(middles, marks, strict=True), key=lambda one: (-round(one[0][1], 2), one[0])
    )
    sides: dict[int, list[float]] = {}
    for clue, (_, mark) in zip(clues, ordered, strict=True):
        sides.setdefault(clue, []).append(mark.box[2] - mark.box[0])
    rising = [sides[clue] for clue in sorted(sides)]
    return all(max(low) < min(high) for low, high in pairwise(rising))


def codes_are_read_as_their_links(p: Printed) -> Told:
    """ZXing, a decoder of camera pictures, reads the boxes of each code; there are no others."""
    codes = [_painted(marks) for look in p.looks for marks in look.codes()]
    told = ["".join(code.text for code in zxingcpp.read_barcodes(one, QR)) for one in codes]
    links = [entry.puzzle.link for entry in p.book.entries]
    links += [p.book.pack.link] * bool(p.book.whole or p.plan.edition.folded)
    due = sorted(link for link in links if link)
    without = sorted([*told, p.book.pack.link or ""])  # where a back cover has no room for it
    if due not in (sorted(told), without):
        yield f"codes say {told}"


def _painted(marks: Sequence[Mark]) -> np.ndarray:
    """Boxes as a picture, four pixels a module, with white round them."""
    left, bottom, _, top = inked(marks)
    pixel = min(mark.box[3] - mark.box[1] for mark in marks) / 4
    picture = np.full([round((top - bottom) / pixel) + 32] * 2, 255, np.uint8)
    for box in (mark.box for mark in marks):
        x0, x1 = (round((x - left) / pixel) + 16 for x in box[::2])
        y0, y1 = (round((top - y) / pixel) + 16 for y in box[::-2])
        picture[y0:y1, x0:x1] = 0
    return picture
