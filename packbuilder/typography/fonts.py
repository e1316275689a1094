"""Where the type lives: font files from the font packages, by face name.

A fact of the house, shared by the rooms that set type and the room that checks it. It draws
nothing. Both families are under the SIL Open Font License and have tabular digits.
"""

from __future__ import annotations

from functools import cache
from importlib.util import find_spec
from pathlib import Path

from packbuilder.errors import InputError

PACKAGES = {"SourceSansPro": "font_source_sans_pro", "SourceSerifPro": "font_source_serif_pro"}

FIGURE_HEIGHT = 0.645
"""Height of a figure of Source Sans Pro in ems: between the flat 1 (0.637) and the round 8."""


@cache
def font_file(face: str) -> Path:
    """The TrueType file of a face, such as ``SourceSansPro-Semibold``.

    Raises InputError where the face is not one that the font packages carry.
    """
    family = face.partition("-")[0]
    if family in PACKAGES:
        spec = find_spec(PACKAGES[family])  # finds without importing: the packages glob on import
        if spec is not None and spec.origin is not None:
            path = Path(spec.origin).parent / "files" / f"{face}.ttf"
            if path.is_file():
                return path
    raise InputError(f"no font face {face!r}; the faces are: {', '.join(faces())}")


def faces() -> list[str]:
    """Every face that the font packages carry, sorted."""
    found = []
    for package in PACKAGES.values():
        spec = find_spec(package)
        if spec is not None and spec.origin is not None:
            found += [p.stem for p in (Path(spec.origin).parent / "files").glob("*.ttf")]
    return sorted(found)
