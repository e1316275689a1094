"""Words: a step as a sentence for print, and as JSON. Built only when somebody asks."""

from __future__ import annotations

from typing import Any

from packbuilder.grid import Geometry, cell_name
from packbuilder.ladder.rungs import Ladder, Technique
from packbuilder.ladder.step import Step
from packbuilder.ladder.table import ASSUMING_UNIQUE


def tell(step: Step, geometry: Geometry) -> str:
    """The step with its reason, fit for print."""
    return step.told or technique_of(step).tell(step, geometry)


def technique_of(step: Step, ladder: Ladder = ASSUMING_UNIQUE) -> Technique:
    """The ladder's row for a step; where a slug has several, the one of the step's rung."""
    rows = ladder.rows[step.technique]
    return next((row for row in rows if row.rung == step.rung), rows[0])


def step_json(step: Step, geometry: Geometry) -> dict[str, Any]:
    """The step as a JSON object: cells as ``r1c1``, houses by label."""
    size = geometry.size
    return {
        "technique": step.technique,
        "rung": step.rung,
        "places": [[cell_name(cell, size), digit] for cell, digit in step.places],
        "removes": [[cell_name(cell, size), digit] for cell, digit in step.removes],
        "because": {
            "cells": [cell_name(cell, size) for cell in step.cells],
            "digits": list(step.digits),
            "houses": [geometry.houses[h].label for h in step.houses],
        },
        "words": tell(step, geometry),
    }
