"""A month on paper: what stands in it, who may have it, and when it goes."""

from __future__ import annotations

import datetime as dt
import io
import re
from collections.abc import Iterator
from typing import Any

import pytest
from django.core import mail
from django.db import transaction
from django.test import Client
from django.utils import timezone
from django.utils.translation import override
from pypdf import PdfReader
from pytest_django import DjangoDbBlocker

from golfstats.calc.units import Unit
from golfstats.ground.clubs.models import Member, Role, User
from golfstats.ground.mail.models import WaitingLetter
from golfstats.ground.mail.tasks import send
from golfstats.ground.outbox.work import AGAIN
from golfstats.ground.walls.scope import club_scope
from golfstats.ground.words import dates_as
from players.club.services import change_settings
from players.conditions import analysis
from players.months import services, tasks
from players.months.models import MonthReport
from players.months.sheets import Sheet, as_pdf
from players.months.writing import drawn, report_of
from players.people.models import GolfRead, Player, SquadPlayer
from players.pictures.colours import Scheme
from players.pictures.shapes import Point, Row, Rows, Series, Written
from players.pictures.vega import About
from players.plans.costs.choices import _of_squad
from players.record.erasing import erase_without_sign_in
from players.rounds.models import Round
from tests import factories
from tests.players.conftest import client_of
from tests.players.simulated_golf import play_rounds


class Season:
    """A coach with a squad of two: one with twelve analysed rounds, and one without any and without a sign-in."""

    def __init__(self) -> None:
        self.club = factories.make_club("on-paper")
        with club_scope(self.club.id):
            factories.make_tee_set(factories.make_course())
            self.own: Member = factories.make_member(Role.PLAYER, "ines")
            self.player = factories.make_player("Inés Aldana", self.own)
            self.new = factories.make_player("Tomas Rehn")
            self.coach: Member = factories.make_member(Role.COACH, "coach")
            self.other: Member = factories.make_member(Role.COACH, "other")
            self.squad = factories.make_squad("First team", self.coach, self.player)
            self.squad.squad_players.create(player=self.new)
            play_rounds(self.own, self.player, 12, 8.0)
            analysis.analyse_pending()
            self.month = Round.objects.filter(player=self.player).order_by("-played_on")[0].played_on

    def ask(self, member: Member, path: str, **body: Any) -> Any:
        given = {"month": str(self.month), **body}
        return client_of(member).post(f"/api/v1/{path}/month-reports", given, format="json")

    def written(self, member: Member, path: str, **body: Any) -> tuple[str, PdfReader]:
        asked = self.ask(member, path, **body)
        assert asked.status_code == 202, asked.content
        key = asked.json()["id"]
        assert asked.json()["state"] == "pending"
        with club_scope(self.club.id):
            tasks.write_report(key)
        return key, PdfReader(io.BytesIO(self.file(member, key).content))

    def send_letter(self) -> None:
        send(self.club.id, str(WaitingLetter.objects.get().id))

    def file(self, member: Member, key: str) -> Any:
        return client_of(member).get(f"/api/v1/month-reports/{key}", headers={"Accept": "application/pdf"})


@pytest.fixture(scope="module")
def whole(django_db_setup: None, django_db_blocker: DjangoDbBlocker) -> Iterator[Season]:
    with django_db_blocker.unblock(), transaction.atomic():
        yield Season()
        transaction.set_rollback(True)


@pytest.fixture
def season(whole: Season) -> Iterator[Season]:
    with transaction.atomic():
        yield whole
        transaction.set_rollback(True)


def words(sheet: Any) -> str:
    return " ".join(sheet.extract_text().split())


def test_a_player_gets_two_sheets_with_the_figures_of_the_answers(season: Season) -> None:
    _, pdf = season.written(season.own, f"players/{season.player.id}")
    first, second = pdf.pages
    assert [float(x) for x in first.mediabox[2:]] == [595, 842]
    month = season.month
    begins = month.replace(day=1)
    ends = (begins + dt.timedelta(days=32)).replace(day=1) - dt.timedelta(days=1)
    asked = f"summary?from={begins}&to={ends}"
    told = client_of(season.own).get(f"/api/v1/players/{season.player.id}/{asked}").json()
    said = words(first)
    assert f"Inés Aldana, {month:%B %Y}" in said
    for part in ("total", "tee", "approach", "short_game", "putting"):
        assert told["strokes_gained"][part]["words"] in said
    assert "nofficial" in said
    assert "Strokes gained a round by part of the game" in words(second)


def test_days_on_paper_are_written_as_the_club_writes_them(season: Season) -> None:
    with club_scope(season.club.id):
        change_settings(season.coach.club, {"date_style": "iso"})
    _, pdf = season.written(season.own, f"players/{season.player.id}")
    said = words(pdf.pages[0])
    assert season.month.isoformat() in said
    assert f"Inés Aldana, {season.month:%Y-%m} " in said


def test_days_of_a_squad_and_of_a_change_are_written_as_the_club_writes_them(season: Season) -> None:
    day = dt.date(2026, 5, 3)
    with override("de"):
        assert "seit dem 3. Mai neben" in _of_squad(set(), [], day).words
        with dates_as("iso"):
            assert "seit dem 2026-05-03 neben" in _of_squad(set(), [], day).words
    User.objects.filter(id=season.own.user.id).update(language="de")
    _, pdf = season.written(season.own, f"players/{season.player.id}")
    before = season.month.replace(day=1) - dt.timedelta(days=1)
    assert f"keine Runde mit dieser Kennzahl bis {before.day}. " in words(pdf.pages[0])
    assert not re.search(r"\d{4}-\d\d", words(pdf.pages[0]))


def test_pictures_on_paper_speak_the_readers_language(season: Season) -> None:
    User.objects.filter(id=season.own.user.id).update(language="de")
    _, pdf = season.written(season.own, f"players/{season.player.id}")
    said = words(pdf.pages[1])
    assert "Balken: 90-%-Intervall" in said
    assert "Linie: Niveau, Band: sein 90-%-Intervall, Null: der Vergleichsgolfer" in said
    assert not re.search(r"\b(bars|line|level|zero|interval|strokes|too few)\b", said)


def test_numbers_and_months_of_a_picture_are_written_as_its_reader_does() -> None:
    points = [Point(dt.date(2026, month, 1), (month - 8) / 4) for month in (3, 5, 10)]
    over_time = Series(title="", points=points, unit=Unit.STROKES, written=Written.GAINED, aim=0.5)
    parts = [Row("Putts", Point(dt.date(2026, 3, 1), 0.5)), Row("Chips", Point(dt.date(2026, 3, 1), None))]
    rows = Rows(title="", rows=parts, written=Written.SHARE, is_share=True)
    about = About("", "", Scheme.LIGHT)
    with override("de"):
        german, shares = drawn(over_time, about), drawn(rows, about)
    english = drawn(over_time, about)
    assert re.search(r">−\d,\d<", german)
    assert not re.search(r"\d\.\d<", german)
    assert ">Mai 2026<" in german
    assert ">Ziel +0,50 Schläge<" in german
    assert ">zu wenige<" in shares
    assert ">20\N{NARROW NO-BREAK SPACE}%<" in shares
    assert re.search(r">−\d\.\d<", english)
    assert ">May 2026<" in english


def test_a_squad_gets_a_line_a_player_and_a_sheet_each(season: Season) -> None:
    _, pdf = season.written(season.coach, f"squads/{season.squad.id}")
    assert len(pdf.pages) == 3
    line = words(pdf.pages[0])
    assert "First team" in line
    assert "too few" in line.partition("Tomas Rehn")[2], "who has not played"
    assert [words(page).partition(",")[0] for page in pdf.pages[1:]] == ["Inés Aldana", "Tomas Rehn"]


def test_a_sheet_is_light_enough_for_a_mail(season: Season) -> None:
    key, pdf = season.written(season.coach, f"squads/{season.squad.id}")
    assert len(season.file(season.coach, key).content) < 60_000 * len(pdf.pages)


def test_what_changed_is_told_against_the_month_before(season: Season) -> None:
    after = (season.month.replace(day=1) + dt.timedelta(days=32)).replace(day=1)
    _, pdf = season.written(season.own, f"players/{season.player.id}", month=str(after))
    changed = words(pdf.pages[0]).partition("What changed since the month began")[2]
    assert f"than in {season.month:%B}" in changed.partition("With the greens taken out")[0]


def test_nobody_but_who_asked_has_it(season: Season) -> None:
    key, _ = season.written(season.coach, f"squads/{season.squad.id}")
    for member in (season.own, season.other):
        assert season.file(member, key).status_code == 404
    assert season.ask(season.other, f"squads/{season.squad.id}").status_code == 404
    assert season.ask(season.own, f"players/{season.new.id}").status_code == 404


def test_the_player_is_told_who_asked(season: Season) -> None:
    season.ask(season.coach, f"squads/{season.squad.id}")
    with club_scope(season.club.id):
        assert GolfRead.objects.filter(player=season.player, reader=season.coach, what="analysis").exists()


def test_a_file_is_not_given_out_about_who_may_no_longer_be_read(season: Season) -> None:
    key, _ = season.written(season.coach, f"squads/{season.squad.id}")
    with club_scope(season.club.id):
        Player.objects.filter(id=season.new.id).update(under_age=True)
    assert season.file(season.coach, key).status_code == 409
    asked = season.ask(season.coach, f"squads/{season.squad.id}").json()["id"]
    with club_scope(season.club.id):
        tasks.write_report(asked)
    pdf = PdfReader(io.BytesIO(season.file(season.coach, asked).content))
    assert not any("Tomas Rehn" in words(page) for page in pdf.pages)


def test_whoever_left_the_squad_is_not_in_a_report_written_later(season: Season) -> None:
    asked = season.ask(season.coach, f"squads/{season.squad.id}").json()["id"]
    with club_scope(season.club.id):
        SquadPlayer.objects.filter(squad=season.squad).delete()
        tasks.write_report(asked)
    told = client_of(season.coach).get(f"/api/v1/month-reports/{asked}").json()
    assert (told["state"], told["reason"]) == ("failed", "There is nobody whose golf you may read")


def test_erasing_a_player_takes_every_file_about_them(season: Season) -> None:
    season.written(season.coach, f"squads/{season.squad.id}")
    with club_scope(season.club.id):
        erase_without_sign_in(season.new, season.new.name)
        assert not MonthReport.objects.filter(tells_of__contains=[season.new.id]).exists()


@pytest.mark.parametrize("what", ["erased", "no consent"])
def test_nothing_is_kept_of_who_goes_while_it_is_written(
    season: Season, monkeypatch: pytest.MonkeyPatch, what: str
) -> None:
    asked = season.ask(season.coach, f"squads/{season.squad.id}").json()["id"]

    def goes_meanwhile(*given: Any, **named: Any) -> bytes:
        content = report_of(*given, **named)
        if what == "erased":
            erase_without_sign_in(season.new, season.new.name)
        else:
            Player.objects.filter(id=season.new.id).update(under_age=True)
        return content

    with club_scope(season.club.id):
        with monkeypatch.context() as meanwhile:
            meanwhile.setattr(tasks, "report_of", goes_meanwhile)
            assert tasks.write_report(asked) == AGAIN
        assert MonthReport.objects.get().file is None
        assert tasks.write_report(asked) is None
    pdf = PdfReader(io.BytesIO(season.file(season.coach, asked).content))
    assert not any("Tomas Rehn" in words(page) for page in pdf.pages)


def test_it_goes_after_a_week(season: Season) -> None:
    key, _ = season.written(season.own, f"players/{season.player.id}")
    told = client_of(season.own).get(f"/api/v1/month-reports/{key}").json()
    kept = dt.datetime.fromisoformat(told["kept_until"]) - timezone.now()
    assert dt.timedelta(days=6) < kept <= dt.timedelta(days=7)
    with club_scope(season.club.id):
        tasks.forget_report(key)
    assert season.file(season.own, key).status_code == 404


def test_it_is_mailed_to_ones_own_address_alone(season: Season) -> None:
    user = season.own.user
    user.email = ""
    user.save()
    refused = season.ask(season.own, f"players/{season.player.id}", mail=True)
    assert refused.status_code == 422
    user.email = "ines@club.example"
    user.save()
    season.written(season.own, f"players/{season.player.id}", mail=True)
    assert not mail.outbox, "it waits for the worker that sends mail"
    season.send_letter()
    (sent,) = mail.outbox
    assert sent.to == ["ines@club.example"]
    assert sent.subject == f"{season.month:%B %Y} on paper"
    (attached,) = sent.attachments
    assert attached[2] == "application/pdf"
    assert attached[1].startswith(b"%PDF")


def test_what_is_gone_meanwhile_is_not_mailed(season: Season) -> None:
    season.own.user.email = "ines@club.example"
    season.own.user.save()
    key, _ = season.written(season.own, f"players/{season.player.id}", mail=True)
    with club_scope(season.club.id):
        tasks.forget_report(key)
    season.send_letter()
    assert not mail.outbox


def test_what_cannot_be_written_is_refused(season: Season) -> None:
    answer = season.ask(season.own, f"players/{season.player.id}", month="2999-01")
    assert answer.status_code == 422
    before_the_calendar = season.ask(season.own, f"players/{season.player.id}", month="0001-01-01")
    assert before_the_calendar.status_code == 422
    for _ in range(services.OPEN_REPORTS):
        assert season.ask(season.own, f"players/{season.player.id}").status_code == 202
    assert season.ask(season.own, f"players/{season.player.id}").status_code == 422


def test_the_page_asks_and_gives(season: Season) -> None:
    client = Client()
    client.force_login(season.own.user)
    page = f"/clubs/{season.club.slug}/players/{season.player.id}/month"
    assert "None yet" in client.get(page).content.decode()
    assert client.post(page, {"month": str(season.month)}).status_code == 302
    assert "being written" in client.get(page).content.decode()
    with club_scope(season.club.id):
        report = MonthReport.objects.get()
        tasks.write_report(str(report.id))
    assert "Download" in client.get(page).content.decode()
    file = client.get(f"/clubs/{season.club.slug}/month-reports/{report.id}.pdf")
    assert file.content.startswith(b"%PDF")


def test_what_does_not_go_on_one_page_goes_on_on_another() -> None:
    sheet = Sheet("the foot")
    sheet.title("An unusually long name of a person " * 3, "beneath")
    sheet.table((("Number", 0.0), ("Word", 0.5)), [(f"row {number}.", "word") for number in range(100)])
    pages = [words(page) for page in PdfReader(io.BytesIO(as_pdf([sheet], "Long"))).pages]
    assert len(pages) == 3
    assert all("Number" in page and page.endswith("the foot") for page in pages)
    told = " ".join(pages)
    assert all(told.count(f"row {number}.") == 1 for number in range(100))
