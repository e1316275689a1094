"""Relations: what rules say of cells, so that puzzles in disguise can be compared.

A relation knows nothing of where its cells lie or how they are drawn. Two puzzles with the same
houses, the same clues and the same relations are the same to solve.
"""

from __future__ import annotations

from typing import Literal, NamedTuple

Renaming = Literal["any", "parity", "reversal", "none"]
"""Which digits may take one another's names and leave a rule the same: any; odd among odd and even
among even; all at once, d for size + 1 - d; none at all."""


class Relation(NamedTuple):
    """What a part of a rule says of some cells.

    ``says`` names it, numbers included: ``sum 15``. ``roles`` is the role of each cell (from 0),
    where they are not all alike: the lesser and the greater cell of a sign.
    """

    says: str
    cells: tuple[int, ...]
    roles: tuple[int, ...] = ()
