"""The print shop's sheets trimmed: page boxes, crop marks and the cover's band checked and gone."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from packbuilder.readback.document import Drawing, Sheet, Stroke
from packbuilder.readback.editions.shift import moved, without_fill, without_strokes
from packbuilder.readback.links import Paper, Signposts
from packbuilder.readback.paper import MM
from packbuilder.readback.report import Finding
from packbuilder.readback.shapes import Box
from packbuilder.readback.view import Pixels, Window, rim_ink

if TYPE_CHECKING:
    from pypdf import PdfReader

SLUG = 10 * MM
"""How much larger than the trim box the media box is on each side: room for crop marks."""
MARK_FROM, MARK_TO, MARK_WIDTH = 4 * MM, 9 * MM, 0.25
"""Crop marks: how far outside the corners they begin and end, and their width in points."""
BAND = 9 * MM
"""How far the cover's band reaches into the trim."""
OFF = 0.1
"""How far (points) a box, a crop mark or the band may stand off its place."""
COARSE = 60.0
"""Resolution at which the sheet beyond the trim is looked at."""


@dataclass(frozen=True)
class Trimmed:
    """Pages measured from their trim boxes, where their pixels are found, and what is wrong."""

    sheets: tuple[Sheet, ...]
    posts: Signposts
    windows: tuple[Window, ...]
    findings: tuple[Finding, ...]


def trim(sheets: Sequence[Sheet], posts: Signposts, reader: PdfReader, bleed: float) -> Trimmed:
    """The pages of a print shop's file, as they are when cut. ``bleed`` is in millimetres."""
    findings: list[Finding] = []
    pages, windows, papers, origins = [], [], [], []
    for sheet, page in zip(sheets, reader.pages, strict=False):
        media, box = _box(page.mediabox), _box(page.trimbox)
        findings += _check_boxes(page, sheet.number, bleed * MM)
        turned = int(page.rotation) % 360
        papers.append(Paper(box[2] - box[0], box[3] - box[1], turned, cropped=False))
        origins.append((box[0], box[1]))
        left, bottom = box[0] - media[0], box[1] - media[1]
        cut = moved(replace(sheet, width=papers[-1].width, height=papers[-1].height),
                    -left, -bottom)  # fmt: skip
        marks, amiss = _crop_marks(cut)
        findings += amiss
        cut = without_strokes(cut, set(marks))
        window = Window(sheet.number, (left, bottom, left + cut.width, bottom + cut.height))
        if sheet.number == 1:
            band, amiss = _band(cut, bleed * MM)
            findings += amiss
            if band:
                cut = without_fill(cut, band)
                window = window._replace(boxes=((0.0, 0.0, BAND + 1, cut.height),))
        pages.append(cut)
        windows.append(window)
    posts = replace(_moved_posts(posts, origins), papers=tuple(papers))
    return Trimmed(tuple(pages), posts, tuple(windows), tuple(findings))


def _box(box: Any) -> Box:
    return float(box.left), float(box.bottom), float(box.right), float(box.top)


def _check_boxes(page: Any, number: int, bleed: float) -> Iterator[Finding]:
    """The page's boxes lie round one another as a press needs them."""
    if "/TrimBox" not in page or "/BleedBox" not in page:
        yield Finding("page-box", "the page has no trim box or no bleed box", number)
        return
    trim = _box(page.trimbox)
    rooms = (
        ("media", page.mediabox, SLUG),
        ("crop", page.cropbox, SLUG),
        ("bleed", page.bleedbox, bleed),
    )
    for name, box, room in rooms:
        due = (trim[0] - room, trim[1] - room, trim[2] + room, trim[3] + room)
        if any(abs(a - b) > OFF for a, b in zip(_box(box), due, strict=True)):
            yield Finding(
                "page-box",
                f"the {name} box does not lie {room / MM:.0f} mm outside the trim box on every "
                "side",
                number,
            )


def _crop_marks(sheet: Sheet) -> tuple[list[Stroke], list[Finding]]:
    """The crop marks that stand where they must, and what is wrong with them."""
    found: list[Stroke] = []
    findings = []
    for x, out_x, side in ((0.0, -1, "left"), (sheet.width, 1, "right")):
        for y, out_y, end in ((0.0, -1, "lower"), (sheet.height, 1, "upper")):
            level = (x + out_x * MARK_FROM, y, x + out_x * MARK_TO, y)
            upright = (x, y + out_y * MARK_FROM, x, y + out_y * MARK_TO)
            for ends, way in ((level, "level"), (upright, "upright")):
                ones = [s for s in sheet.strokes if _is_mark(s, ends)]
                found += ones
                if len(ones) != 1:
                    told = "is missing or elsewhere" if not ones else f"is there {len(ones)} times"
                    findings.append(
                        Finding(
                            "crop-mark",
                            f"the {way} crop mark at the {end} {side} corner {told}",
                            sheet.number,
                        )
                    )
    for s in sheet.strokes:
        beyond = max(s.x0, s.x1) < 0 or min(s.x0, s.x1) > sheet.width
        beyond |= max(s.y0, s.y1) < 0 or min(s.y0, s.y1) > sheet.height
        if beyond and s not in found:
            findings.append(
                Finding("crop-mark", "a line outside the trim is no crop mark", sheet.number)
            )
    return found, findings


def _is_mark(stroke: Stroke, ends: Box) -> bool:
    x0, x1 = sorted((ends[0], ends[2]))
    y0, y1 = sorted((ends[1], ends[3]))
    sx, sy = sorted((stroke.x0, stroke.x1)), sorted((stroke.y0, stroke.y1))
    placed = all(abs(a - b) <= OFF for a, b in zip((*sx, *sy), (x0, x1, y0, y1), strict=True))
    inked = stroke.colour is not None and max(stroke.colour) < 0.05
    return placed and inked and not stroke.dashed and abs(stroke.width - MARK_WIDTH) <= 0.05


def _band(sheet: Sheet, bleed: float) -> tuple[Drawing | None, list[Finding]]:
    """The black band along the bound side of the cover."""
    due = (-bleed, -bleed, BAND, sheet.height + bleed)
    for d in sheet.drawings:
        black = d.filled and d.fill is not None and max(d.fill) < 0.05
        if black and all(abs(a - b) <= OFF for a, b in zip(d.box, due, strict=True)):
            return d, []
    told = "no black band bleeds off the cover's bound side, from the bleed's edge to 9 mm inside"
    return None, [Finding("bleed", told, sheet.number)]


def _moved_posts(posts: Signposts, origins: Sequence[tuple[float, float]]) -> Signposts:
    """Links and places as they lie on the trimmed pages."""

    def lower(value: float | None, by: float) -> float | None:
        return None if value is None else value - by

    def place(one: Any) -> Any:
        if one is None or one.page is None:
            return one
        x, y = origins[one.page - 1]
        return one._replace(left=lower(one.left, x), top=lower(one.top, y))

    def link(one: Any) -> Any:
        x, y = origins[one.page - 1]
        a, b, c, d = one.box
        return one._replace(box=(a - x, b - y, c - x, d - y), place=place(one.place))

    return replace(
        posts,
        places={name: place(one) for name, one in posts.places.items()},
        links=tuple(link(one) for one in posts.links),
    )


def check_slug(pixels: Pixels, windows: Sequence[Window], bleed: float) -> Iterator[Finding]:
    """Beyond the trim, nothing is inked but the crop marks and the cover's band."""
    for window in windows:
        assert window.box is not None
        x0, y0, x1, y1 = window.box
        width, height = x1 - x0, y1 - y0
        whole = Window(window.page, (0.0, 0.0, x1 + x0, y1 + y0))
        lines = []
        for x, out_x in ((x0, -1), (x1, 1)):
            for y, out_y in ((y0, -1), (y1, 1)):
                a, b = MARK_FROM - 0.5, MARK_TO + 0.5
                lines.append((((x + out_x * a, y), (x + out_x * b, y)), MARK_WIDTH))
                lines.append((((x, y + out_y * a), (x, y + out_y * b)), MARK_WIDTH))
        room = bleed * MM + 1
        boxes = [(x0 - room, y0 - room, x0 + BAND + 1, y1 + room)] if window.boxes else []
        view = pixels.through(whole._replace(lines=tuple(lines), boxes=tuple(boxes)), COARSE)
        for x, y in rim_ink(view, min(x0, width, height)):
            yield Finding(
                "bleed",
                f"there is ink {x - x0:.0f}, {y - y0:.0f} points from the trim's lower left "
                "corner, where nothing but crop marks may stand",
                window.page,
            )
