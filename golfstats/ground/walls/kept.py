"""Statements about rows of the club in scope that are written once, for whichever club."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from typing import Any

from django.db.models import Model, QuerySet

from golfstats.ground.statements import Statement
from golfstats.ground.walls.lookups import Keys
from golfstats.ground.walls.scope import current_club_id

ANY_KEYS = Keys("{any}")
"""Stands for the keys that a statement is sent with, as ``keys``: ``id__any_of=ANY_KEYS``."""


class KeptStatement(Statement):
    """What the worker asks of each round, for one: Django takes longer to write it than PostgreSQL to answer it.

    ``standing``: by its name, what stands in ``rows`` for a value that the statement is sent with.
    """

    def __init__(
        self, rows: Callable[[], QuerySet[Any, Any]], *models: type[Model], **standing: Hashable
    ) -> None:
        names = {value: name for name, value in standing.items()}
        super().__init__(
            rows, *models, standing_for=lambda: {current_club_id(): "club", ANY_KEYS.text: "keys", **names}
        )

    def found(self, **given: object) -> list[Any]:
        """Without any keys nothing is asked, and nothing found."""
        if given.get("keys") == []:
            return []
        return super().found(club=current_club_id(), **given)

    def rows(self, **given: object) -> list[Any]:
        """Objects of the one model that it finds."""
        return [self.objects(line)[0] for line in self.found(**given)]
