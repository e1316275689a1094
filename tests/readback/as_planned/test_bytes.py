"""The bytes of a file: a bit turned, cut, lengthened, saved anew, made to harm; each is told."""

from __future__ import annotations

import hashlib
import io
import os
import random
import re
import tracemalloc
import zlib
from collections.abc import Callable
from pathlib import Path
from struct import Struct
from typing import Any
from unittest import mock

import pypdf
import pypdfium2
import pytest

from packbuilder.press import pdf_file
from packbuilder.press.pdf_file import PdfFile
from packbuilder.readback.as_planned import differences
from packbuilder.readback.as_planned.file import File
from packbuilder.readback.as_planned.syntax import Damaged, Ref, parse
from tests.readback.as_planned.plans import PRINTED, printed, real, tiny, told
from tests.readback.as_planned.sealing import Bodies, bytes_of, content, obj, sealed

PAGE = "not-as-planned"
HOSTILE = os.environ.get("PACKBUILDER_HOSTILE")


def flipped(data: bytes, bit: int) -> bytes:
    changed = bytearray(data)
    changed[bit // 8] ^= 1 << bit % 8
    return bytes(changed)


@pytest.mark.parametrize("edition", PRINTED)
def test_any_bit_that_turns_is_told(edition: str) -> None:
    """Seeded: the same bits each time."""
    plan, rng = real(edition), random.Random(edition)
    data = printed(plan)
    for bit in rng.sample(range(8 * len(data)), 100):
        assert [one.code for one in differences(flipped(data, bit), plan)] == ["file-damaged"], bit


def test_each_bit_of_the_end_that_turns_is_told() -> None:
    """All of the cross-reference and what follows. Packed data ends within a byte: what is left of
    that byte says nothing (RFC 1951, 3.2.3)."""
    plan = tiny()
    data = printed(plan)
    start = int(data.rpartition(b"startxref\n")[2].split()[0])
    passed = {bit // 8 for bit in range(8 * start, 8 * len(data))
              if not list(differences(flipped(data, bit), plan))}  # fmt: skip
    assert passed <= {data.index(b"\nendstream", start) - 5}


def test_bits_that_turn_are_seen_by_a_renderer() -> None:
    """What is told above matters: many such files show something else, or do not open."""
    plan, rng = real(), random.Random(1)
    data = printed(plan)
    good, seen = pictures(data), 0
    for bit in rng.sample(range(8 * len(data)), 30):
        try:
            seen += pictures(flipped(data, bit)) != good
        except pypdfium2.PdfiumError:
            seen += 1
    assert seen > 5


def pictures(data: bytes) -> list[bytes]:
    pages = pypdfium2.PdfDocument(data)
    return [page.render(scale=0.5, grayscale=True).to_numpy().tobytes() for page in pages]


def test_a_bit_that_turned_before_the_file_was_sealed_is_told() -> None:
    """The digest is right then, and the checksum of the stream is not (RFC 1950, 2.2)."""
    plan, rng = tiny(), random.Random(2)

    def turn(bodies: Bodies) -> None:
        k = rng.choice(
            [
                k
                for k, one in bodies.items()
                if b"Flate" in (body := bytes_of(one)) and len(body) > 200
            ]
        )
        head, _, body = bytes_of(bodies[k]).partition(b"stream\n")
        bit = rng.randrange(8 * (len(body) - len("\nendstream")))
        bodies[k] = head + b"stream\n" + flipped(body, bit)

    passed = sum(not list(differences(sealed(plan, turn), plan)) for _ in range(150))
    assert passed <= 1  # the rest of a last byte, as above


OTHERWISE: dict[str, Callable[[bytes], bytes]] = {
    "nothing": lambda data: b"",
    "no PDF": lambda data: b"hello\n",
    "cut in half": lambda data: data[: len(data) // 2],
    "a byte short": lambda data: data[:-1],
    "a byte longer": lambda data: data + b"\n",
    "twice": lambda data: data * 2,
    "something before it": lambda data: b"\n" + data,
    "a later version": lambda data: data.replace(b"%PDF-1.7", b"%PDF-2.0"),
    "other line ends": lambda data: data.replace(b"%%EOF\n", b"%%EOF\r\n"),
    "an old cross-reference": lambda data: data.replace(b"startxref\n", b"startxref\n0"),
}


@pytest.mark.parametrize("name", OTHERWISE)
def test_a_file_that_is_built_otherwise_is_told(name: str) -> None:
    told(OTHERWISE[name](printed(tiny())), tiny(), "file-damaged")


def test_a_file_that_another_program_saved_or_went_on_with_is_told() -> None:
    """By pypdf: the same pages, and the same file with something at its end."""
    data = printed(tiny())
    for incremental in (False, True):
        writer = pypdf.PdfWriter(io.BytesIO(data), incremental=incremental)
        writer.add_metadata({"/Title": "Another"})
        out = io.BytesIO()
        writer.write(out)
        told(out.getvalue(), tiny(), "file-damaged")


def appended(body: str | bytes) -> Callable[[Bodies], None]:
    return lambda bodies: bodies.update({max(bodies) + 1: body})


def repacked(change: Callable[[bytes], bytes]) -> Callable[[Bodies], None]:
    """The first packed stream, its packed bytes changed and its length with them."""

    def changed(bodies: Bodies) -> None:
        k = next(k for k, body in bodies.items() if b"FlateDecode" in bytes_of(body))
        head, _, packed = bytes_of(bodies[k]).removesuffix(b"\nendstream").partition(b"\nstream\n")
        packed = change(packed)
        head = re.sub(rb"/Length \d+", b"/Length %d" % len(packed), head)
        bodies[k] = b"%b\nstream\n%b\nendstream" % (head, packed)

    return changed


STREAM = b"<</Length 1>>\nstream\nx\nendstream"
BUILT: dict[str, tuple[str, str, Callable[[Bodies], None]]] = {
    "an object for nothing": ("file-damaged", "nothing leads to", appended("<</Mine(x)>>")),
    "a stream for nothing": ("file-damaged", "nothing leads to", appended(STREAM)),
    "a gap": ("file-damaged", "as long as it says", appended(STREAM + b"\n% here")),
    "no stream": ("file-damaged", "no stream begins", appended(b"<</Mine(x)>>")),
    "a stream cut off": (PAGE, "cut off", repacked(lambda packed: packed[:-4])),
    "a stream that goes on": (PAGE, "cut off", repacked(lambda packed: packed + b"more")),
    "content that is not there": (
        PAGE,
        "is no stream",
        obj(r"/Type/Page/(.*)/Contents \d+", r"/Type/Page/\1/Contents 9999"),
    ),
    "too many objects": (
        "file-damaged",
        "more objects",
        lambda bodies: bodies.update(dict.fromkeys(range(10_000, 60_000), "1")),
    ),
    "no fonts": ("file-damaged", "no fonts", obj("<</Font<<.*?>>/P", "<</Font[1]/P")),
    "an object used twice": (
        "link",
        "used twice",
        obj(r"Annots\[(\d+ 0 R) \d+ 0 R", r"Annots[\1 \1"),
    ),
    "an object that is not there": (
        "file-damaged",
        "is missing",
        obj(r"Font<</F1.0 \d+", "Font<</F1+0 9999"),
    ),
    "a key twice": ("file-damaged", "a key twice", obj("/Type/Page/", "/Type/Page/Tabs/S/")),
    "an odd dictionary": ("file-damaged", "or none", obj("/Tabs/S", "/Tabs")),
    "a comment": ("file-damaged", "cannot be read", obj("/Tabs/S", "/Tabs/S% x\n")),
    "two values": ("file-damaged", "does not belong", obj("/Tabs/S>>", "/Tabs/S>> 1")),
    "a name in disguise": ("file-damaged", "cannot be read", obj("/Tabs/S", "/Tabs/#53")),
    "too deep": ("file-damaged", "nested too deep", obj("/Tabs/S", "/Tabs" + "[" * 99 + "]" * 99)),
    "too long": (PAGE, "more operators", content(rb"$", b" q Q" * 200_000)),
    "a flood": (PAGE, "far more", content(rb"$", b" q Q" * 10_000_000)),
}


@pytest.mark.parametrize("name", BUILT)
def test_a_file_that_is_sealed_but_built_otherwise_is_told(name: str) -> None:
    code, words, change = BUILT[name]
    told(sealed(tiny(), change), tiny(), code, words)


def _unpacked(change: Callable[[bytes], bytes]) -> Callable[[bytes], bytes]:
    """A change of what an object stream holds, packed again."""

    def changed(body: bytes) -> bytes:
        head, _, packed = body.removesuffix(b"\nendstream").partition(b"\nstream\n")
        packed = zlib.compress(change(zlib.decompress(packed)))
        head = re.sub(rb"/Length \d+", b"/Length %d" % len(packed), head)
        return b"%b\nstream\n%b\nendstream" % (head, packed)

    return changed


HELD: dict[str, tuple[str, Callable[[bytes], bytes]]] = {
    "another count": ("does not say what it holds", lambda one: one.replace(b"/N ", b"/N 1")),
    "another start": (
        "does not say what it holds",
        lambda one: one.replace(b"/First ", b"/First 1"),
    ),
    "a key more": ("does not say what it holds", lambda one: one.replace(b"/N ", b"/Mine 1/N ")),
    "something before": (
        "cannot be read",
        _unpacked(lambda data: data.replace(b"\n", b"\nx", 1)),
    ),
    "a number without end": (
        "does not say what it holds",
        _unpacked(lambda data: b"9" * 5000 + data),
    ),
    "nothing": ("does not say what it holds", _unpacked(lambda data: b"\n")),
    "another number": (
        "not one object after",
        _unpacked(lambda data: data.replace(b"1 0 ", b"9 0 ", 1)),
    ),
    "a lesser number": (
        "not one object after",
        _unpacked(lambda data: data.replace(b"1 0 ", b"0 0 ", 1)),
    ),
    "another order": (
        "not one object after",
        _unpacked(lambda data: data.replace(b" 0 ", b" 3 ", 1)),
    ),
}


@pytest.mark.parametrize("name", HELD)
def test_an_object_stream_that_lies_is_told(name: str) -> None:
    words, change = HELD[name]
    packed = pdf_file._packed
    with mock.patch.object(pdf_file, "_packed", lambda *some: change(packed(*some))):
        told(printed(tiny()), tiny(), "file-damaged", words)


def of_streams(count: int, size: int) -> tuple[File, list[Ref]]:
    """A file of so many full object streams, and its objects in turn: one of each stream."""
    made, out = PdfFile(), io.BytesIO()
    first = made.reserve(400 * count)
    for k in range(count):
        made.fill(first + 400 * k, [f"({'x' * size})"] * 400)
    made.write(out, root=1, info=2)
    turns = [first + 400 * k + j for j in range(400) for k in range(count)]
    return File(out.getvalue(), 200), [Ref(number) for number in turns]


@pytest.mark.parametrize("count", [1, 15])
def test_objects_are_taken_in_any_order(count: int) -> None:
    file, refs = of_streams(count, 10)
    for ref in refs:
        file.take(ref)
    assert file.rest() == 0


def test_no_file_has_its_streams_unpacked_without_end() -> None:
    file, refs = of_streams(17, 3000)
    with pytest.raises(Damaged, match="scattered"):
        for ref in refs:
            file.take(ref)


def test_streams_take_room_once_however_often_they_are_unpacked() -> None:
    file, refs = of_streams(18, 3000)
    for ref in refs[:54]:
        file.take(ref)
    room = file._room
    for ref in refs[54:108]:
        file.take(ref)
    assert file._room == room


ENTRY = Struct(">BIH")
Entries = list[tuple[int, int, int]]


def crossed(data: bytes, change: Callable[[Entries], Entries], gap: bytes = b"") -> bytes:
    """The file with another cross-reference, and something before it."""
    start = int(data.rpartition(b"startxref\n")[2].split()[0])
    head, _, rest = data[start:].partition(b"\nstream\n")
    table = zlib.decompress(rest.partition(b"\nendstream")[0])
    packed = zlib.compress(
        b"".join(ENTRY.pack(*one) for one in change([*ENTRY.iter_unpack(table)]))
    )
    before = data[:start] + gap
    digest = hashlib.sha256(before).hexdigest()[:32].upper().encode()
    head = re.sub(rb"<[0-9A-F]{32}>", b"<%b>" % digest, head)
    head = re.sub(rb"/Length \d+", b"/Length %d" % len(packed), head)
    end = b"\nendstream\nendobj\nstartxref\n%d\n%%%%EOF\n" % len(before)
    return b"%b%b\nstream\n%b%b" % (before, head, packed, end)


def instead(kind: int, new: tuple[int, int, int], *, nth: int = 0) -> Callable[[Entries], Entries]:
    """The nth entry of a kind with other values: a change of its kind, its place, its index."""

    def change(entries: Entries) -> Entries:
        at = [k for k, entry in enumerate(entries) if entry[0] == kind][nth]
        moved = tuple(a + b for a, b in zip(entries[at], new, strict=True))
        return [*entries[:at], moved, *entries[at + 1 :]]  # type: ignore[list-item]

    return change


CROSSED: dict[str, tuple[str, Callable[[Entries], Entries]]] = {
    "an entry less": ("an entry for each", lambda entries: entries[:-1]),
    "another beginning": ("begin and end", instead(0, (0, 1, 0))),
    "another end": ("begin and end", instead(1, (0, 1, 0), nth=-1)),
    "another place": ("does not stand where", instead(1, (0, 1, 0))),
    "another number": ("does not stand where", instead(1, (0, 0, 1))),
    "another index": ("is not the next one", instead(2, (0, 0, 1))),
    "an object that is free": ("is not there", instead(2, (-2, 0, 0), nth=-1)),
    "a kind that is none": ("is not there", instead(2, (7, 0, 0), nth=-1)),
    "another holder": ("is not", instead(2, (0, 1, 0))),
}


@pytest.mark.parametrize("name", CROSSED)
def test_a_cross_reference_that_lies_is_told(name: str) -> None:
    words, change = CROSSED[name]
    told(crossed(printed(tiny()), change), tiny(), "file-damaged", words)


def test_a_gap_before_the_cross_reference_is_told() -> None:
    data = printed(tiny())
    assert list(differences(crossed(data, list), tiny())) == []
    moved = instead(1, (0, 5, 0), nth=-1)
    told(crossed(data, moved, b"% hi\n"), tiny(), "file-damaged", "something between")


def test_what_is_unpacked_is_bounded() -> None:
    """A page that holds a thousand times what the file does takes no more memory than one may."""
    data = sealed(tiny(), content(rb"$", b" q Q" * 25_000_000))
    assert len(data) < 200_000
    tracemalloc.start()
    told(data, tiny(), "not-as-planned")
    most = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert most < 30_000_000


@pytest.mark.skipif(not HOSTILE, reason="PACKBUILDER_HOSTILE names no folder of hostile files")
def test_files_made_to_harm_are_told() -> None:
    paths = sorted(Path(str(HOSTILE)).glob("*.pdf"))
    assert paths
    for path in paths:
        tracemalloc.start()
        told(path.read_bytes(), tiny())
        most = tracemalloc.get_traced_memory()[1]
        tracemalloc.stop()
        assert most < 50_000_000, path.name


# --- objects -------------------------------------------------------------------------------------


def test_objects_are_read_by_the_standard() -> None:
    """After the examples of ISO 32000-1, 7.3."""
    values: dict[bytes, Any] = {
        b"true": True,
        b"null": None,
        b"-98": -98,
        b"34.5": 34.5,
        b"/Name1": "Name1",
        b"(This is a string)": b"This is a string",
        rb"(\(\)\\)": b"()\\",
        b"<901FA3>": b"\x90\x1f\xa3",
        b"[549 3.14 false (Ralph)/SomeName]": [549, 3.14, False, b"Ralph", "SomeName"],
        b"<</Type/Example\n/A 12 0 R/B<</C[]>>>>": {
            "Type": "Example",
            "A": Ref(12),
            "B": {"C": []},
        },
    }
    for written, value in values.items():
        assert parse(written) == value
        assert type(parse(written)) is type(value)


def test_other_spellings_are_refused() -> None:
    for written in (
        *(b"", b"1 2", b"[1", b"1]", b"] 1", b">>1", b"<<1 2>>", b"<</A 1/A 2>>", b"<</A>>"),
        *(
            b"[1>>",
            b"<</A 1]",
            b"(a",
            b"(a(b))",
            rb"(\n)",
            b"(\x80)",
            b"<9>",
            b"<9a>",
            b"+1",
            b".5",
        ),
        *(b"1.", b"1e3", b"0 0 R", b"1 1 R", b"01 0 R", b"/A#42", b"/", b"% x", b"1\r", b"1\t"),
        *(b"truely", b"{}", b"1 0 obj", b"[" * 50 + b"]" * 50, b"9" * 50),
    ):
        with pytest.raises(Damaged):
            parse(written)
            pytest.fail(repr(written))
