"""Rules that are written as a bare name: the whole grid keeps them, and nothing is drawn."""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Sequence
from typing import Any

from packbuilder.grid import Geometry
from packbuilder.rules.contract import Kind, Part, Told
from packbuilder.rules.shapes import Shape
from packbuilder.rules.tools.cells import nothing
from packbuilder.rules.tools.clue_words import labelled
from packbuilder.rules.tools.schema import BARE

NO_CLUES = "The whole grid keeps this rule; it has no clues."
"""What the text edition says of such a rule besides its meaning."""


class BareKind(Kind):
    """A rule without a value. One that is drawn all the same tells its parts by itself."""

    @abstractmethod
    def whole(self, geometry: Geometry) -> tuple[Part, ...]:
        """What the rule is in a grid."""

    def read(self, value: Any, geometry: Geometry) -> tuple[Part, ...]:
        """The rule, once for the whole grid."""
        nothing(value, self.slug)
        return self.whole(geometry)

    def schema(self) -> dict[str, Any]:
        """A bare name."""
        return BARE

    def write(self, parts: Sequence[Part], geometry: Geometry) -> tuple[Told, ...]:
        """Nothing: its name says all."""
        return ()

    def parse(self, told: Sequence[Told], geometry: Geometry) -> tuple[Part, ...]:
        """The rule, from no words at all."""
        labelled(told, ())
        return self.whole(geometry)

    def recover(self, shapes: Sequence[Shape], geometry: Geometry) -> tuple[Part, ...]:
        """Nothing: the rule has no shape."""
        return ()
