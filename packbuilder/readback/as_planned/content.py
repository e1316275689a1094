"""Content: the operators of a page become marks. Those that the press has no use for are refused.

What is left is small: grey, pens, text set letter by letter or line by line, straight runs and
curves, pages moved aside, marked content (ISO 32000-1, 8.5, 9.4, 14.6). No clip, image, form,
pattern, transparency, transformation or way of text but plain ink.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from copy import copy
from dataclasses import dataclass
from typing import Any

from packbuilder.readback.as_planned.marks import BACK, END, Mark, Pen, begin, line, moved, path
from packbuilder.readback.as_planned.syntax import Damaged

_WORD = re.compile(rb"\[[^\[\]]*\]|<<[^<>]*>>|<[^<>]*>|/[^ /\[\]<>\n]+|[^ /\[\]<>\n]+|[^ \n]")
_STRANGE = re.compile(rb"[^ -~\n]")
_NUMBER = re.compile(rb"-?\d{1,6}(?:\.\d{1,2})?")
_SHOWN = re.compile(rb"<((?:[0-9a-f]{2})*)>|(-?\d{1,5})|(.)")
_CONTENT = re.compile(rb"<</MCID (\d{1,6})>>")
_DASH = re.compile(rb"\[[\d. ]*\]")
_DEEPEST = 4  # states saved within each other; the press goes to 2

Fonts = Mapping[bytes, tuple[str, Sequence[str]]]
"""By the name that a page uses: the face, and the letter of each code."""


@dataclass(slots=True)
class _State:
    """What is saved and restored; the beginning by ISO 32000-1, 8.4.1 and 9.3.1."""

    fill: float = 0.0
    grey: float = 0.0
    width: float = 1.0
    ends: int = 0
    joints: int = 0
    dash: tuple[float, ...] = ()
    phase: float = 0.0
    font: bytes | None = None
    size: float = 0.0
    spacing: float = 0.0
    moved: bool = False


class _Numbers(dict[bytes, float]):
    """Numbers by their spelling."""

    def __missing__(self, word: bytes) -> float:
        if not _NUMBER.fullmatch(word):
            raise Damaged(f"{word[:20].decode('latin-1')!r} stands where a number must stand")
        value = self[word] = float(word)
        return value


class Reader:
    """Reads one page after another; ``used`` are the fonts that have set a letter so far."""

    def __init__(self, fonts: Fonts) -> None:
        self._fonts = fonts
        self.used: set[bytes] = set()

    def marks(self, content: bytes) -> list[Mark]:
        """The marks of a page, in the order of painting. Raises Damaged."""
        if _STRANGE.search(content):
            raise Damaged("the page is told in letters that the press does not use")
        self._marks: list[Mark] = []
        self._state, self._saved = _State(), list[_State]()
        self._ops, self._points = list[str](), list[float]()
        self._depth, self._text_depth = 0, -1  # of marked content; the latter within text
        self._numbers = _Numbers()
        self._forget()
        operands, word = list[bytes](), b""
        for word in _WORD.findall(content):
            known = _OPERATORS.get(word)
            if known is None:
                operands.append(word)
                continue
            count, act = known
            if len(operands) != count:
                break
            act(self, word, operands)
            operands = []
        else:
            if not (operands or self._saved or self._ops or self._depth or self._text_depth >= 0):
                return self._marks
        words = b" ".join([*operands, word])[:60].decode("ascii")
        raise Damaged(f"the page does what the press does not do: {words}")

    # --- state ---

    def _save(self, word: bytes, _: list[bytes]) -> None:
        self._outside(word)
        if len(self._saved) == _DEEPEST:
            raise Damaged("states of the page are nested too deep")
        self._saved.append(copy(self._state))

    def _restore(self, word: bytes, _: list[bytes]) -> None:
        self._outside(word)
        if not self._saved:
            raise Damaged("a state is restored that was not saved")
        before, self._state = self._state, self._saved.pop()
        if before.moved and not self._state.moved:
            self._marks.append(BACK)

    def _move(self, word: bytes, operands: list[bytes]) -> None:
        self._outside(word)
        if operands[:4] != [b"1", b"0", b"0", b"1"] or self._state.moved or not self._saved:
            raise Damaged("the page is turned, stretched or moved twice")
        self._marks.append(moved(*self._all(operands[4:])))
        self._state.moved = True

    def _set_number(self, word: bytes, operands: list[bytes]) -> None:
        setattr(self._state, _SET[word], self._numbers[operands[0]])

    def _set_shape(self, word: bytes, operands: list[bytes]) -> None:
        if operands[0] not in (b"0", b"1", b"2"):
            raise Damaged("a pen of no known shape")
        setattr(self._state, _SET[word], int(operands[0]))

    def _set_dash(self, word: bytes, operands: list[bytes]) -> None:
        if not _DASH.fullmatch(operands[0]):
            raise Damaged("a dash that cannot be read")
        self._state.dash = tuple(self._all(operands[0][1:-1].split()))
        self._state.phase = self._numbers[operands[1]]

    # --- marked content ---

    def _begin(self, word: bytes, operands: list[bytes]) -> None:
        content = _CONTENT.fullmatch(operands[1]) if len(operands) == 2 else None
        if not operands[0].startswith(b"/") or (content is None) is (word == b"BDC"):
            raise Damaged("marked content that the press does not write")
        self._flush()
        self._depth += 1
        role = operands[0][1:].decode("ascii")
        self._marks.append(begin(role, int(content[1]) if content else None))

    def _end(self, word: bytes, _: list[bytes]) -> None:
        self._flush()
        self._depth -= 1
        if self._depth < max(0, self._text_depth):
            raise Damaged("marked content ends that did not begin")
        self._marks.append(END)

    # --- paths ---

    def _build(self, word: bytes, operands: list[bytes]) -> None:
        self._outside(word)
        op, points = chr(word[0]), self._all(operands)
        if not self._ops and op not in "mr":
            raise Damaged("a path goes on that did not begin")
        if op == "c" and self._ops[-1] in "mlc":
            if points[:2] == self._points[-2:] and points[2:4] == points[4:]:
                op, points = "l", points[4:]  # its handles lie on its ends: it is straight
        self._ops.append(op)
        self._points += points

    def _paint(self, word: bytes, _: list[bytes]) -> None:
        self._outside(word)
        state = self._state
        pen = Pen(state.width, state.grey, state.dash, state.phase, state.ends, state.joints)
        how, ops = word.decode("ascii"), "".join(self._ops)
        self._marks.append(path(how, ops, self._points, pen, state.fill))
        self._ops, self._points = [], []

    # --- text ---

    def _begin_text(self, word: bytes, _: list[bytes]) -> None:
        self._outside(word)
        if self._ops:
            raise Damaged("text begins within a path")
        self._text_depth = self._depth

    def _end_text(self, word: bytes, _: list[bytes]) -> None:
        self._within(word)
        self._flush()
        if self._depth != self._text_depth:
            raise Damaged("marked content and text overlap")
        self._text_depth = -1

    def _set_font(self, word: bytes, operands: list[bytes]) -> None:
        self._state.font, self._state.size = operands[0][1:], self._numbers[operands[1]]
        if self._state.font not in self._fonts:
            raise Damaged(f"{operands[0].decode('ascii')} is not a font of the file")

    def _place(self, word: bytes, operands: list[bytes]) -> None:
        self._within(word)
        if operands[:4] != [b"1", b"0", b"0", b"1"]:
            raise Damaged("text is turned or stretched")
        self._flush()
        self._at = self._all(operands[4:])

    def _show(self, word: bytes, operands: list[bytes]) -> None:
        self._within(word)
        state = self._state
        if state.font is None:
            raise Damaged("text without a font")
        face, letters = self._fonts[state.font]
        look = face, state.size, state.fill, state.spacing
        if self._look not in (None, look) or not self._at:
            raise Damaged("the type changes within a line, or stands at no place")
        self._look = look
        self.used.add(state.font)
        for codes, kern, strange in _SHOWN.findall(operands[0].strip(b"[]")):
            if strange or (kern and not self._letters):
                raise Damaged("text that cannot be read")
            if kern:  # what the operator takes away is added in marks
                last = len(self._letters) - 1
                self._kerns[last] = self._kerns.get(last, 0) - int(kern)
            for code in bytes.fromhex(codes.decode("ascii")):
                if code >= len(letters):
                    raise Damaged("text in codes that its font does not have")
                self._letters.append(letters[code])

    def _flush(self) -> None:
        """A line is at its end."""
        if self._letters and self._look:
            face, *look = self._look
            kerns = [pair for pair in self._kerns.items() if pair[1]]
            self._marks.append(line("".join(self._letters), face, kerns, (*self._at, *look)))
        self._forget()

    def _forget(self) -> None:
        self._at: list[float] = []
        self._look: tuple[str, float, float, float] | None = None
        self._letters: list[str] = []
        self._kerns: dict[int, int] = {}

    # --- all ---

    def _all(self, words: list[bytes]) -> list[float]:
        return [self._numbers[word] for word in words]

    def _outside(self, word: bytes) -> None:
        if self._text_depth >= 0:
            raise Damaged(f"{word.decode('ascii')} within text")

    def _within(self, word: bytes) -> None:
        if self._text_depth < 0:
            raise Damaged(f"{word.decode('ascii')} outside text")


_Act = Callable[[Reader, bytes, list[bytes]], None]


_SET = {b"g": "fill", b"G": "grey", b"w": "width", b"Tc": "spacing", b"J": "ends", b"j": "joints"}

_OPERATORS: dict[bytes, tuple[int, _Act]] = {
    b"q": (0, Reader._save),
    b"Q": (0, Reader._restore),
    b"cm": (6, Reader._move),
    b"g": (1, Reader._set_number),
    b"G": (1, Reader._set_number),
    b"w": (1, Reader._set_number),
    b"J": (1, Reader._set_shape),
    b"j": (1, Reader._set_shape),
    b"d": (2, Reader._set_dash),
    b"BMC": (1, Reader._begin),
    b"BDC": (2, Reader._begin),
    b"EMC": (0, Reader._end),
    b"m": (2, Reader._build),
    b"l": (2, Reader._build),
    b"c": (6, Reader._build),
    b"re": (4, Reader._build),
    b"h": (0, Reader._build),
    **{how: (0, Reader._paint) for how in (b"S", b"f", b"f*", b"B", b"B*")},
    b"BT": (0, Reader._begin_text),
    b"ET": (0, Reader._end_text),
    b"Tf": (2, Reader._set_font),
    b"Tc": (1, Reader._set_number),
    b"Tm": (6, Reader._place),
    b"Tj": (1, Reader._show),
    b"TJ": (1, Reader._show),
}
