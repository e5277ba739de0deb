"""What belongs to rounds, for whoever reads it of several rounds at once."""

from __future__ import annotations

from collections.abc import Iterable
from uuid import UUID

from django.db.models import Prefetch, QuerySet, prefetch_related_objects

from golfstats.clubs.models import Member
from players.models import Round, RoundFigures, RoundNote, Shot
from players.queries.rounds import rounds


def rounds_with_holes(member: Member) -> QuerySet[Round]:
    """Rounds that the member may read, with their scores but not their shots."""
    return rounds(member).prefetch_related(None).prefetch_related("holes")


def load_shots(found: Iterable[Round]) -> None:
    """Give the holes of each round their shots with figures: three queries for all of them."""
    shots = Shot.objects.order_by("number").prefetch_related("figures")
    prefetch_related_objects(list(found), "holes", Prefetch("holes__shots", queryset=shots))


def stored_figures(round_ids: Iterable[UUID]) -> QuerySet[RoundFigures]:
    return RoundFigures.objects.filter(round_id__any_of=list(round_ids))


def condition_notes(round_ids: Iterable[UUID]) -> dict[UUID, str]:
    """The condition note of each round that has one."""
    return dict(RoundNote.objects.filter(round_id__any_of=list(round_ids)).values_list("round_id", "text"))
