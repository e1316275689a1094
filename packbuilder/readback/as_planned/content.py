"""Content: the operators of a page become marks. Those that the press has no use for are refused.

What is left is small: grey, pens, text set letter by letter or line by line, upright or on its
head, straight runs and curves, pages moved aside, marked content, the stamp (ISO 32000-1, 8.5,
8.10, 9.4 and 14.6). No clip, image, other form, pattern, transparency, other turning or stretching,
no way of text but plain ink.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any

from packbuilder.readback.as_planned.fonts import Font
from packbuilder.readback.as_planned.marks import END, STAMP, Mark, Pen, begin, line, path
from packbuilder.readback.as_planned.syntax import Damaged

_WORD = re.compile(rb"\[[^\[\]]*\]|<<[^<>]*>>|<[^<>]*>|/[^ /\[\]<>\n]+|[^ /\[\]<>\n]+|[^ \n]")
_NUMBER = re.compile(rb"-?\d{1,6}(?:\.\d{1,2})?")
_SHOWN = re.compile(rb"<((?:[0-9a-f]{2})*)>|(-?\d{1,5})|(.)")
_STRANGE = re.compile(rb"[^ -~\n]")
_CONTENT = re.compile(rb"<</MCID (\d{1,6})>>")

_OPERANDS = {
    word.encode(): count
    for count, words in {
        0: "q Q h S f f* B B* BT ET EMC",
        1: "g G w J j BMC Tc Tj TJ Do",
        2: "d m l Tf BDC",
        4: "re",
        6: "c cm Tm",
    }.items()
    for word in words.split()
}
"""Every operator there may be, and how many operands it has."""

_TEXT = rb"(?:(?:g|Tf|Tc|Tm|Tj|TJ) )*+"
_GRAMMAR = re.compile(
    rb"(?:(?:q|Q|cm|g|G|w|J|j|d|Do|BMC|BDC|EMC) "
    rb"|(?:(?:m|re) (?:(?:m|l|c|h|re) )*+)?+(?:S|f|f\*|B|B\*) "
    rb"|BT " + _TEXT + rb"(?:(?:BMC|BDC) " + _TEXT + rb"EMC " + _TEXT + rb")*+ET )*+"
)
"""Which of them may follow each other: paths are built and painted in one go, text is apart."""

_UPRIGHT, _ON_ITS_HEAD = [b"1", b"0", b"0", b"1"], [b"-1", b"0", b"0", b"-1"]
_UNMOVED = [*_UPRIGHT, b"0", b"0"]
_PEN = (b"w", b"G", b"J", b"j", b"g")
_BEGINNING: dict[bytes, Sequence[bytes]] = {
    b"g": (b"0",), b"G": (b"0",), b"w": (b"1",), b"J": (b"0",), b"j": (b"0",), b"d": (b"[]", b"0"),
    b"cm": _UNMOVED, b"Tc": (b"0",), b"Tf": (b"/", b"0"),
}  # fmt: skip
"""What is saved and restored, and how it begins (ISO 32000-1, 8.4.1 and 9.3.1)."""

_LONGEST = 1 << 19  # bytes of a page; the longest seen have a tenth of it
_DEEPEST = 4  # states saved within each other; the press goes to 2


class Reader:
    """Reads the content of one page. ``fonts`` are by the names that pages use for them."""

    def __init__(self, fonts: Mapping[bytes, Font]) -> None:
        self._fonts, self._numbers = fonts, _Numbers()
        self._state, self._saved = dict(_BEGINNING), list[dict[bytes, Sequence[bytes]]]()
        self._marks = list[Mark]()
        self._ops, self._points = list[str](), list[float]()
        self.used: set[bytes] = set()
        self._at: list[float] = []
        self._turned = False
        self._look: tuple[Any, ...] = ()
        self._letters: list[str] = []
        self._kerns: dict[int, int] = {}

    def marks(self, content: bytes) -> list[Mark]:
        """The marks of the page, in the order of painting. Raises Damaged."""
        if len(content) > _LONGEST:
            raise Damaged("the page has more operators than any page needs")
        order, operands = list[bytes](), list[bytes]()
        for word in _WORD.findall(content):
            count = _OPERANDS.get(word)
            if count is None:
                operands.append(word)
                continue
            if count != len(operands):
                raise _strange([*operands, word])
            order.append(word)
            _ACTS.get(word, Reader._set)(self, word, operands)
            operands = []
        if operands:
            raise _strange(operands)
        fitting = _GRAMMAR.fullmatch(b"".join(word + b" " for word in order))
        if not fitting or self._saved or _STRANGE.search(content):
            raise Damaged("the page has operators where they have no place")
        return self._marks

    def _set(self, word: bytes, operands: list[bytes]) -> None:
        if word == b"cm" and (self._state[word] is not _UNMOVED or operands[:4] != _UPRIGHT):
            raise Damaged("the page is turned, stretched or moved twice")
        self._state[word] = operands

    def _save(self, *_: object) -> None:
        if len(self._saved) == _DEEPEST:
            raise Damaged("states of the page are nested too deep")
        self._saved.append(dict(self._state))

    def _restore(self, *_: object) -> None:
        if not self._saved:
            raise Damaged("a state is restored that was not saved")
        self._state = self._saved.pop()

    def _add(self, mark: Mark) -> None:
        shift = self._all(self._state[b"cm"][4:])
        self._marks.append(Mark(mark.kind, (*mark.numbers, *shift)))

    def _begin(self, word: bytes, operands: list[bytes]) -> None:
        content = _CONTENT.fullmatch(operands[1]) if word == b"BDC" else None
        if not operands[0].startswith(b"/") or (content is None) is (word == b"BDC"):
            raise Damaged("marked content says what the press does not say")
        self._flush()
        role = operands[0][1:].decode("latin-1")
        self._marks.append(begin(role, int(content[1]) if content else None))

    def _end(self, *_: object) -> None:
        self._flush()
        self._marks.append(END)

    def _stamp(self, _: bytes, operands: list[bytes]) -> None:
        if operands != [b"/Stamp"]:
            raise Damaged("the page shows a form that is not the stamp")
        self._add(STAMP)

    # --- paths ---

    def _build(self, word: bytes, operands: list[bytes]) -> None:
        self._ops.append(chr(word[0]))
        self._points += self._all(operands)

    def _paint(self, word: bytes, _: list[bytes]) -> None:
        state, (dash, phase) = self._state, self._state[b"d"]
        if not dash.startswith(b"["):
            raise Damaged("a dash that cannot be read")
        width, grey, ends, joints, fill = self._all(state[key][0] for key in _PEN)
        pen = Pen(
            width, grey, tuple(self._all(dash[1:-1].split())), self._numbers[phase], ends, joints
        )
        how, ops = word.decode("ascii"), "".join(self._ops)
        self._add(path(how, ops, self._points, pen, fill))
        self._ops, self._points = [], []

    # --- text ---

    def _place(self, _: bytes, operands: list[bytes]) -> None:
        if operands[:4] not in (_UPRIGHT, _ON_ITS_HEAD):
            raise Damaged("text is turned or stretched")
        self._flush()
        self._at, self._turned = self._all(operands[4:]), operands[:4] == _ON_ITS_HEAD

    def _show(self, word: bytes, operands: list[bytes]) -> None:
        (name, size), state = self._state[b"Tf"], self._state
        font = self._fonts.get(name[1:])
        if font is None or not self._at or operands[0].startswith(b"[") is (word == b"Tj"):
            raise Damaged("text stands at no place, in no font of the file, or is none")
        look = font.face, *self._all((size, state[b"g"][0], state[b"Tc"][0]))
        if self._look not in ((), look):
            raise Damaged("the type changes within a line")
        self._look = look
        self.used.add(name[1:])
        for codes, kern, strange in _SHOWN.findall(operands[0].strip(b"[]")):
            if strange or (kern and not self._letters):
                raise Damaged("text that cannot be read")
            if kern:  # what the operator takes away is added in marks
                last = len(self._letters) - 1
                self._kerns[last] = self._kerns.get(last, 0) - int(kern)
            for code in bytes.fromhex(codes.decode("ascii")):
                self._letters.append(font.letter(code))

    def _flush(self, *_: object) -> None:
        """A line of text is at its end."""
        if self._letters:
            face, *look = self._look
            kerns = [pair for pair in self._kerns.items() if pair[1]]
            at = (*self._at, *look)
            self._add(line("".join(self._letters), face, kerns, at, turned=self._turned))
        self._at, self._look, self._letters, self._kerns = [], (), [], {}

    def _all(self, words: Iterable[bytes]) -> list[float]:
        return [self._numbers[word] for word in words]


def _strange(words: Sequence[bytes]) -> Damaged:
    told = b" ".join(words)[-60:].decode("latin-1")
    return Damaged(f"the page does what the press does not do: {told!r}")


class _Numbers(dict[bytes, float]):
    """Numbers by their spelling."""

    def __missing__(self, word: bytes) -> float:
        if not _NUMBER.fullmatch(word):
            raise Damaged(f"{word[:20].decode('latin-1')!r} stands where a number must stand")
        value = self[word] = float(word)
        return value


_ACTS_BY_WORDS: dict[str, Callable[[Reader, bytes, list[bytes]], None]] = {
    "q": Reader._save,
    "Q": Reader._restore,
    "BMC BDC": Reader._begin,
    "EMC": Reader._end,
    "Do": Reader._stamp,
    "m l c re h": Reader._build,
    "S f f* B B*": Reader._paint,
    "BT ET": Reader._flush,
    "Tm": Reader._place,
    "Tj TJ": Reader._show,
}
_ACTS = {word.encode(): act for words, act in _ACTS_BY_WORDS.items() for word in words.split()}
"""What operators do; all others set a part of the state."""
