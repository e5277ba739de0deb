"""Everything that is kept of a person in a club, as one zip of JSON and CSV with a page that says what is what."""

from __future__ import annotations

import csv
import io
import zipfile
from collections.abc import Callable, Iterable, Iterator
from dataclasses import asdict
from typing import Any
from uuid import UUID

import orjson
from django.db.models import F, QuerySet
from django.utils import timezone
from knox.models import AuthToken

from golfstats.ground.clubs import second_factor
from golfstats.ground.clubs.membership import memberships
from golfstats.ground.clubs.models import Member, SignIn
from golfstats.ground.webhooks.services import messages_about
from players.files.csv_format import safe_text
from players.files.incoming.taken_along import TO_POST_AGAIN
from players.files.models import ImportKind
from players.files.outgoing import exports
from players.people.models import Player
from players.record.tables import (
    LEFT_OUT_COLUMNS,
    OF_MEMBER,
    OF_PLAYER,
    done_by_members,
    invitations_of,
    messages_about_member,
)
from players.rounds.answers import with_places
from players.rounds.models import Round

README = "README.txt"
ROUNDS = "rounds_with_shots.json"
DONE = "what_you_did.csv"

Lines = list[dict[str, object]]
Write = Callable[[QuerySet[Round], UUID, str], Iterator[str] | Iterator[bytes]]


def record_of(member: Member) -> bytes:
    """The zip. In the club's scope, and as of one moment if the transaction is."""
    target = io.BytesIO()
    with zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as file:
        entries = list(_write(file, member))
        file.writestr(README, _readme(member, entries))
    return target.getvalue()


def _write(file: zipfile.ZipFile, member: Member) -> Iterator[tuple[str, str]]:
    """Write every file but the page about them; gives each one's name and what it holds."""
    for name, about, lines in _tables(member):
        _both(file, name, lines)
        yield f"{name}.json, {name}.csv", about
    player = Player.objects.filter(member=member).first()
    if player is not None:
        yield from _rounds(file, player)
    file.writestr(DONE, _csv(("table", "as", "row"), _done(member)))
    yield DONE, "Rows about others, courses and the like that name you as who made or changed them"


def _tables(member: Member) -> Iterator[tuple[str, str, Lines]]:
    yield "account", "Your sign-in", [_account(member)]
    yield "clubs", "The clubs that you belong to; each has a record of its own", _clubs(member)
    yield "tokens", "Your access tokens, without what they are", _tokens(member)
    known = second_factor.known_of(member.user)
    about = "Whether a second factor is set up, since when; its key and codes are not told"
    yield "second_factor", about, [] if known is None else [asdict(known)]
    yield "sign_ins", "When and from where your password was used", _sign_ins(member)
    yield "invitations", "Invitations that you accepted", list(_lines(invitations_of(member)))
    for kept in OF_MEMBER:
        yield kept.name, kept.about, list(_lines(kept.of(member)))
    about = "Messages to machines of the club's about your membership"
    yield "membership_messages", about, list(_lines(messages_about_member(member)))
    player = Player.objects.filter(member=member).first()
    if player is None:
        return
    for kept in OF_PLAYER:
        yield kept.name, kept.about, list(_lines(kept.of(player)))
    about = "Messages to machines of the club's that named you"
    yield "messages", about, list(_lines(messages_about(player.id)))


def _rounds(file: zipfile.ZipFile, player: Player) -> Iterator[tuple[str, str]]:
    rounds, club = with_places(Round.objects.filter(player=player)), player.club
    files: dict[str, tuple[Write, str]] = {
        ROUNDS: (exports.rounds_json, "Your rounds with every shot, as the service tells them"),
        TO_POST_AGAIN[ImportKind.SCORES]: (
            exports.rounds_csv,
            "The same by hole scores: any club imports it",
        ),
        TO_POST_AGAIN[ImportKind.SHOTS]: (exports.shots_csv, "The same shot by shot: any club imports it"),
    }
    for name, (write, about) in files.items():
        with file.open(name, "w") as part:
            for piece in write(rounds, club.id, club.distance_unit):
                part.write(piece if isinstance(piece, bytes) else piece.encode())
        yield name, about


def _account(member: Member) -> dict[str, object]:
    user = member.user
    fields = ("username", "first_name", "last_name", "email", "language", "date_joined", "last_login")
    return {name: getattr(user, name) for name in fields}


def _clubs(member: Member) -> Lines:
    places = memberships(member.user_id)
    return [{"club": one.club.name, "name": one.name, "role": one.role} for one in places]


def _tokens(member: Member) -> Lines:
    names = {
        "name": F("details__name"),
        "scope": F("details__scope"),
        "last_used_at": F("details__last_used_at"),
    }
    tokens = AuthToken.objects.filter(user_id=member.user_id).order_by("created")
    return list(tokens.values("created", "expiry", **names))


def _sign_ins(member: Member) -> Lines:
    sign_ins = SignIn.objects.filter(user_id=member.user_id).order_by("at")
    return [{"at": one.at, "address": one.address} for one in sign_ins]


def _lines(rows: QuerySet[Any]) -> Iterator[dict[str, object]]:
    """Every column but the club's and secrets."""
    fields = [field for field in rows.model._meta.concrete_fields if field.name not in LEFT_OUT_COLUMNS]
    names = [field.attname for field in fields]
    for values in rows.values_list(*names).iterator():
        yield dict(zip(names, values, strict=True))


def _done(member: Member) -> Iterator[tuple[object, ...]]:
    for done in done_by_members():
        for key in done.by(member).values_list("pk", flat=True):
            yield done.model._meta.verbose_name, done.column, key


def _both(file: zipfile.ZipFile, name: str, lines: Lines) -> None:
    file.writestr(f"{name}.json", orjson.dumps(lines, default=str, option=orjson.OPT_INDENT_2))
    header = list(lines[0]) if lines else []
    file.writestr(f"{name}.csv", _csv(header, (map(_cell, line.values()) for line in lines)))


def _csv(header: Iterable[str], rows: Iterable[Iterable[object]]) -> str:
    text = io.StringIO()
    writer = csv.writer(text)
    writer.writerow(header)
    writer.writerows(rows)
    return text.getvalue()


def _cell(value: Any) -> object:
    if isinstance(value, str):
        return safe_text(value)
    if isinstance(value, (dict, list)):
        return orjson.dumps(value, default=str).decode()
    return "" if value is None else value


def _readme(member: Member, entries: Iterable[tuple[str, str]]) -> str:
    lines = "\n".join(f"{names}\n    {about}." for names, about in entries)
    return (
        f"What {member.club.name} keeps of {member.name}, as of {timezone.now():%Y-%m-%d %H:%M} UTC.\n\n"
        "JSON is UTF-8; CSV is RFC 4180 with a header. In a CSV a text that a spreadsheet would take for a formula "
        "has an apostrophe in front. Times are UTC, days are days at the club, lengths are yards unless a file "
        "says otherwise. A password is kept only as a hash, and a token as another: neither is in here.\n\n"
        "Another club takes this whole file by its imports: your rounds are then yours there, shot by shot. Rounds of "
        "which you kept the scores alone come along when the file is sent once more as one of scores; what is there "
        "already is left out.\n\n"
        f"{lines}\n"
    )
