"""Base of every table that belongs to a club."""

from __future__ import annotations

from typing import Any, TypeVar

from django.db import models

from golfstats.ground.ids import new_id
from golfstats.ground.walls.scope import current_club_id

OwnedT = TypeVar("OwnedT", bound="ClubOwned")


class ClubManager(models.Manager[OwnedT]):
    """Sees the club in scope; without a scope every query raises instead of returning rows."""

    def get_queryset(self) -> models.QuerySet[OwnedT]:
        return super().get_queryset().filter(club_id=current_club_id())


class ClubOwned(models.Model):
    """A row of one club: UUIDv7 key, the club from the scope, a manager that fails without one."""

    id = models.UUIDField(primary_key=True, default=new_id, editable=False)
    club = models.ForeignKey(
        "clubs.Club", on_delete=models.CASCADE, default=current_club_id, editable=False, related_name="+"
    )

    objects = ClubManager()

    class Meta:
        abstract = True
        # Related rows are fetched through the base manager: it has to be scoped as well.
        base_manager_name = "objects"


class OwnedForeignKey(models.ForeignKey[Any, Any]):
    """A key between two tables of one club.

    PostgreSQL checks keys without regard to row-level security, so the simple constraint would let a
    row point into another club. ``row_security.ProtectTables`` makes it (club_id, id) instead.
    """

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        kwargs["db_constraint"] = False
        super().__init__(*args, **kwargs)

    def deconstruct(self) -> Any:
        name, path, args, kwargs = super().deconstruct()
        del kwargs["db_constraint"]
        return name, path, args, kwargs
