"""A press that lies: the objects of a file are altered before it is sealed, so that its digest, its
cross-reference and its checksums are right and only the plan can tell."""

from __future__ import annotations

import re
import zlib
from collections.abc import Callable
from unittest import mock

from packbuilder.plan.items import Plan
from packbuilder.press import pdf_file
from packbuilder.press.pdf_file import PdfFile
from tests.readback.as_planned.plans import printed

Bodies = dict[int, str | bytes]
Change = Callable[[Bodies], None]


def sealed(plan: Plan, *changes: Change) -> bytes:
    """The plan as a file whose objects have been changed."""
    write = PdfFile.write

    def lying(file: PdfFile, *some: object, **more: object) -> None:
        bodies = dict(sorted({**file._streams, **file._loose}.items()))
        for change in changes:
            change(bodies)
        file.count = max(bodies)
        for number, body in bodies.items():
            file.put(number, body)
        write(file, *some, **more)  # type: ignore[arg-type]

    together = mock.patch.object(pdf_file, "_TOGETHER", 10**9)  # all is loose until the end
    with together, mock.patch.object(PdfFile, "write", lying):
        return printed(plan)


def obj(old: str, new: str) -> Change:
    """The first object that a pattern is found in, with something else in its place."""

    def change(bodies: Bodies) -> None:
        for k, body in bodies.items():
            if isinstance(body, str) and re.search(old, body):
                bodies[k] = re.sub(old, new, body, count=1)
                assert bodies[k] != body, old
                return
        raise AssertionError(old)

    return change


def more(kind: str, entries: str) -> Change:
    """Entries more for the first object that begins like this."""
    return obj(rf"^<<{re.escape(kind)}", f"<<{entries}{kind}".replace("\\", r"\\"))


def exchanged(pattern: str) -> Change:
    """What a pattern catches in the first two objects, each in the other's place."""

    def change(bodies: Bodies) -> None:
        found = [(k, m) for k, b in bodies.items() if isinstance(b, str)
                 and (m := re.search(pattern, b))]  # fmt: skip
        (k, one), (j, other) = found[:2]
        assert one[1] != other[1]
        for place, old, new in ((k, one, other[1]), (j, other, one[1])):
            bodies[place] = old.string[: old.start(1)] + new + old.string[old.end(1) :]

    return change


def stream(fits: Callable[[bytes, bytes], object], change: Callable[[bytes], bytes]) -> Change:
    """The first packed stream whose dictionary and bytes fit, changed and packed anew."""

    def altered(bodies: Bodies) -> None:
        for k, body in bodies.items():
            found = re.fullmatch(rb"(<<.*?>>)\s*stream\n(.*)\nendstream", bytes_of(body), re.DOTALL)
            if found and b"FlateDecode" in found[1]:
                data = zlib.decompress(found[2])
                if fits(found[1], data):
                    new = change(data)
                    assert new != data
                    packed = zlib.compress(new)
                    head = re.sub(rb"/Length \d+", b"/Length %d" % len(packed), found[1])
                    head = re.sub(rb"/Length1 \d+", b"/Length1 %d" % len(new), head)
                    bodies[k] = b"%b\nstream\n%b\nendstream" % (head, packed)
                    return
        raise AssertionError("no stream fits")

    return altered


def content(old: bytes, new: bytes) -> Change:
    """The first page in whose content a pattern is found, with something else in its place."""
    pattern = re.compile(old, re.DOTALL)
    return stream(
        lambda head, data: head.startswith(b"<</Filter") and pattern.search(data),
        lambda data: pattern.sub(new, data, count=1),
    )


def added(code: str) -> Change:
    """The first page that has text, with operators more at its end, marked as furniture."""
    return content(
        rb"(BT.*)$", rb"\1" + f"\n/Artifact BMC q {code} Q EMC".replace("\\", r"\\").encode()
    )


def bytes_of(body: str | bytes) -> bytes:
    return body if isinstance(body, bytes) else b""
