"""Exit codes and the one family of exceptions that carries them.

The codes are an interface: scripts may rely on them. Code 1 is Python's own for a crash and is
used for nothing else; code 2 is click's own for wrong usage.
"""

from __future__ import annotations

from enum import IntEnum


class Exit(IntEnum):
    """What the shell is told when a command ends."""

    GOOD = 0
    FAULT = 1
    """An internal fault: a bug in packbuilder."""
    USAGE = 2
    """Wrong usage, or input that cannot be read."""
    REFUSED = 3
    """The gate refused; or, for a question, the answer is no."""
    MISMATCH = 4
    """The printed file is not the verified pack."""
    UNFINISHED = 5
    """A limit or a budget ran out; what was found so far is given."""


class PackbuilderError(Exception):
    """Something a person can mend. Its text is a sentence for them; never a traceback."""

    exit: Exit = Exit.FAULT


class InputError(PackbuilderError):
    """Input that cannot be read: says what is wrong, where, and how to mend it."""

    exit = Exit.USAGE


class Refused(PackbuilderError):
    """The gate refused the pack, or the answer to a question is no."""

    exit = Exit.REFUSED


class Mismatch(PackbuilderError):
    """The read-back found that the printed file differs from the verified pack."""

    exit = Exit.MISMATCH


class Unfinished(PackbuilderError):
    """A time, node or disk limit ran out before the work was done."""

    exit = Exit.UNFINISHED
