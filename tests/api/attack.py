"""An attack on one operation by every kind of member of another club, and what it found."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from typing import Any

from django.db import IntegrityError, connection, transaction

from golfstats.doors.rest.views import ClubView
from golfstats.ground.clubs.models import Member, User
from golfstats.ground.walls.scope import club_scope
from tests.api.calls import Call
from tests.api.requests import (
    UUID,
    Answer,
    Sent,
    check_keys_now,
    send,
    undone,
    valid,
    with_foreign_filters,
    with_foreign_ids,
)
from tests.api.routes import Route
from tests.api.world import World
from tests.rows import owned_models

SENTINEL = "zqxsentinelxqz"


@dataclass(frozen=True)
class Target:
    """An operation under attack."""

    route: Route
    method: str
    call: Call
    parameters: list[dict[str, Any]]
    """Of the API document."""

    @property
    def needs_no_sign_in(self) -> bool:
        return not self.route.is_rest


def attack(target: Target, own: World, victim: World) -> list[str]:
    """Everything that went wrong, each as a sentence; empty where the operation is safe."""
    return attack_by(own.members.values(), target, own, victim)


def attack_by(
    members: Iterable[Member], target: Target, own: World, victim: World, *, naming_the_club: bool = True
) -> list[str]:
    """The same by these members of the own club; without naming the victim's club if they may do that."""
    before = contents_of(victim)
    with undone():
        found = [
            fault
            for member in members
            for fault in _by(member, target, own, victim, naming_the_club=naming_the_club)
        ]
        if contents_of(victim) != before:
            found.append("the victim's rows are not what they were")
    return found


def _by(member: Member, target: Target, own: World, victim: World, *, naming_the_club: bool) -> Iterator[str]:
    sent = valid(own, target.route, target.method, target.call)
    for one, is_refusal in _tries(sent, target, own, victim):
        if not naming_the_club and one.headers:
            continue
        with transaction.atomic():
            answer = send(member, one)
            faults = list(leaks(answer, one, victim))
            if answer.status_code < 400:
                faults += dangling_keys()
        if not is_refusal(answer) and not _is_forbidden_at_home(answer, member, sent):
            faults.append(f"answered {answer.status_code} {answer.text[:200]}")
        yield from (f"{member.role}: {one.words}: {fault}" for fault in faults)
    if naming_the_club and not target.route.parameters:
        with undone():
            answer = send(member, sent)
            yield from (f"{member.role}: {sent.words}: {fault}" for fault in leaks(answer, sent, victim))


def _tries(
    sent: Sent, target: Target, own: World, victim: World
) -> Iterator[tuple[Sent, Callable[[Any], bool]]]:
    """Every request that names something of the victim's, and what a proper answer to it is."""
    foreign = with_foreign_ids(sent, own, victim, "address")
    if target.needs_no_sign_in and len(foreign) > 1:
        foreign.pop()  # all of them together are the victim's own secret address
    in_club = [replace(one, headers={"Club": victim.club.slug}) for one in (sent, *foreign)]
    if issubclass(target.route.view, ClubView):
        yield from ((one, _is_not_found) for one in in_club)
    says_no = target.call.says_no or (lambda answer: False)
    yield from ((one, _is_no_such) for one in foreign)
    yield from ((one, _is_no_such_or_empty) for one in with_foreign_filters(sent, target.parameters, victim))
    for one in with_foreign_ids(sent, own, victim, "body"):
        yield one, lambda answer: _is_no_such(answer) or (answer.status_code == 200 and says_no(answer.json))


def _is_not_found(answer: Answer) -> bool:
    return answer.status_code == 404


def _is_no_such(answer: Answer) -> bool:
    """404, or 422 with nothing but "no such …" among its faults."""
    if answer.status_code == 422:
        return all(fault["code"].startswith("no_such") for fault in answer.json["errors"])
    return _is_not_found(answer)


def _is_no_such_or_empty(answer: Answer) -> bool:
    """As above, or a list without a row, or a table with its heading alone."""
    if answer.status_code != 200:
        return _is_no_such(answer)
    if answer.headers["Content-Type"].startswith("text/csv"):
        return len(answer.text.splitlines()) == 1
    found = answer.json
    return (found["results"] if isinstance(found, dict) else found) == []


def _is_forbidden_at_home(answer: Answer, member: Member, sent: Sent) -> bool:
    """403 tells nothing where it is the answer to the same request about one's own club as well."""
    if answer.status_code != 403:
        return False
    with undone():
        return send(member, sent).status_code == 403


def leaks(answer: Answer, sent: Sent, victim: World) -> Iterator[str]:
    """What an answer tells of the victim, in its body or its headers."""
    told = answer.text + "\n".join(f"{k}: {v}" for k, v in answer.headers.items())
    if answer.status_code >= 500:
        yield "broke"
    if SENTINEL in told:
        yield "told the victim's text"
    known = set(UUID.findall(sent.words))
    if (set(UUID.findall(told)) - known) & ids_of(victim):
        yield "told a victim's id"


def dangling_keys() -> list[str]:
    try:
        check_keys_now()
    except IntegrityError:
        transaction.set_rollback(True)
        return ["saved a key into another club"]
    return []


_ids: dict[object, set[str]] = {}


def ids_of(world: World) -> set[str]:
    """The key of every row of a club."""
    if world.club.id not in _ids:
        with club_scope(world.club.id):
            keys = {
                str(key) for model in owned_models() for key in model.objects.values_list("id", flat=True)
            }
        _ids[world.club.id] = keys | {str(world.club.id)}
    return _ids[world.club.id]


def contents_of(world: World, without: frozenset[str] = frozenset()) -> list[tuple[str, str]]:
    """A checksum of every table of a club."""
    tables = {model._meta.db_table: "club_id" for model in owned_models()}
    tables |= {"clubs_club": "id", "outbox_outstandingwork": "club_id"}
    checksum = (
        "SELECT '{0}', md5(string_agg(row::text, '|' ORDER BY row::text)) FROM {0} row WHERE {1} = %(club)s"
    )
    parts = [checksum.format(name, key) for name, key in tables.items() if name not in without]
    people = f"SELECT 'people', md5(string_agg(row::text, '|' ORDER BY id)) FROM {User._meta.db_table} row"
    people += " WHERE id IN (SELECT user_id FROM clubs_member WHERE club_id = %(club)s)"
    with club_scope(world.club.id), connection.cursor() as cursor:
        cursor.execute(" UNION ALL ".join([*parts, people]), {"club": world.club.id})
        return sorted(cursor.fetchall())
