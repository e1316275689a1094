"""Prose: words made fit for print, broken into lines, and fitted to their place or refused."""

from __future__ import annotations

import re
import unicodedata
from functools import lru_cache

from packbuilder.layouts.papers import MM
from packbuilder.pages.faults import Source
from packbuilder.typography.typeface import face_for, typeface, width

NO_BREAK = "\N{NO-BREAK SPACE}"
_NUMBER, _AT_HEAD = re.compile(r" \d{1,3}[.,;:)]?"), 0.04  # a number after a blank; what it costs


@lru_cache(maxsize=5_000)  # a book is planned twice
def tidy(text: str) -> str:
    """The text as a typesetter sets it: single blanks, real quotes, dashes and ellipses.

    No-break spaces stay; marks without ink, such as soft hyphens, go.
    """
    text = unicodedata.normalize("NFC", text).replace("\N{NARROW NO-BREAK SPACE}", NO_BREAK)
    text = "".join(ch for ch in text if unicodedata.category(ch) != "Cf")
    text = re.sub(rf"[^\S{NO_BREAK}]+", " ", text).strip()
    text = re.sub(r"(?<= )--?(?= )", "–", text).replace("---", "—").replace("...", "…")
    text = re.sub(r"(?<=\w)--(?=\w)", "–", text)
    text = re.sub(r"'(?=\d\ds?\b)", "’", text)  # the '90s
    text = re.sub(r"(?<![\w/.,])(?:(\d+) )?(\d/\d)(?![\w/]|[.,]\d)", _fraction, text)
    text = re.sub(r"(^|[\s(\[{—–“‘\"])'", r"\1‘", text).replace("'", "’")
    return re.sub(r"(^|[\s(\[{—–‘])\"", r"\1“", text).replace('"', "”")


_FRACTIONS = {
    unicodedata.normalize("NFKD", sign).replace("\N{FRACTION SLASH}", "/"): sign
    for sign in "½⅓⅔¼¾⅛⅜⅝⅞"
}


def _fraction(found: re.Match[str]) -> str:
    """A fraction as one sign where there is one: ``2½`` for ``2 1/2``."""
    sign = _FRACTIONS.get(found[2])
    return f"{found[1] or ''}{sign}" if sign else found[0]


def checked(text: str, face: str, source: Source) -> str:
    """The text, tidied. Raises CannotSet for a letter that the face cannot print."""
    return printable(tidy(text), face, source)


def printable(text: str, face: str, source: Source) -> str:
    """The text as it is. Raises CannotSet for a letter that the face cannot print."""
    letter = _lacking(text, face)
    if letter is not None:
        name = unicodedata.name(letter, "without a name")
        raise source.fault(
            f"the type has no glyph for {letter!r} (U+{ord(letter):04X}, {name})",
            "use Latin, Greek or Cyrillic letters and common signs",
        )
    return text


@lru_cache(maxsize=5_000)
def _lacking(text: str, face: str) -> str | None:
    return typeface(face_for(text, face)).lacks(text)


@lru_cache(maxsize=5_000)
def break_lines(
    text: str, face: str, size: float, measure: float, ending: int = -1, strong: str = ""
) -> tuple[str, ...]:
    """The text in lines of at most ``measure`` points, with the evenest right edge.

    From the letter ``ending`` on it is set in the face ``strong``, if it has one.

    Of all ways to break, the one with the least sum of squared gaps is taken (the idea of Knuth
    and Plass, "Breaking paragraphs into lines", 1981, without stretch); a very short last line
    counts as a fault, and so does a number at a line's head. A word longer than the measure is
    broken inside.
    """
    words: list[str] = []  # each with its blank before it, but for later pieces of one word
    widths: list[float] = []
    at = 0
    for word in text.split(" "):
        own = strong if strong and at >= ending else face
        at += len(word) + 1
        first, *more = _pieces(word, own, size, measure) or [""]
        words += [f" {first}", *more]
        widths += [width(piece, own, size) for piece in (f" {first}", *more)]
    space = width(" ", face, size)
    count = len(words)
    best: list[float] = [0.0] * (count + 1)  # best[k]: the least cost of setting words[k:]
    end = [count] * (count + 1)
    for start in range(count - 1, -1, -1):
        best[start], taken = float("inf"), -space if words[start].startswith(" ") else 0.0
        for stop in range(start, count):
            taken += widths[stop]
            if taken > measure and stop > start:
                break
            cost = best[stop + 1] + _raggedness(measure, taken, start, stop, count)
            cost += _AT_HEAD * (stop + 1 < count and bool(_NUMBER.fullmatch(words[stop + 1])))
            if cost < best[start]:
                best[start], end[start] = cost, stop + 1
    lines, start = [], 0
    while start < count:
        lines.append("".join(words[start : end[start]]).strip(" "))
        start = end[start]
    return tuple(line for line in lines if line)


def _raggedness(measure: float, taken: float, start: int, stop: int, count: int) -> float:
    gap = max(0.0, (measure - taken) / measure)
    if stop + 1 < count:
        return gap * gap + 0.001  # the small addend: of equals, the fewest lines
    return 0.2 if start > 0 and taken < measure / 4 else 0.0


def _pieces(word: str, face: str, size: float, measure: float) -> list[str]:
    """A word whole, or broken where it must be: after a stroke or a hyphen if one is near."""
    pieces = []
    while word and width(word, face, size) > measure:
        most = min(len(word), int(measure / size * 8) + 1)  # no letter is under an eighth wide
        fits = next((k for k in range(most, 1, -1) if width(word[:k], face, size) <= measure), 1)
        ends = [max(word.rfind(mark, 0, fits) + 1 for mark in marks) for marks in ("/", "-.?&=_")]
        end = next((end for end in ends if end > fits / 2), fits)
        pieces.append(word[:end])
        word = word[end:]
    return [*pieces, word] if word else pieces


def fit_size(
    text: str, face: str, sizes: tuple[float, float], measure: float, source: Source
) -> float:
    """The largest type size, from the first down to the least of both, at which the text is one
    line.

    Raises CannotSet where it is too long even at the least size.
    """
    largest, least = sizes[0], min(sizes)
    at_one = width(text, face, 1)
    size = min(largest, measure / at_one if at_one else largest)
    if size < least:
        most = int(len(text) * size / least)
        raise source.fault(
            f"{len(text)} letters do not fit on a line of {measure / MM:.0f} mm, which holds about "
            f"{most}: {len(text) - most} too many",
            "shorten it, or take a layout with fewer grids to a page",
            len(text) - most,
        )
    return largest if size >= largest else int(size * 4) / 4  # quarter points


def fit_lines(
    text: str, face: str, size: float, measure: float, most: int, source: Source
) -> tuple[str, ...]:
    """The text in lines. Raises CannotSet where it needs more than ``most``."""
    lines = break_lines(text, face, size, measure)
    if len(lines) > most:
        letters = len(text) * max(most, 0) // len(lines)
        mend = f"shorten it to about {letters} letters" if letters else "leave it out"
        raise source.fault(
            f"{len(text)} letters take {len(lines)} lines of {measure / MM:.0f} mm, and there is "
            f"room for {max(most, 0)}: {len(text) - letters} letters too many",
            f"{mend}, or take a layout with fewer grids to a page",
            len(text) - letters,
        )
    return lines


def cut(text: str, face: str, size: float, measure: float) -> str:
    """The text, or as many of its words as fit, else of its letters, and an ellipsis."""
    if width(text, face, size) <= measure:
        return text
    words = text.split(" ")
    shorter = [" ".join(words[:k]) for k in range(len(words) - 1, 0, -1)]
    shorter += [words[0][:k] for k in range(len(words[0]) - 1, 0, -1)]
    short = (f"{part.rstrip(',;:–—')}…" for part in shorter)
    return next((one for one in short if width(one, face, size) <= measure), "…")
