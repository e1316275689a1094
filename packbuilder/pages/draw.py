"""Draw: a plan becomes a PDF. Nothing is decided here but how to say it in PDF operators."""

from __future__ import annotations

import contextlib
import hashlib
from collections.abc import Callable, Iterator
from typing import Any, BinaryIO

from reportlab import rl_config
from reportlab.pdfbase import pdfdoc, pdfmetrics
from reportlab.pdfgen.canvas import Canvas

from packbuilder import __version__
from packbuilder.pages import items as it
from packbuilder.pages.typeface import kerns, typeface

_RL_SETTINGS = {
    "invariant": 1,
    "pageCompression": 1,
    "useA85": 0,  # ASCII-armour would add a fifth to the file
    "wrapA85": 0,
    "pdfMultiLine": 0,
    "canvas_baseColor": None,
    "documentLang": None,
    "defaultImageCaching": 0,
    "reserveTTFNotdef": 1,
    "errorOnDuplicatePageLabelPage": 0,
}
"""What of reportlab's configuration reaches the file: it may come from a user's environment."""


def write_pdf(plan: it.Plan, out: BinaryIO) -> None:
    """Write a plan as a PDF. The same plan gives the same bytes."""
    with _settled():
        canvas = Canvas(
            out,
            pagesize=(plan.width, plan.height),
            pageCompression=1,
            invariant=1,
            pdfVersion=(1, 7),
            initialFontName=_registered(plan.face),
            lang="en",
        )
        _describe(canvas, plan)
        pen = _Pen(canvas)
        for page in plan.pages:
            for item in page.items:
                pen.draw(item)
            canvas.showPage()
        _name_destinations(canvas)
        for mark in plan.bookmarks:
            canvas.addOutlineEntry(mark.title, mark.to, mark.level, closed=mark.level == 0)
        canvas.save()


@contextlib.contextmanager
def _settled() -> Iterator[None]:
    """reportlab set as we need it, and set back at the end."""
    before = {name: getattr(rl_config, name) for name in _RL_SETTINGS}
    try:
        for name, value in _RL_SETTINGS.items():
            setattr(rl_config, name, value)
        yield
    finally:
        for name, value in before.items():
            setattr(rl_config, name, value)


def _registered(face: str) -> str:
    """Any embedded face as the canvas's first: its default would put an unembedded one in."""
    name = f"packbuilder-{face}"
    if name not in pdfmetrics.getRegisteredFontNames():
        pdfmetrics.registerFont(_named(face, name))
    return name


def _named(face: str, name: str) -> Any:
    from reportlab.pdfbase.ttfonts import TTFont

    from packbuilder.fonts import font_file

    return TTFont(name, str(font_file(face)), asciiReadable=False)


def _describe(canvas: Canvas, plan: it.Plan) -> None:
    """Metadata, page labels, what a viewer is asked to do, and the file's own identity."""
    document = canvas._doc
    year, month = plan.dated
    stamp = f"D:{year:04}{month:02}01000000Z"
    document.setDateFormatter(lambda *_: stamp)
    canvas.setTitle(plan.title)
    canvas.setAuthor(plan.author)
    canvas.setSubject(plan.subject)
    canvas.setKeywords(list(plan.keywords))
    canvas.setCreator(f"packbuilder {__version__}")
    canvas.setProducer("ReportLab")
    canvas.addPageLabel(0, prefix="Cover")
    canvas.addPageLabel(1, style="ARABIC", start=2)
    canvas.setViewerPreference("PrintScaling", "None")  # cells keep their millimetres
    canvas.setViewerPreference("DisplayDocTitle", "true")
    canvas.showOutline()
    # reportlab's /ID knows only the metadata and the time, which an environment may set; ours knows
    # the pages, so that two printings of one pack do not share theirs
    document.signature = hashlib.md5(usedforsecurity=False)
    document.updateSignature(hashlib.sha256(repr(plan).encode()).digest())


def _name_destinations(canvas: Canvas) -> None:
    """Make destinations known by name outside the file: reportlab keeps their names to itself."""
    pairs: list[Any] = []
    for name in sorted(canvas._destinations):  # a name tree is in the order of its bytes
        pairs += [pdfdoc.PDFString(name), canvas._destinations[name]]
    tree = pdfdoc.PDFDictionary({"Names": pdfdoc.PDFArray(pairs)})
    canvas._doc.Catalog.Names = pdfdoc.PDFDictionary({"Dests": tree})


def _number(value: float) -> str:
    """A coordinate to a hundredth of a point, as short as it goes."""
    return f"{round(value, 2) + 0.0:.6g}"  # adding 0 makes a negative zero plain


class _Pen:
    """Writes items into the open page of a canvas."""

    def __init__(self, canvas: Canvas) -> None:
        self._canvas = canvas
        self._known: dict[tuple[str, str], list[tuple[str, bytes]]] = {}
        self._draw: dict[type, Callable[[Any], None]] = {
            it.Text: self._text,
            it.Glyphs: self._glyphs,
            it.Strokes: self._strokes,
            it.Fills: self._fills,
            it.Rings: self._rings,
            it.Lozenges: self._lozenges,
            it.Trace: self._trace,
            it.Disc: self._disc,
            it.Bow: self._bow,
            it.Link: self._link,
            it.WebLink: self._web_link,
            it.Mark: self._mark,
        }

    def draw(self, item: it.Item) -> None:
        """Write one item."""
        self._draw[type(item)](item)

    def _say(self, *operators: str) -> None:
        self._canvas._code.append(" ".join(operators))

    def _coded(self, text: str, face: str) -> list[tuple[str, bytes]]:
        """The text in runs, each with its font's resource name and its codes in that font."""
        known = self._known.get((text, face))
        if known is None:
            document, font = self._canvas._doc, typeface(face).font
            known = self._known[text, face] = [
                (font.getSubsetInternalName(subset, document), codes)
                for subset, codes in font.splitString(text, document)
            ]
        return known

    def _text(self, item: it.Text) -> None:
        say = ["BT", f"{_number(item.grey)} g", f"1 0 0 1 {_number(item.x)} {_number(item.y)} Tm"]
        pairs = (*kerns(item.text, item.face), 0)
        if item.spacing:
            pairs = (0,) * len(pairs)  # opened letters stand at even distances
            say.append(f"{_number(item.spacing)} Tc")
        start = 0
        for font, codes in self._coded(item.text, item.face):
            say.append(f"{font} {_number(item.size)} Tf")
            say.append(_shown(codes, pairs[start : start + len(codes)]))
            start += len(codes)
        if item.spacing:
            say.append("0 Tc")
        self._say(*say, "ET")

    def _glyphs(self, item: it.Glyphs) -> None:
        say = ["BT", f"{_number(item.grey)} g"]
        current = ""
        for x, y, letter in item.places:
            font, codes = self._coded(letter, item.face)[0]
            if font != current:
                say.append(f"{font} {_number(item.size)} Tf")
                current = font
            say.append(f"1 0 0 1 {_number(x)} {_number(y)} Tm {_string(codes)} Tj")
        self._say(*say, "ET")

    def _strokes(self, item: it.Strokes) -> None:
        say = [f"{_number(item.grey)} G {_number(item.width)} w {2 if item.square else 0} J"]
        for x0, y0, x1, y1 in item.segments:
            say.append(f"{_number(x0)} {_number(y0)} m {_number(x1)} {_number(y1)} l")
        self._say(*say, "S")

    def _fills(self, item: it.Fills) -> None:
        if item.boxes:
            say = [f"{_number(item.grey)} g"]
            for left, bottom, right, top in item.boxes:
                say.append(
                    f"{_number(left)} {_number(bottom)} {_number(right - left)} "
                    f"{_number(top - bottom)} re"
                )
            self._say(*say, "f")

    def _rings(self, item: it.Rings) -> None:
        say = [f"{_number(item.grey)} G {_number(item.width)} w"]
        say += [_rounded(box, item.radius) for box in item.boxes]
        self._say(*say, "S")

    def _lozenges(self, item: it.Lozenges) -> None:
        reach = item.reach
        say = [f"{_number(item.grey)} {'g' if item.width is None else 'G'}"]
        if item.width is not None:
            say.append(f"{_number(item.width)} w")
        for x, y in item.centres:
            corners = ((x - reach, y), (x, y + reach), (x + reach, y), (x, y - reach))
            path = " l ".join(f"{_number(a)} {_number(b)}" for a, b in corners[1:])
            say.append(f"{_number(corners[0][0])} {_number(corners[0][1])} m {path} l h")
        self._say(*say, "f" if item.width is None else "S")

    def _trace(self, item: it.Trace) -> None:
        say = ["q", *_inks(item.width, item.grey, item.fill)]
        say.append(f"{int(item.round_ends)} J")  # grids leave square ends behind them
        if item.round_joints:
            say.append("1 j")
        say += _dashed(item.dash, item.phase)
        for first, *rest in item.runs:
            say.append(f"{_points(first)} m")
            say += [f"{_points(point)} l" for point in rest]
            say += ["h"] if item.closed else []
        self._say(*say, _paint(item.width, item.fill, holes=len(item.runs) > 1), "Q")

    def _disc(self, item: it.Disc) -> None:
        x, y, r = item.x, item.y, item.radius
        box = (x - r, y - r, x + r, y + r)
        say = ["q", *_inks(item.width, item.grey, item.fill), _circle(box)]
        self._say(*say, _paint(item.width, item.fill), "Q")

    def _bow(self, item: it.Bow) -> None:
        start, *controls = item.curve
        say = ["q", *_inks(item.width, 0.0, None), "1 J", *_dashed(item.dash, 0.0)]
        say.append(f"{_points(start)} m {_points(*controls)} c S")
        one, tip, other = item.head  # drawn as curves, so that a whole link is one kind of path
        say.append(f"[] 0 d {_points(one)} m {_points(one, tip, tip)} c")
        say.append(f"{_points(tip, other, other)} c S")
        self._say(*say, "Q")

    def _link(self, item: it.Link) -> None:
        self._canvas.linkAbsolute(item.words, item.to, item.box)

    def _web_link(self, item: it.WebLink) -> None:
        self._canvas.linkURL(item.url, item.box)

    def _mark(self, item: it.Mark) -> None:
        self._canvas.bookmarkPage(item.name, fit="XYZ", left=item.x, top=item.y, zoom=0)


_ESCAPES = {ord(mark): f"\\{mark}" for mark in "()\\"} | {
    code: f"\\{code:03o}" for code in (*range(32), *range(127, 256))
}


def _string(codes: bytes) -> str:
    return "(" + codes.decode("latin-1").translate(_ESCAPES) + ")"


def _shown(codes: bytes, pairs: tuple[int, ...]) -> str:
    """The operator that shows codes; TJ where pairs are kerned (its numbers take away)."""
    if not any(pairs):
        return f"{_string(codes)} Tj"
    parts, start = [], 0
    for k, kern in enumerate(pairs, start=1):
        if kern:
            parts += [_string(codes[start:k]), str(-kern)]
            start = k
    if start < len(codes):
        parts.append(_string(codes[start:]))
    return f"[{' '.join(parts)}] TJ"


def _inks(width: float | None, grey: float, fill: float | None) -> list[str]:
    """The operators that set the line and the fill of a path."""
    say = [] if width is None else [f"{_number(grey)} G {_number(width)} w"]
    return say if fill is None else [*say, f"{_number(fill)} g"]


def _dashed(dash: tuple[float, ...], phase: float) -> list[str]:
    return [f"[{' '.join(_number(part) for part in dash)}] {_number(phase)} d"] if dash else []


def _paint(width: float | None, fill: float | None, *, holes: bool = False) -> str:
    """The operator that paints a path: stroked, filled, or filled and then stroked."""
    if fill is None:
        return "S"
    return ("f" if width is None else "B") + ("*" if holes else "")


def _points(*points: it.Point) -> str:
    return " ".join(_number(value) for point in points for value in point)


def _circle(box: it.Box) -> str:
    """A circle in four Bezier curves; its box is a square."""
    left, bottom, right, top = box
    x, y, pull = (left + right) / 2, (bottom + top) / 2, (right - left) / 2 * 0.5523
    return " ".join(
        (
            _points((right, y)), "m",
            _points((right, y + pull), (x + pull, top), (x, top)), "c",
            _points((x - pull, top), (left, y + pull), (left, y)), "c",
            _points((left, y - pull), (x - pull, bottom), (x, bottom)), "c",
            _points((x + pull, bottom), (right, y - pull), (right, y)), "c h",
        )
    )  # fmt: skip


def _rounded(box: it.Box, radius: float) -> str:
    """A box with round corners, each a quarter circle in one Bezier curve."""
    left, bottom, right, top = box
    pull = radius * 0.4477  # 1 - 0.5523, the usual approximation of a quarter circle

    def points(*values: float) -> str:
        return " ".join(_number(value) for value in values)

    return " ".join(
        (
            points(left + radius, bottom), "m",
            points(right - radius, bottom), "l",
            points(right - pull, bottom, right, bottom + pull, right, bottom + radius), "c",
            points(right, top - radius), "l",
            points(right, top - pull, right - pull, top, right - radius, top), "c",
            points(left + radius, top), "l",
            points(left + pull, top, left, top - pull, left, top - radius), "c",
            points(left, bottom + radius), "l",
            points(left, bottom + pull, left + pull, bottom, left + radius, bottom), "c h",
        )
    )  # fmt: skip
