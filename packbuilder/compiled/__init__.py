"""Compiled code: made by numba once, kept as machine code, and run without numba after that.

    Kernel("...search:run") ──> kept? ──yes──> checked, loaded (llvmlite), tried ──> called
                                  │                                                  ^
                                  no ──> numba: wrapper, LLVM's words, machine code ─┘──> kept

Numba's own cache keeps machine code too, but takes numba and what it says of types to read it: 0.3
seconds of each start, where loading the code takes 0.003.
"""

from packbuilder.compiled.kernel import Kernel
from packbuilder.compiled.words import Laid, laid

__all__ = ["Kernel", "Laid", "laid"]
