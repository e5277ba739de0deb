"""Playing conditions calculation (Rule 5.6): when it may run. Its constants are not published, so its
result is always an input.
"""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal

HIGHEST_INDEX = Decimal("36.0")
SCORES_NEEDED = 8


def enough_scores(indexes: Iterable[Decimal]) -> bool:
    """Whether eight acceptable scores of the day come from players with an index of at most 36.0."""
    return sum(index <= HIGHEST_INDEX for index in indexes) >= SCORES_NEEDED
