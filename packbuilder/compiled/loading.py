"""Loading machine code into this process, by llvmlite alone."""

# mypy: disable-error-code="no-untyped-call"
from __future__ import annotations

import sys
from functools import cache
from typing import Any

import llvmlite
import llvmlite.binding as llvm

ENTRY = "packbuilder_entry"
"""What the function is called in machine code."""


def load(code: bytes) -> tuple[int, Any]:
    """The address of the function in machine code, and what keeps it there.

    Raises RuntimeError where LLVM does not take the code, or it has no such function.
    """
    engine = llvm.create_mcjit_compiler(llvm.parse_assembly(""), machine())
    engine.add_object_file(llvm.ObjectFileRef.from_data(code))
    engine.finalize_object()
    address = engine.get_function_address(ENTRY)
    if not address:
        raise RuntimeError(f"the code has no {ENTRY}")
    return address, engine


def machine() -> Any:
    """What LLVM knows of this machine, for code that is to run in this process.

    A new one each time: whoever loads code takes it over.
    """
    _begun()
    return llvm.Target.from_triple(_triple()).create_target_machine(
        cpu=llvm.get_host_cpu_name(),
        features=llvm.get_host_cpu_features().flatten(),
        opt=3,
        reloc="default",
        codemodel="jitdefault",
        jit=True,
    )


@cache
def described() -> str:
    """All that machine code depends on besides its source: processor, system, LLVM."""
    _begun()
    version = ".".join(map(str, llvm.llvm_version_info))
    return " ".join(
        (llvmlite.__version__, version, _triple(), llvm.get_host_cpu_name(),
         llvm.get_host_cpu_features().flatten())
    )  # fmt: skip


@cache
def _begun() -> None:
    llvm.initialize_native_target()
    llvm.initialize_native_asmprinter()


def _triple() -> str:
    """LLVM loads into a running process what numba makes on Windows as well: ELF."""
    triple = str(llvm.get_process_triple())
    return f"{triple}-elf" if sys.platform == "win32" else triple
