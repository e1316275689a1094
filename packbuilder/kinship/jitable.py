"""The search for forms, as numba may compile it: as it stands, with all that it calls."""

# mypy: disable-error-code="no-untyped-call"
from __future__ import annotations

from numba.extending import register_jitable

from packbuilder.kinship import canon

for helper in canon.HELPERS:
    register_jitable(helper)

forms = canon.forms
