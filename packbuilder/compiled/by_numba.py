"""Making machine code: numba compiles a function, behind a wrapper that takes words.

The wrapper has numba's own calling convention, which is C's: where to write the result, where to
write what went wrong, then the arguments; it gives 0 unless something did. Numba is imported here.
"""

# mypy: disable-error-code="untyped-decorator, no-untyped-call"
from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

import llvmlite.binding as llvm
import numba
import numpy as np
from numba import types
from numba.extending import intrinsic

from packbuilder.compiled import loading
from packbuilder.compiled.words import Laid, laid

_numba: Any = numba  # these options, and `carray`, are not in its types

_FREE = """
define void @NRT_MemInfo_call_dtor(ptr %0) { ret void }
define i32 @ENTRY(ptr %0, ptr %1, ptr %2) {
  %4 = tail call i32 @"NAME"(ptr %0, ptr %1, ptr %2)
  ret i32 %4
}
declare i32 @"NAME"(ptr, ptr, ptr)
"""
"""Numba counts who uses an array, to free it. All our arrays are Python's: nothing is freed."""

_SYSTEM = {"memset", "memcpy", "memmove"}
"""What machine code may ask of the system."""


@dataclass(frozen=True)
class Made:
    """A compiled function: its machine code, and where numba has it in this process.

    ``code`` is None where what it calls cannot be told. ``owner`` keeps the code at ``address``.
    """

    code: bytes | None
    address: int
    owner: Any


def make(function: Callable[..., Any], example: tuple[Any, ...]) -> Made:
    """Compile a function for arguments like those of the example.

    It gives an integer if that is what it is annotated with, else nothing.
    """
    names: dict[str, Any] = {
        "function": numba.njit(nogil=True)(function),
        "carray": _numba.carray,
        "at": _at,
    }
    words = _words()
    arguments = ", ".join(_expression(laid(one), words, names) for one in example)
    gives = "return " if function.__annotations__.get("return") in (int, "int") else ""
    exec(f"def entry(words):\n    {gives}function({arguments})\n    return 0", names)
    signature = types.int64(types.CPointer(types.int64))
    compiled = _numba.njit(signature, no_cpython_wrapper=True, no_cfunc_wrapper=True)
    entry = compiled(names["entry"])
    (result,) = entry.overloads.values()
    name = result.fndesc.mangled_name
    address = result.library.get_pointer_to_function(name)
    return Made(_code(entry.inspect_llvm(entry.signatures[0]), name), address, entry)


def _words() -> Iterator[str]:
    k = 0
    while True:
        yield f"words[{k}]"
        k += 1


def _expression(one: Laid, words: Iterator[str], names: dict[str, Any]) -> str:
    """How the wrapper makes an argument of its words."""
    if isinstance(one.value, np.ndarray):
        kind = f"kind_{one.value.dtype.name}"
        names[kind] = one.value.dtype
        address, *lengths = (next(words) for _ in range(1 + one.value.ndim))
        return f"carray(at({address}, {kind}), ({', '.join(lengths)},), {kind})"
    if isinstance(one.value, tuple):
        names[type(one.value).__name__] = type(one.value)
        fields = ", ".join(_expression(laid(field), words, names) for field in one.value)
        return f"{type(one.value).__name__}({fields})"
    if one.kind == "u":
        names["unsigned"] = np.uint64
        return f"unsigned({next(words)})"
    return next(words)


@intrinsic
def _at(_typing: Any, word: Any, kind: Any) -> Any:
    """The address that a word is, as that of items of a kind."""
    signature = types.CPointer(kind.dtype)(types.int64, kind)

    def build(context: Any, builder: Any, sig: Any, args: Any) -> Any:
        return builder.inttoptr(args[0], context.get_value_type(sig.return_type))

    return signature, build


def _code(words: str, name: str) -> bytes | None:
    """Machine code for what numba has said in LLVM's words; None where it needs more than memory.

    Raises RuntimeError where LLVM does not take it.
    """
    module = llvm.parse_assembly(words)
    module.link_in(llvm.parse_assembly(_FREE.replace("ENTRY", loading.ENTRY).replace("NAME", name)))
    needed = {one.name for one in module.functions if one.is_declaration}
    if {one for one in needed if not one.startswith("llvm.")} - _SYSTEM:
        return None
    return bytes(loading.machine().emit_object(module))
