"""Words: what a compiled function is called with, as a row of 64-bit words.

An array is the address of its first item and its lengths; a named tuple is its fields; anything
else is an integer. The *kinds* beside them say how they are to be read: code that was made for
other kinds is never called.
"""

from __future__ import annotations

import ctypes
from typing import Any, NamedTuple

import numpy as np

WORD = (1 << 64) - 1


class Laid(NamedTuple):
    """Something laid out in words, once for many calls. Its arrays stay where they are."""

    value: Any
    kind: str
    words: tuple[int, ...]


def laid(value: Any) -> Laid:
    """Lay out an array, a named tuple, or an integer. Raises TypeError for anything else."""
    if isinstance(value, np.ndarray):
        return Laid(value, f"{value.dtype.char}{value.ndim}", (_address(value), *value.shape))
    if isinstance(value, Laid):
        return value
    if isinstance(value, tuple):
        parts = [laid(field) for field in value]
        fields = zip(type(value)._fields, parts, strict=True)  # type: ignore[attr-defined]
        kind = f"{type(value).__name__}({' '.join(f'{name}={part.kind}' for name, part in fields)})"
        return Laid(value, kind, tuple(word for part in parts for word in part.words))
    if isinstance(value, np.uint64):
        return Laid(value, "u", (int(value),))
    if isinstance(value, int | np.integer | np.bool_):
        return Laid(value, "i", (int(value) & WORD,))
    raise TypeError(f"compiled code takes no {type(value).__name__}")


def _address(array: Any) -> int:
    """Where the first item lies. Raises TypeError unless the items lie in order, without gaps."""
    if not array.flags.carray:
        raise TypeError("compiled code takes whole, aligned arrays that may be written")
    # Four times as fast as asking the array for its address.
    return ctypes.addressof(ctypes.c_char.from_buffer(array)) if array.size else 0
