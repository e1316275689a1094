"""Leaflets made: printed from their plan, and held against it."""

from __future__ import annotations

import io
from pathlib import Path

from packbuilder import press
from packbuilder.errors import Mismatch
from packbuilder.plan.items import Plan
from packbuilder.readback.as_planned import differences


def write_leaflet(plan: Plan, path: Path) -> Path:
    """Print a leaflet; gives its path. Raises Mismatch where the file is not the plan."""
    out = io.BytesIO()
    press.write_pdf(plan, out)
    for finding in differences(out.getvalue(), plan):
        raise Mismatch(f"{path.name}: the printed file is not what was planned: {finding.words()}")
    path.write_bytes(out.getvalue())
    return path
