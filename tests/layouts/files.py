"""Layout files for tests: a shipped one with some text changed."""

from __future__ import annotations

from pathlib import Path

SHIPPED = Path(__file__).resolve().parent.parent.parent / "layouts"


def changed(folder: Path, name: str, *changes: tuple[str, str]) -> Path:
    """A shipped layout with some text changed, as ``mine.yaml``; gives its folder."""
    text = (SHIPPED / f"{name}.yaml").read_text(encoding="utf-8")
    for old, new in changes:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    (folder / "mine.yaml").write_text(text, encoding="utf-8")
    return folder


def line_of(folder: Path, text: str) -> int:
    """The line of ``mine.yaml`` on which a text stands first."""
    rows = (folder / "mine.yaml").read_text(encoding="utf-8").splitlines()
    return next(k for k, row in enumerate(rows, start=1) if text in row)
