"""File: the bytes of a PDF taken apart, each of them accounted for.

Head, objects one after another without a gap, the cross-reference stream that agrees with every
place, and nothing behind it (ISO 32000-1, 7.5). The file's identity is a digest of all that stands
before the cross-reference, so that not one bit can turn unseen. Each object is handed out once:
what nobody has asked for in the end is in the file for nothing.
"""

from __future__ import annotations

import hashlib
import re
import zlib
from itertools import pairwise
from struct import Struct
from typing import Any

from packbuilder.readback.as_planned.syntax import Damaged, Ref, parse, parse_first

_HEAD = b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n"
_TAIL = re.compile(rb"startxref\n([1-9]\d{0,9})\n%%EOF\n\Z")
_OBJECT = re.compile(rb"([1-9]\d{0,8}) 0 obj\n")
_BEGIN, _END = b"\nstream\n", b"\nendstream\nendobj\n"
_ENTRY = Struct(">BIH")
_PAGE_BYTES, _PAGE_OBJECTS = 1 << 17, 2_000  # thrice and six times what the fullest books take
_MORE_PAGES = 16  # as much again as so many pages for all that belongs to none
_AT_HAND = 16
"""So many object streams are kept unpacked, those that were looked into last: the objects of
neighbouring pages lie in few of them."""
_AGAIN = 16
"""Object streams that are not at hand any more are unpacked again, in all to so many times the room
that everything has. Whole files unpack each about twice."""
_PACKED = ("FlateDecode", ["FlateDecode"])


class File:
    """The objects of a file of so many ``pages``. Raises Damaged, as all of its methods do."""

    def __init__(self, data: bytes, pages: int) -> None:
        pages += _MORE_PAGES
        self._data, self._room = data, pages * _PAGE_BYTES
        self._streams: dict[int, tuple[dict[str, Any], slice]] = {}
        self._places = b""  # the entries of the cross-reference
        self._held: dict[int, int] = {}  # how many objects are in an object stream
        self._unpacked: dict[int, dict[int, bytes]] = {}  # those that were looked into last
        self._sizes: dict[int, int] = {}  # of those that have ever been
        self._again = _AGAIN * self._room
        self._left = bytearray()  # of each object in an object stream, whether nobody has taken it
        if len(data) > self._room:
            raise Damaged("it is far larger than the pages of the plan need")
        tail = _TAIL.search(data, max(0, len(data) - 40))
        if not data.startswith(_HEAD) or tail is None:
            raise Damaged("it does not begin and end as a whole file does")
        last = int(tail[1])
        number, entries, table, end = self._object(last)
        if number > pages * _PAGE_OBJECTS:
            raise Damaged("it has far more objects than the pages of the plan need")
        if end != tail.start():
            raise Damaged("its cross-reference is not the last of its objects")
        head, body = self._unpack(entries, table)
        digest = hashlib.sha256(memoryview(data)[:last]).hexdigest()[:32]
        self.root, self.info = head.get("Root"), head.get("Info")
        planned = {
            "Type": "XRef", "Size": number + 1, "W": [1, 4, 2], "Root": self.root,
            "Info": self.info, "ID": [bytes.fromhex(digest)] * 2,
        }  # fmt: skip
        if planned["ID"] != head.get("ID"):
            raise Damaged("bytes of it have changed")
        if planned != head:
            raise Damaged("its cross-reference does not say what it must")
        self._take_places(body, number, last)

    def _object(self, at: int) -> tuple[int, dict[str, Any], slice, int]:
        """The object that begins at an offset, always a stream: number, dictionary, body, end."""
        begun = _OBJECT.match(self._data, at)
        entries, start = parse_first(self._data, begun.end()) if begun else (None, 0)
        length = entries.pop("Length", -1) if isinstance(entries, dict) else -1
        if begun is None or not isinstance(entries, dict) or type(length) is not int or length < 0:
            raise Damaged(f"no stream begins at byte {at}")
        body = slice(start + len(_BEGIN), start + len(_BEGIN) + length)
        if not (self._data.startswith(_BEGIN, start) and self._data.startswith(_END, body.stop)):
            raise Damaged(f"the stream at byte {at} is not as long as it says")
        return int(begun[1]), entries, body, body.stop + len(_END)

    def _take_places(self, table: bytes, last: int, end: int) -> None:
        """Each object's place by the cross-reference; those of streams cover the whole file."""
        if len(table) != _ENTRY.size * (last + 1):
            raise Damaged("its cross-reference does not have an entry for each object")
        first, final = _ENTRY.unpack_from(table), _ENTRY.unpack_from(table, _ENTRY.size * last)
        if first != (0, 0, 65535) or final != (1, end, 0):
            raise Damaged("its cross-reference does not begin and end as it must")
        at, entries = len(_HEAD), memoryview(table)[: _ENTRY.size * last]
        streams = ((e[1], n, e[2]) for n, e in enumerate(_ENTRY.iter_unpack(entries)) if e[0] == 1)
        for place, number, generation in sorted(streams):
            found, dictionary, body, after = self._object(at)
            if (place, number, generation) != (at, found, 0):
                raise Damaged(f"object {number} does not stand where the cross-reference says")
            self._streams[number] = dictionary, body
            at = after
        if at != end:
            raise Damaged("there is something between its objects and its cross-reference")
        self._places, self._left = table, bytearray(last)
        for number, (kind, holder, index) in enumerate(_ENTRY.iter_unpack(entries)):
            if kind == 2:
                if index != self._held.get(holder, 0):
                    raise Damaged(f"object {number} is not the next one of its object stream")
                self._held[holder] = index + 1
                self._left[number] = 1
            elif kind != 1 and number:
                raise Damaged(f"object {number} is not there")

    def _unpack(self, entries: dict[str, Any], body: slice) -> tuple[dict[str, Any], bytes]:
        data = self._data[body]
        packed = entries.pop("Filter", None)
        if packed is None:
            return entries, data
        if packed not in _PACKED:
            raise Damaged(f"a stream is packed as {packed!r}")
        unpacking = zlib.decompressobj()
        try:
            data = unpacking.decompress(data, max(1, self._room + 1))  # 0 would be no bound
        except zlib.error:
            raise Damaged("a stream is damaged: its bytes are not those of its checksum") from None
        self._room -= len(data)
        if self._room < 0:
            raise Damaged("its streams hold far more than the pages of the plan need")
        if not unpacking.eof or unpacking.unused_data:
            raise Damaged("a stream is cut off, or goes on after its end")
        return entries, data

    def take(self, ref: Ref) -> Any:
        """The object that is referred to; each can be taken once."""
        value = self._value(ref)
        self._left[ref.number] = 0
        return value

    def stream(self, ref: Ref, *, keep: bool = False) -> tuple[dict[str, Any], bytes]:
        """The stream that is referred to, its dictionary without what only says how it is packed;
        unless it is kept, each can be taken once."""
        if not isinstance(ref, Ref) or ref.number not in self._streams:
            raise Damaged(f"{ref} is no stream, is missing, or is used twice")
        entries, body = self._streams[ref.number]
        if not keep:
            del self._streams[ref.number]
        return self._unpack(dict(entries), body)

    def find(self, value: Any, *keys: str) -> Any:
        """What lies behind some keys, from a value on, without taking it. An array, which has no
        keys, stands for what is first in it. Raises Damaged where there is no such thing."""
        for key in keys:
            value = value[0] if isinstance(value, list) and value else value
            value = self._value(value) if isinstance(value, Ref) else value
            if not isinstance(value, dict) or key not in value:
                raise Damaged(f"it has no {key}")
            value = value[key]
        return value

    def _value(self, ref: Ref) -> Any:
        number = ref.number
        if number >= len(self._left) or not self._left[number]:
            raise Damaged(f"object {number} is missing, or is used twice")
        _, holder, _ = _ENTRY.unpack_from(self._places, _ENTRY.size * number)
        bodies = self._unpacked.pop(holder, None) or self._bodies(holder)
        if len(self._unpacked) >= _AT_HAND:
            del self._unpacked[next(iter(self._unpacked))]
        self._unpacked[holder] = bodies
        return parse(bodies[number])

    def _bodies(self, holder: int) -> dict[int, bytes]:
        """The objects of an object stream, by their numbers."""
        if size := self._sizes.get(holder, 0):  # it takes room once, however often it is unpacked
            self._room += size
            self._again -= size
            if self._again < 0:
                raise Damaged("its objects lie scattered over its object streams")
        entries, data = self.stream(Ref(holder), keep=True)
        self._sizes[holder] = len(data)
        head, _, body = data.partition(b"\n")
        words = [int(word) for word in re.findall(rb"\d{1,10}", head)]
        numbers, starts = words[::2], words[1::2]
        if entries != {"Type": "ObjStm", "N": len(starts), "First": len(head) + 1} or not starts:
            raise Damaged("an object stream does not say what it holds")
        told = b" ".join(b"%d %d" % pair for pair in zip(numbers, starts, strict=False))
        bodies = [body[a:b] for a, b in pairwise((*starts, len(body)))]
        if head != told or b"".join(bodies) != body or not self._are_held(numbers, holder):
            raise Damaged("an object stream is not one object after another")
        return dict(zip(numbers, bodies, strict=True))

    def _are_held(self, numbers: list[int], holder: int) -> bool:
        """Whether an object stream has just those objects by the cross-reference, in its order."""
        last = len(self._places) // _ENTRY.size
        return len(numbers) == self._held[holder] and all(
            number < last
            and _ENTRY.unpack_from(self._places, _ENTRY.size * number) == (2, holder, k)
            for k, number in enumerate(numbers)
        )

    def rest(self) -> int:
        """How many objects nobody has taken."""
        return sum(self._left) + sum(number not in self._held for number in self._streams)
