"""Copies with a password: the master's streams, each encrypted with AES-256.

The standard security handler of revision 6 (ISO 32000-2, 7.6.4): what opens the file is the
password alone, and it allows everything. All strings of a master stand in streams, and only
streams are touched. Keys are drawn at random, so that no two such copies are the same bytes, and
none begins with the master's.
"""

from __future__ import annotations

import hashlib
import os
import re
import unicodedata
import zlib
from collections.abc import Iterator
from struct import Struct, pack
from typing import NamedTuple

from cryptography.hazmat.primitives.ciphers import Cipher, algorithms, modes
from cryptography.hazmat.primitives.padding import PKCS7

from packbuilder.supporters.masters import PdfMaster

_OBJECT = re.compile(rb"(\d+) 0 obj\n")
_LENGTH = re.compile(rb"/Length (\d+)\b")
_STREAM, _ENDED = b"stream\n", b"\nendstream\nendobj\n"
_ENTRY = Struct(">BIH")
_EVERYTHING = -4  # permissions: all bits but the two that are reserved as 0 (table 22)
_MOST = 127  # bytes of a password


class _Stream(NamedTuple):
    """A stream of the file: its number, what stands before and after its length, its bytes."""

    number: int
    head: bytes
    rest: bytes
    body: bytes


class SealedMaster:
    """A released PDF, taken apart to be encrypted again and again."""

    def __init__(self, master: PdfMaster) -> None:
        self._master = master
        stamp, xref = master.parts
        data, at = master.data, master.data.index(b" 0 obj\n")
        self._start = data[: data.rindex(b"\n", 0, at) + 1]
        self._streams = list(_streams(data[: xref.start()], len(self._start)))
        self._stamp, self._xref = int(stamp["number"]), xref
        body = data[data.index(b"stream\n", xref.end()) + 7 : data.rindex(b"\nendstream")]
        self._table = zlib.decompress(body)

    def copy(self, words: str, password: str) -> bytes:
        """The copy that says these words, which opens with the password."""
        key, parts, at = os.urandom(32), [self._start], len(self._start)
        last = len(self._table) // _ENTRY.size - 1
        table = bytearray(self._table + bytes(_ENTRY.size))

        def begin(number: int) -> None:
            _ENTRY.pack_into(table, number * _ENTRY.size, 1, at, 0)

        def put(number: int, body: bytes) -> None:
            nonlocal at
            begin(number)
            parts.append(b"%d 0 obj\n%b" % (number, body))
            at += len(parts[-1])

        for stream in self._streams:
            body, head, rest = stream.body, stream.head, stream.rest
            if stream.number == self._stamp:
                ((_, head, rest, body),) = _streams(self._master.stamp(words), 0)
            sealed = _sealed(key, body)
            put(stream.number, b"%b/Length %d%b%b%b" % (head, len(sealed), rest, sealed, _ENDED))
        put(last + 1, _handler(key, password) + b"\nendobj\n")
        begin(last)
        packed = zlib.compress(table, 1)
        first, own = self._xref["id"], os.urandom(16).hex().upper().encode("ascii")
        head = (
            b"<</Type/XRef/Size %d/W[1 4 2]%b/Encrypt %d 0 R/ID[<%b><%b>]/Filter/FlateDecode"
            b"/Length %d>>" % (last + 2, self._xref["ends"], last + 1, first, own, len(packed))
        )
        end = b"%d 0 obj\n%b\nstream\n%b%b" % (last, head, packed, _ENDED)
        return b"".join([*parts, end, b"startxref\n%d\n%%%%EOF\n" % at])


def _streams(data: bytes, at: int) -> Iterator[_Stream]:
    """The streams of a file or of a part of it, one after another."""
    while at < len(data):
        begun = _OBJECT.match(data, at)
        assert begun, "a master is objects without a gap"
        start = data.index(_STREAM, begun.end())
        length = list(_LENGTH.finditer(data, begun.end(), start))[-1]
        size, body = int(length[1]), start + len(_STREAM)
        yield _Stream(
            int(begun[1]),
            data[begun.end() : length.start()],
            data[length.end() : body],
            data[body : body + size],
        )
        at = data.index(_ENDED, body + size) + len(_ENDED)


def _sealed(key: bytes, body: bytes) -> bytes:
    """A stream's bytes: 16 of a random beginning, then all, padded (7.6.3.3)."""
    begin, pad = os.urandom(16), PKCS7(128).padder()
    return begin + _cbc(key, begin, pad.update(body) + pad.finalize())


def _cbc(key: bytes, begin: bytes, data: bytes) -> bytes:
    done = Cipher(algorithms.AES(key), modes.CBC(begin)).encryptor()
    return done.update(data) + done.finalize()


def _handler(key: bytes, password: str) -> bytes:
    """The dictionary by which a password gives the key (algorithms 8 to 10)."""
    typed, owner = prepared(password), os.urandom(32)
    user = _verified(typed, b"", key)
    owned = _verified(owner, user[0], key)
    clear = pack("<i", _EVERYTHING) + b"\xff\xff\xff\xffTadb" + os.urandom(4)
    block = Cipher(algorithms.AES(key), modes.ECB()).encryptor()
    perms = block.update(clear) + block.finalize()
    names = (b"U", b"UE", b"O", b"OE", b"Perms")
    keys = b"".join(
        b"/%b<%b>" % (name, part.hex().upper().encode("ascii"))
        for name, part in zip(names, (*user, *owned, perms), strict=True)
    )
    return (
        b"<</Filter/Standard/V 5/R 6/Length 256/P %d%b"
        b"/CF<</StdCF<</Type/CryptFilter/CFM/AESV3/AuthEvent/DocOpen/Length 32>>>>"
        b"/StmF/StdCF/StrF/StdCF>>" % (_EVERYTHING, keys)
    )


def prepared(password: str) -> bytes:
    """A password as it is hashed: in one of its several spellings, in UTF-8 (RFC 4013)."""
    return unicodedata.normalize("NFKC", password).encode("utf-8")[:_MOST]


def _verified(password: bytes, user: bytes, key: bytes) -> tuple[bytes, bytes]:
    """What tells whether a password is right, and the key as that password gives it."""
    check, unlock = os.urandom(8), os.urandom(8)
    told = _hash(password, check, user) + check + unlock
    return told, _cbc(_hash(password, unlock, user), bytes(16), key)


def _hash(password: bytes, salt: bytes, user: bytes) -> bytes:
    """The hash of a password (algorithm 2.B)."""
    key, rounds = hashlib.sha256(password + salt + user).digest(), 0
    while True:
        done = _cbc(key[:16], key[16:32], (password + key + user) * 64)
        kind = (hashlib.sha256, hashlib.sha384, hashlib.sha512)[sum(done[:16]) % 3]
        key, rounds = kind(done).digest(), rounds + 1
        if rounds >= 64 and done[-1] <= rounds - 32:
            return key[:32]
