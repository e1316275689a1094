"""Limits: how long each proof may take before it is undecided."""

from __future__ import annotations

from dataclasses import dataclass

from packbuilder.proof import kernel

SECONDS = 60.0
"""For the second engine, a grid."""


@dataclass(frozen=True)
class Limits:
    """``nodes`` bounds the first engine (branches), ``seconds`` the second, for each grid."""

    nodes: int = kernel.NODE_LIMIT
    seconds: float | None = SECONDS
