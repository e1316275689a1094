"""Staging: files are made aside and moved into place together, or not at all."""

from __future__ import annotations

import contextlib
import errno
import shutil
import tempfile
from collections.abc import Iterator, Sequence
from pathlib import Path

from packbuilder.errors import InputError, Unfinished

NOT_RELEASED = "nothing was released"


@contextlib.contextmanager
def staging(out: Path, outcome: str = NOT_RELEASED) -> Iterator[Path]:
    """A new folder inside ``out``, gone at the end; so is ``out`` if it was made for nothing.

    Raises InputError where ``out`` cannot be written to, and Unfinished where the disk is full;
    ``outcome`` says in either sentence what came of it.
    """
    made: list[Path] = []
    aside: Path | None = None
    try:
        if out.exists() and not out.is_dir():
            raise InputError(f"{out}: is a file; name a folder with --out")
        made += [folder for folder in (out, *out.parents) if not folder.exists()]
        out.mkdir(parents=True, exist_ok=True)
        aside = Path(tempfile.mkdtemp(prefix=".making-", dir=out))
        yield aside
    except OSError as fault:
        raise disk_fault(fault, out, outcome) from fault
    finally:
        if aside is not None:
            shutil.rmtree(aside, ignore_errors=True)
        for folder in made:
            with contextlib.suppress(OSError):
                folder.rmdir()  # only where nothing was released into it


def move_in(made: Sequence[Path], out: Path, outdated: Sequence[Path] = ()) -> tuple[Path, ...]:
    """Move finished files out of their staging folder into ``out``; take ``outdated`` ones away.

    If any of it fails, or is interrupted, ``out`` is as it was. Gives the files' new places.
    """
    aside = made[0].parent / "earlier"
    aside.mkdir()
    places = [out / path.name for path in made]
    for place in places:
        if place.is_symlink() or (place.exists() and not place.is_file()):
            raise InputError(
                f"{place}: stands where a file of the release goes; move it away, "
                "or name another folder with --out"
            )
    taken = {place for place in (*places, *outdated) if place.exists()}
    try:
        for place in outdated:
            place.replace(aside / place.name)
        for path, place in zip(made, places, strict=True):
            if place in taken:
                place.replace(aside / path.name)
            path.replace(place)
    except BaseException:  # an interrupt too must leave the earlier release whole
        for place in (*places, *outdated):
            if (aside / place.name).exists():
                (aside / place.name).replace(place)
            elif place not in taken:
                place.unlink(missing_ok=True)
        raise
    return tuple(places)


def disk_fault(fault: OSError, out: Path, outcome: str) -> Exception:
    """The fault to raise for what the system says of a folder: Unfinished for a full disk."""
    if fault.errno in (errno.ENOSPC, errno.EDQUOT):
        return Unfinished(f"{out}: the disk is full; {outcome}. Make room and try again")
    return InputError(
        f"{fault.filename or out}: {fault.strerror or fault}; {outcome}. "
        "Check that the folder may be written to, or name another"
    )
