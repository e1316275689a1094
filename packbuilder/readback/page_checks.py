"""Pages and their order, held against the house style. Each check takes plain values."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence

from packbuilder.editions import Edition
from packbuilder.readback.colour import CONTRAST, contrast, is_white
from packbuilder.readback.document import Sheet
from packbuilder.readback.links import Paper
from packbuilder.readback.paper import MM, PAPERS
from packbuilder.readback.report import Finding
from packbuilder.readback.sections import ANSWERS, COVER, ORDER, PUZZLES, Run
from packbuilder.readback.typefaces import ink_of

SAFE = 10 * MM
"""No ink nearer to the paper's edge: home printers leave up to 7 mm bare."""


def check_papers(papers: Sequence[Paper], wanted: str) -> Iterator[Finding]:
    """Every page is of the pack's paper, upright and uncropped."""
    width, height = PAPERS.get(wanted, papers[0][:2])
    for number, paper in enumerate(papers, start=1):
        if abs(paper.width - width) > 1 or abs(paper.height - height) > 1:
            yield Finding(
                "paper",
                f"the page is {paper.width:.0f} x {paper.height:.0f} points; the pack's paper is "
                f"{wanted}, {width:.0f} x {height:.0f}",
                number,
            )
        if paper.turned:
            yield Finding("paper", f"the page is turned by {paper.turned} degrees", number)
        if paper.cropped:
            yield Finding("paper", "the page's boxes hide part of it or shift it", number)


def check_folios(folios: Sequence[tuple[int, int | None]]) -> Iterator[Finding]:
    """Every page but the cover prints its own physical number."""
    for number, folio in folios:
        if number > 1 and folio != number:
            printed = "prints no number in its footer" if folio is None else f"prints {folio}"
            yield Finding(
                "page-missing",
                f"this is physical page {number} and it {printed}: pages are missing, doubled or "
                "out of order",
                number,
            )


def check_labels(labels: Sequence[str]) -> Iterator[Finding]:
    """The first label is Cover, the others are the folios."""
    for number, label in enumerate(labels, start=1):
        due = COVER if number == 1 else str(number)
        if label != due:
            yield Finding("label", f"the page's label is {label!r} and must be {due!r}", number)


def check_sections(sections: Sequence[str], absent: Collection[str]) -> Iterator[Finding]:
    """The sections (one name a page) are all there, in order, and answers face no puzzle.

    ``absent`` are those for which the book has nothing to print.
    """
    seen: list[str] = []
    for number, name in enumerate(sections, start=1):
        if name not in ORDER:
            yield Finding(
                "section", f"the running head {name!r} is not the name of a section", number
            )
        elif not seen or seen[-1] != name:
            if name in seen or any(ORDER.index(name) < ORDER.index(s) for s in seen):
                yield Finding("section", f"{name} stands out of order", number)
            seen.append(name)
    for name in ORDER:
        if name not in absent and name not in seen:
            yield Finding("page-missing", f"no page has the running head {name!r}")
        elif name in absent and name in seen:
            page = list(sections).index(name) + 1
            yield Finding("section", f"the book has nothing to print under {name!r}", page)
    for number, name in enumerate(sections, start=1):
        facing = sections[number - 2] if number % 2 and number > 1 else ""
        if {name, facing} == {PUZZLES, ANSWERS}:
            yield Finding(
                "section",
                f"answers face the puzzles of page {number - 1}: begin them on the next leaf",
                number,
            )


def check_margins(sheet: Sheet) -> Iterator[Finding]:
    """Nothing that shows stands nearer to an edge than SAFE, by the file's own coordinates."""
    worst: dict[str, tuple[float, str]] = {}

    def note(x0: float, y0: float, x1: float, y1: float, what: str) -> None:
        sides = {"left": x0, "lower": y0, "right": sheet.width - x1, "upper": sheet.height - y1}
        for side, room in sides.items():
            if room < min(SAFE - 0.1, worst.get(side, (SAFE, ""))[0]):
                worst[side] = (room, what)

    for g in sheet.glyphs:
        if g.text.strip():
            note(*ink_of(g), f"the text {g.text!r}")
    for s in sheet.strokes:
        if not is_white(s.colour):
            half = s.width / 2
            note(
                min(s.x0, s.x1) - half,
                min(s.y0, s.y1) - half,
                max(s.x0, s.x1) + half,
                max(s.y0, s.y1) + half,
                "a line",
            )
    for p in sheet.patches:
        if not is_white(p.colour):
            note(p.x0, p.y0, p.x1, p.y1, "a fill or an image")
    for side, (room, what) in worst.items():
        yield Finding(
            "margin",
            f"{what} stands {room / MM:.1f} mm from the {side} edge; "
            f"{SAFE / MM:.0f} mm must stay bare",
            sheet.number,
        )


def check_sizes(sheet: Sheet, runs: Sequence[Run], edition: Edition) -> Iterator[Finding]:
    """Text outside grids, and page furniture, is as large as the edition has it."""
    for run in runs:
        furniture = abs(run.y - runs[0].y) <= 0.5 or abs(run.y - runs[-1].y) <= 0.5
        least = edition.furniture if furniture else edition.text
        size = min(g.size for g in run.glyphs if g.text.strip())
        if size < least - 0.05:
            yield Finding(
                "small-text",
                f"{run.text[:40]!r} is set in {size:.1f} pt; the least is {least:g} pt",
                sheet.number,
            )


def check_modes(sheet: Sheet) -> Iterator[Finding]:
    """All text is plainly filled: none is invisible, outlined or a clipping path."""
    hidden = [g for g in sheet.glyphs if g.mode and g.text.strip()]
    if hidden:
        x, y = hidden[0].x, hidden[0].y
        yield Finding(
            "hidden-text",
            f"{len(hidden)} characters are in the file and not plainly inked, the first "
            f"({hidden[0].text!r}) at {x:.0f}, {y:.0f} points (render mode {hidden[0].mode})",
            sheet.number,
        )


def check_contrast(
    sheet: Sheet, runs: Sequence[tuple[Run, float]], *, dark: bool = False
) -> Iterator[Finding]:
    """All text stands out from its ground (grey, 0 to 1) by CONTRAST at least."""
    for run, ground in runs:
        colours = {g.colour for g in run.glyphs if g.text.strip()}
        ratios = [contrast(c, (ground,) * 3, dark=dark) for c in colours if c is not None]
        if len(ratios) < len(colours):
            yield Finding(
                "contrast", f"{run.text[:40]!r} is set in a pattern, not in a colour", sheet.number
            )
        elif min(ratios) < CONTRAST - 0.05:
            yield Finding(
                "contrast",
                f"{run.text[:40]!r} stands out from its ground by {min(ratios):.1f} to 1; the "
                f"least is {CONTRAST:g} to 1",
                sheet.number,
            )
