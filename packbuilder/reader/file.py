"""The file itself: its bytes, within bounds, and what a parser of a broken one may not do.

Nothing outside this room sees a parser's exception: ``readable`` turns all of them into one
InputError that says what to do.
"""

from __future__ import annotations

import contextlib
import logging
from collections.abc import Iterator
from pathlib import Path

from packbuilder.errors import InputError, PackbuilderError
from packbuilder.files import read_file

MAX_BYTES = 100_000_000
MAX_PAGES = 5_000


def load(pdf: Path | bytes) -> bytes:
    """The bytes of a PDF. Raises InputError where it is missing, empty, too large or no PDF."""
    data, name = (pdf, "the PDF") if isinstance(pdf, bytes) else (_read(pdf), pdf.name)
    if not data.strip():
        raise InputError(f"{name}: is empty; build the pack again")
    if b"%PDF-" not in data[:1024]:
        raise InputError(f"{name}: is not a PDF (it does not begin with %PDF-)")
    if b"%%EOF" not in data[-2048:]:
        raise InputError(f"{name}: is cut short (its end is missing); build or copy it again")
    return data


def _read(pdf: Path) -> bytes:
    return read_file(pdf, MAX_BYTES, "a PDF of a pack")


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
