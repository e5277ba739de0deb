"""How what keeps a club, a person or the service from harm is taken away: by nothing, or by something else in its place.

Imported before Django is set up, so that what is taken away is named and found when it is.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from importlib import import_module
from typing import Any

from pytest import MonkeyPatch  # noqa: PT013 - a type's name, for annotations alone

TakeAway = Callable[[MonkeyPatch], None]


@dataclass(frozen=True)
class Fix:
    """``test`` passes with it and fails without."""

    name: str
    test: str
    """Below ``tests/``; all of its cases, or one of them."""
    take_away: TakeAway


def without(*places: str, instead: Any) -> TakeAway:
    """Something else stands at these places."""

    def take_away(patch: MonkeyPatch) -> None:
        for place in places:
            patch.setattr(place, instead)

    return take_away


def changed(place: str, change: Callable[[Any], Any]) -> TakeAway:
    """What stands there is changed."""

    def take_away(patch: MonkeyPatch) -> None:
        module, _, name = place.rpartition(".")
        patch.setattr(place, change(getattr(import_module(module), name)))

    return take_away


def handled(kind: str, **otherwise: Any) -> TakeAway:
    """Work of this kind is done otherwise."""

    def take_away(patch: MonkeyPatch) -> None:
        handlers = import_module(f"{OUTBOX}.work").handlers
        patch.setitem(handlers, kind, replace(handlers[kind], **otherwise))

    return take_away


CLUBS = "golfstats.ground.clubs"
OUTBOX = "golfstats.ground.outbox"
HOOKS = "golfstats.ground.webhooks"
REST = "golfstats.doors.rest"


def nothing(*_given: Any, **_named: Any) -> None:
    """Done instead of what would have been done."""


def yes(*_given: Any, **_named: Any) -> bool:
    return True


def no(*_given: Any, **_named: Any) -> bool:
    return False


def as_it_is(given: Any, **_named: Any) -> Any:
    return given


def whoever_has_the_name(wish: str, password: str, email: str = "") -> Any:
    users = import_module(f"{CLUBS}.models").User.objects
    return users.filter(username=wish).first() or users.create_user(wish, email, password)


def under_the_name_itself(wish: str, password: str, email: str = "") -> Any:
    return import_module(f"{CLUBS}.models").User.objects.create_user(wish, email, password)


def every_invitation() -> Any:
    return import_module(f"{CLUBS}.models").Invitation.objects.select_related("invited_by").order_by("-id")


def due_when_the_lease_ends(work: Any, outcome: object) -> None:
    models = import_module("django.db.models")
    row = import_module(f"{OUTBOX}.models").OutstandingWork.objects.filter(id=work.id)
    if not row.filter(again_at=None).delete()[0]:
        row.update(due_at=models.F("leased_until"), leased_until=None, again_at=None)


def only_where_it_is_counted(key: str, window: int, seconds: int, by: int) -> Any:
    counts = import_module("golfstats.ground.counts")
    return counts._kept_in[import_module("django.conf").settings.COUNTS_IN].add(key, window, seconds, by)


def whatever_was_asked_since(kind: str, versions: Any) -> None:
    rows = import_module(f"{OUTBOX}.models").OutstandingWork.objects
    rows.filter(
        club_id=import_module("golfstats.ground.walls.scope").current_club_id(), kind=kind, key__in=versions
    ).delete()


def sent_within_a_transaction(patch: MonkeyPatch) -> None:
    tasks, scope = import_module(f"{HOOKS}.tasks"), import_module("golfstats.ground.walls.scope").club_scope

    def work(club_id: Any, key: str) -> Any:
        with scope(club_id):
            return tasks.deliver(club_id, key)

    handled("webhook_delivery", work=work)(patch)


def whose_work_is_oldest(shares: Any, due: Any, passed: Any, at_most: float) -> Any:
    del shares, at_most
    return due.exclude(club_id__in=passed).order_by("due_at").values_list("club_id", flat=True).first()


def without_a_cap(whose_turn: Any) -> Any:
    return lambda shares, due, passed, _at_most: whose_turn(shares, due, passed, float("inf"))


def unless_it_differs(check: Any) -> Any:
    return lambda given, version, word, needed: given is None or check(given, version, word, needed=False)


def whoever_asks(request: Any, member: Any, key: str) -> Any:
    del request
    return import_module("golfstats.ground.answered.services").earlier_answer(member, key)


def counted_apart(patch: MonkeyPatch) -> None:
    counts = import_module("golfstats.ground.counts")
    patch.setitem(counts._kept_in, "database", counts.in_process)


def of_this_window_alone(what: str, seconds: int, *, by: int = 0, now: Callable[[], float]) -> float:
    counts = import_module("golfstats.ground.counts")
    return float(counts._add(what, int(now() // seconds), seconds, by)[0])


def the_library_s_own(patch: MonkeyPatch) -> None:
    own = import_module(f"{REST}.http.authentication").BearerAuthentication
    patch.delattr(own, "authenticate")


def as_if_it_were_right(model: Any, given: Any) -> Any:
    return model.model_construct(**given) if isinstance(given, dict) else model.model_construct()


def everybody_of_age(patch: MonkeyPatch) -> None:
    patch.setattr(
        "players.people.permissions.UNPROTECTED", import_module("django.db.models").Q(id__isnull=False)
    )


def every_process_there_is(pid: int, _moment: float) -> bool:
    return bool(import_module("psutil").pid_exists(pid))
