"""Every file that the contributor's guide names is there."""

from __future__ import annotations

import re

from tests.conftest import ROOT

GUIDE = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
FILES = [path.relative_to(ROOT).as_posix() for path in ROOT.rglob("*") if ".venv" not in path.parts]


def named() -> list[str]:
    """Files and rooms by their names, of which the last parts may be enough."""
    found = re.findall(r"`([\w./-]+(?:\.(?:py|md|txt|ya?ml|toml)|/))`", GUIDE)
    return [name for name in found if "NAME" not in name]


def test_every_file_that_the_guide_names_is_there() -> None:
    assert len(named()) > 80
    have = {f"/{path}" for path in FILES}
    gone = [name for name in named() if not any(p.endswith(f"/{name.rstrip('/')}") for p in have)]
    assert gone == []
