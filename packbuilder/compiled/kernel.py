"""Kernel: a compiled function, loaded or made when it is first called."""

from __future__ import annotations

import ctypes
import sys
from array import array
from collections.abc import Callable, Sequence
from contextlib import suppress
from functools import cache, partial
from hashlib import sha256
from importlib.util import find_spec
from pathlib import Path
from pkgutil import resolve_name
from threading import RLock
from typing import Any

from packbuilder.compiled import keeping
from packbuilder.compiled.words import Laid, laid

Call = Callable[..., int]
Example = tuple[tuple[Any, ...], Callable[[int], bool]]
"""Arguments, and whether the result (and what was written into them) is the right one."""

_ENTRY = ctypes.CFUNCTYPE(ctypes.c_int32, ctypes.c_void_p, ctypes.c_void_p, ctypes.c_void_p)
_OWN = ("packbuilder.compiled.by_numba", "packbuilder.compiled.words")


class Kernel:
    """A function of a module that is imported only where it must be compiled.

    ``place`` is ``module:function``; ``others`` are the other modules of which anything is compiled
    into it. ``example`` gives arguments like those of any call, and knows the answer: code that
    fails it is not used. ``what`` is said where it is compiled: it takes a while.
    """

    def __init__(
        self, place: str, others: Sequence[str], what: str, example: Callable[[], Example]
    ) -> None:
        self.place, self.others, self.what, self.example = place, others, what, example
        self._call: Call | None = None
        self._lock = RLock()

    def __call__(self, *args: Any) -> int:
        """The function's result, an integer; 0 where it gives none.

        Arguments are arrays, named tuples of arrays and integers, integers, or what `laid` made of
        them. Raises TypeError unless they are as those of the example.
        """
        return (self._call or self.ready())(*args)

    def ready(self) -> Call:
        """Load or make the code, unless that is done."""
        with self._lock:
            if self._call is None:
                args, _ = self.example()
                kinds = _kinds([laid(one) for one in args])
                self._call = self._kept(kinds) or self._made(args, kinds)
            return self._call

    def _kept(self, kinds: str) -> Call | None:
        """The code as it is kept, if it is, and is good."""
        try:
            code = keeping.read(self._name(kinds))
            return self._loaded(code, kinds) if code else None
        except (OSError, RuntimeError, ImportError):
            return None

    def _made(self, args: tuple[Any, ...], kinds: str) -> Call:
        when = "once, " if keeping.can_write() else "as no folder may be written to keep it in, "
        told = f"first use: compiling {self.what}, {when}a few seconds ..."
        with suppress(OSError, AttributeError):  # nobody can hear it: no stream, or a full one
            sys.stderr.write(f"{told}\n")
            sys.stderr.flush()
        from packbuilder.compiled import by_numba

        made = by_numba.make(resolve_name(self.place), args)
        if made.code and (call := self._loaded(made.code, kinds)):
            keeping.write(self._name(kinds), made.code)
            return call
        call = partial(_call, _ENTRY(made.address), made.owner, kinds)
        if not self._right(call):
            raise RuntimeError(f"{self.what} gives wrong answers on this machine")
        return call

    def _loaded(self, code: bytes, kinds: str) -> Call | None:
        from packbuilder.compiled import loading

        try:
            address, owner = loading.load(code)
        except RuntimeError:  # LLVM's word for code that it cannot load
            return None
        call = partial(_call, _ENTRY(address), owner, kinds)
        return call if self._right(call) else None

    def _right(self, call: Call) -> bool:
        args, right = self.example()
        try:
            return right(call(*args))
        except RuntimeError:
            return False

    def _name(self, kinds: str) -> str:
        """The name of the file: what the code is, and a digest of all that it depends on."""
        from packbuilder.compiled import loading

        module, _, function = self.place.partition(":")
        found = sha256(f"{self.place} {kinds} {loading.described()}".encode())
        for name in (module, *self.others, *_OWN):
            found.update(_digest(name))
        found.update(_digest("numba", "_version.py"))
        return f"{module.removeprefix('packbuilder.')}.{function}-{found.hexdigest()[:32]}.code"


@cache
def _digest(module: str, beside: str | None = None) -> bytes:
    """That of the text of a module, or of a file beside it; it is not imported. Raises OSError."""
    spec = find_spec(module)
    get_data = getattr(spec and spec.loader, "get_data", None)
    if spec is None or spec.origin is None or get_data is None:
        raise OSError(f"the text of {module} is not to be had")
    place = str(Path(spec.origin).with_name(beside)) if beside else spec.origin
    return sha256(get_data(place)).digest()


def _kinds(args: Sequence[Laid]) -> str:
    return " ".join([one.kind for one in args])


def _call(entry: Any, _owner: Any, kinds: str, *args: Any) -> int:
    """Call the code at an address."""
    all_laid = [laid(one) for one in args]
    if _kinds(all_laid) != kinds:
        raise TypeError(f"compiled for ({kinds}), called with ({_kinds(all_laid)})")
    words = [0, 0]
    for one in all_laid:
        words += one.words
    room = array("Q", words)
    at = room.buffer_info()[0]
    if entry(at, at + 8, at + 16):
        raise RuntimeError("compiled code came upon something that it does not do")
    return ctypes.c_int64(room[0]).value
