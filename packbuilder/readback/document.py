"""The file itself: opened once, whatever it holds, and handed on as plain marks and pixels.

Nothing outside this room sees a parser's exception: ``readable`` turns all of them into one
InputError that says what to do.
"""

from __future__ import annotations

import contextlib
import io
import logging
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from packbuilder.errors import InputError, PackbuilderError

if TYPE_CHECKING:
    from pypdf import PdfReader

MAX_BYTES = 100_000_000
MAX_PAGES = 1_000
MAX_MARKS = 100_000
"""Glyphs and strokes on one page; a full page of small type has about 6,000."""

FURNITURE, UNMARKED = -1, -2
"""Tags of content that a screen reader skips, and of content that says neither what it is."""

Colour = tuple[float, float, float]
"""Red, green, blue, 0 to 1."""


class Glyph(NamedTuple):
    """One printed character.

    ``x0 y0 x1 y1`` is the box of its line height, ``x y`` its origin on the baseline, in points
    from the page's lower left corner. ``size`` is the height of the em as printed. ``turned`` is
    True unless it stands upright and unsqueezed. ``colour`` is None where it is no plain colour.
    ``mode`` is the text render mode: 0 fills; 3 is invisible. ``tag`` is the number of the marked
    content that it belongs to, FURNITURE, or UNMARKED.
    """

    text: str
    face: str
    size: float
    x0: float
    y0: float
    x1: float
    y1: float
    x: float
    y: float
    turned: bool
    colour: Colour | None
    mode: int
    tag: int = UNMARKED


class Stroke(NamedTuple):
    """One straight stroked line, with its width as printed."""

    x0: float
    y0: float
    x1: float
    y1: float
    width: float
    colour: Colour | None
    dashed: bool = False


class Patch(NamedTuple):
    """The box of a filled shape, of a curve, or (without a colour) of an image."""

    x0: float
    y0: float
    x1: float
    y1: float
    colour: Colour | None


class Pen(NamedTuple):
    """How a path is stroked, in points as printed. No ``dash`` is a whole line.

    ``cap`` says how lines and dashes end: 0 plain, 1 round, 2 square and longer by half a width;
    ``join`` how they turn: 0 in a point, 1 round, 2 cut off.
    """

    colour: Colour | None
    width: float
    dash: tuple[float, ...] = ()
    phase: float = 0.0
    cap: int = 0
    join: int = 0


class Track(NamedTuple):
    """One subpath, as points along it; a closed one does not give its first point again."""

    points: tuple[tuple[float, float], ...]
    closed: bool
    curved: bool


class Drawing(NamedTuple):
    """One painted path. ``pen`` is None where it is not stroked.

    ``filled`` says whether it is filled, with ``fill``, which is None where that is no plain
    colour; the page's drawings stand in the order in which they were painted.
    """

    tracks: tuple[Track, ...]
    pen: Pen | None
    filled: bool
    fill: Colour | None

    @property
    def box(self) -> tuple[float, float, float, float]:
        """Left, bottom, right, top of its points."""
        xs = [x for track in self.tracks for x, _ in track.points]
        ys = [y for track in self.tracks for _, y in track.points]
        return min(xs), min(ys), max(xs), max(ys)


@dataclass(frozen=True)
class Sheet:
    """What one page holds, by the first eye. ``number`` counts from 1.

    ``drawn`` are the tags of what is painted and is no text; ``said`` are the words that marked
    content is to be told by in place of its own, by tag.
    """

    number: int
    width: float
    height: float
    glyphs: tuple[Glyph, ...]
    strokes: tuple[Stroke, ...]
    patches: tuple[Patch, ...]
    drawings: tuple[Drawing, ...] = ()
    drawn: frozenset[int] = frozenset()
    said: tuple[tuple[int, str], ...] = ()


def load(pdf: Path | bytes) -> bytes:
    """The bytes of a PDF. Raises InputError where it is missing, empty, too large or no PDF."""
    if isinstance(pdf, bytes):
        data, name = pdf, "the PDF"
    else:
        name = pdf.name
        try:
            if pdf.stat().st_size > MAX_BYTES:
                raise InputError(_too_large(name, pdf.stat().st_size))
            data = pdf.read_bytes()
        except OSError as fault:
            raise InputError(f"{pdf}: {fault.strerror or fault}; name a PDF file") from fault
    if len(data) > MAX_BYTES:
        raise InputError(_too_large(name, len(data)))
    if not data.strip():
        raise InputError(f"{name}: is empty; build the pack again")
    if b"%PDF-" not in data[:1024]:
        raise InputError(f"{name}: is not a PDF (it does not begin with %PDF-)")
    if b"%%EOF" not in data[-2048:]:
        raise InputError(f"{name}: is cut short (its end is missing); build or copy it again")
    return data


def _too_large(name: str, size: int) -> str:
    return (
        f"{name}: has {size / 1e6:.0f} MB; the read-back takes {MAX_BYTES / 1e6:.0f} MB at most, "
        "and a pack's pages have about one"
    )


@contextlib.contextmanager
def readable(what: str) -> Iterator[None]:
    """Turn whatever a parser raises into an InputError, and keep its warnings off the terminal."""
    loggers = [logging.getLogger(name) for name in ("pypdf", "pdfminer", "pdfplumber")]
    levels = [logger.level for logger in loggers]
    for logger in loggers:
        logger.setLevel(logging.CRITICAL)
    try:
        yield
    except PackbuilderError:
        raise
    except Exception as fault:  # parsers of a broken file raise anything at all
        reason = " ".join(str(fault).split())[:200] or type(fault).__name__
        raise InputError(
            f"the PDF cannot be read: {what} is damaged ({reason}); build it again"
        ) from fault
    finally:
        for logger, level in zip(loggers, levels, strict=True):
            logger.setLevel(level)


def structure(data: bytes) -> PdfReader:
    """The file's objects, by pypdf. Raises InputError for an encrypted, broken or huge file."""
    import pypdf

    with readable("its structure"):
        reader = pypdf.PdfReader(io.BytesIO(data))
        if reader.is_encrypted:
            raise InputError("the PDF is encrypted; read back the file as it was built")
        if not reader.pages:
            raise InputError("the PDF has no pages; build it again")
        if len(reader.pages) > MAX_PAGES:
            raise InputError(f"the PDF has {len(reader.pages)} pages; {MAX_PAGES} can be read")
        for page in reader.pages:
            page.get_contents()  # pypdf bounds what a stream may unpack to; the others do not
    return reader


def sheets(data: bytes) -> tuple[Sheet, ...]:
    """Every page's glyphs, strokes and filled boxes, by pdfplumber. Raises InputError."""
    import pdfplumber

    from packbuilder.readback.marks import marks_of

    with readable("its content"), pdfplumber.open(io.BytesIO(data)) as pdf:
        return tuple(marks_of(pdf, page, MAX_MARKS) for page in pdf.pages)
