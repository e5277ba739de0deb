"""Each role walks from its start to every page that is linked there, without scripts."""

from __future__ import annotations

import ast
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from django.conf import settings
from django.test import Client

from courses.layout.models import Course
from golfstats.doors.pages.screens.problems import MEANINGS
from golfstats.ground.clubs.models import Member
from golfstats.ground.walls.scope import club_scope
from players.rounds.models import Round
from tests import factories
from tests.web.conftest import Place, signed_in
from tests.web.pages import Page

OURS = ("/clubs/", "/problems/", "/sign-in")


def walk(client: Client, start: str) -> dict[str, Page]:
    """Every page of ours that can be reached by links from the start. Each has to answer 200.

    A page that is asked in several ways is read in the first of them.
    """
    found: dict[str, Page] = {}
    seen: set[str] = set()
    ahead = [start]
    while ahead:
        address = ahead.pop()
        path = address.partition("?")[0].partition("#")[0]
        if path in seen:
            continue
        seen.add(path)
        response = client.get(address, follow=True)
        assert response.status_code == 200, address
        policy = response.headers["Content-Security-Policy"]
        assert "script-src 'self';" in policy, address
        assert "unsafe" not in policy, address
        found[address] = Page.of(response.content)
        ahead += [link for link in found[address].links if link == "/" or link.startswith(OURS)]
    return found


@pytest.fixture(params=["player_member", "coach", "greenkeeper", "manager"])
def member(request: pytest.FixtureRequest, place: Place) -> Member:
    found: Member = getattr(place, request.param)
    return found


def test_all_pages_answer_and_load_nothing_from_elsewhere(member: Member, played: Round) -> None:
    pages = walk(signed_in(member), "/")
    assert len(pages) >= 5
    for address, page in pages.items():
        for loaded in page.addresses:
            assert urlsplit(loaded).netloc == "", f"{address} leads to {loaded}"
        assert page.inline == [], address


def test_every_page_has_one_heading_labels_and_table_headers(member: Member, played: Round) -> None:
    for address, page in walk(signed_in(member), "/").items():
        assert len(page.headings) == 1, address
        unlabelled = [
            one for one in page.fields if one.get("id") not in page.labelled and not one.get("aria-label")
        ]
        assert unlabelled == [], address
        assert page.headed >= page.tables, f"{address} has a table without headed columns"


def test_every_page_with_a_handicap_says_it_is_unofficial(place: Place, played: Round) -> None:
    for address, page in walk(signed_in(place.coach), f"/clubs/{place.club.slug}/").items():
        assert "nofficial" in page.text, address


def test_our_own_scripts_and_styles_name_no_outside_host() -> None:
    # The one address in them is the name of the SVG standard, which nothing fetches.
    for path in (Path(settings.BASE_DIR) / "golfstats" / "doors" / "pages" / "static").rglob("*.*"):
        text = path.read_text(encoding="utf-8").replace("http://www.w3.org/2000/svg", "")
        assert "http" not in text, path
        assert '"//' not in text, path


def test_a_player_sees_his_own_page_and_nobody_elses(place: Place, played: Round) -> None:
    own, other = signed_in(place.player_member), signed_in(place.other_member)
    start = f"/clubs/{place.club.slug}/"
    assert "Ines Aldana" in Page.of(own.get(start).content).text
    assert "Ines Aldana" not in Page.of(other.get(start).content).text
    for address in (f"players/{place.player.id}", f"rounds/{played.id}", f"rounds/{played.id}/edit"):
        assert own.get(start + address).status_code == 200, address
        assert other.get(start + address).status_code == 404, address


def test_a_coach_sees_the_players_of_his_squads_only(place: Place, played: Round) -> None:
    coach = signed_in(place.coach)
    start = f"/clubs/{place.club.slug}/"
    page = Page.of(coach.get(start).content)
    assert "First team" in page.text
    assert "Ines Aldana" in page.text
    assert coach.get(f"{start}players/{place.player.id}").status_code == 200
    assert coach.get(f"{start}players/{place.other_player.id}").status_code == 404


def test_a_greenkeeper_sees_greens_and_no_golf(place: Place, played: Round) -> None:
    greenkeeper = signed_in(place.greenkeeper)
    start = f"/clubs/{place.club.slug}/"
    assert "Long course: greens" in Page.of(greenkeeper.get(start, follow=True).content).headings
    assert greenkeeper.get(f"{start}players/{place.player.id}").status_code == 404
    assert greenkeeper.get(f"{start}rounds/new").status_code == 403


def test_only_staff_get_forms_for_greens_and_members(place: Place) -> None:
    with club_scope(place.club.id):
        course = Course.objects.get()
    start = f"/clubs/{place.club.slug}/"
    player = signed_in(place.player_member)
    for address in (f"courses/{course.id}/green-work/new", f"courses/{course.id}/readings/new", "members"):
        assert player.get(start + address).status_code == 403, address
        assert player.post(start + address, {}).status_code == 403, address
    assert signed_in(place.greenkeeper).get(start + "members").status_code == 403


def test_another_clubs_pages_do_not_exist(place: Place, played: Round) -> None:
    elsewhere = factories.make_club("stonebarrow")
    with club_scope(elsewhere.id):
        stranger = signed_in(factories.make_member(factories.Role.MANAGER, "stranger"))
    for address in ("", "players", f"players/{place.player.id}", f"rounds/{played.id}", "greens", "members"):
        assert stranger.get(f"/clubs/{place.club.slug}/{address}").status_code == 404, address
        # The other club's things do not exist under one's own club either.
        if "/" in address:
            assert stranger.get(f"/clubs/stonebarrow/{address}").status_code == 404, address


def test_without_signing_in_pages_lead_to_the_sign_in(place: Place) -> None:
    response = Client().get(f"/clubs/{place.club.slug}/players")
    assert response.status_code == 302
    assert response["Location"].startswith("/sign-in?next=/clubs/")


def test_signing_in_leads_to_the_only_club(place: Place) -> None:
    place.coach.user.set_password("a-long-password")
    place.coach.user.save()
    client = Client()
    wrong = client.post("/sign-in", {"username": "coach", "password": "something"})
    assert "do not belong together" in Page.of(wrong.content).text
    response = client.post("/sign-in", {"username": "coach", "password": "a-long-password"})
    assert response["Location"] == f"/clubs/{place.club.slug}/"
    client.post("/sign-out")
    assert client.get(f"/clubs/{place.club.slug}/").status_code == 302


def test_a_person_of_several_clubs_chooses(place: Place) -> None:
    other = factories.make_club("stonebarrow")
    with club_scope(other.id):
        Member.objects.create(club=other, user=place.coach.user, role="manager", name="Coach")
    page = Page.of(signed_in(place.coach).get("/").content)
    assert {"/clubs/larkmoor/", "/clubs/stonebarrow/"} <= set(page.links)


def test_sign_ins_are_shown_for_a_demo_only(db: None) -> None:
    assert "demo club" not in Page.of(Client().get("/").content).text


def test_every_problem_of_the_api_is_explained(db: None) -> None:
    """Read from the source: whatever kind a ProblemError is made with has a page."""
    kinds = {"not-found", "invalid-request", "not-authenticated", "throttled", "method-not-allowed"}
    for top in ("golfstats", "courses", "players"):
        for path in (Path(settings.BASE_DIR) / top).rglob("*.py"):
            for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
                if (
                    isinstance(node, ast.Call)
                    and getattr(node.func, "id", "") == "ProblemError"
                    and node.args
                ):
                    assert isinstance(node.args[0], ast.Constant | ast.Name), path
                    if isinstance(node.args[0], ast.Constant):
                        kinds.add(str(node.args[0].value))
    assert kinds <= set(MEANINGS)
    for kind in MEANINGS:
        assert Client().get(f"/problems/{kind}").status_code == 200
    assert Client().get("/problems/no-such-kind").status_code == 404


def test_another_clubs_managing_and_putting_right_is_refused(place: Place, played: Round) -> None:
    """Whatever changes something is refused to who may not, and unknown to another club."""
    with club_scope(place.club.id):
        course = Course.objects.get()
    own = f"/clubs/{place.club.slug}/"
    for page in (
        "club",
        "club/settings",
        "courses",
        f"courses/{course.id}/layout",
        "squads",
        "imports",
        "webhooks",
    ):
        assert signed_in(place.manager).get(own + page).status_code == 200, page
        for other in (place.coach, place.player_member, place.greenkeeper):
            assert signed_in(other).get(own + page).status_code == 403, page
    elsewhere = factories.make_club("stonebarrow")
    with club_scope(elsewhere.id):
        stranger = signed_in(factories.make_member(factories.Role.MANAGER, "stranger"))
    for page in (
        f"courses/{course.id}/layout",
        f"members/players/{place.player.id}",
        f"squads/{place.squad.id}/change",
    ):
        assert stranger.get(f"/clubs/stonebarrow/{page}").status_code == 404, page
    for act in (
        f"members/{place.coach.id}/remove",
        f"squads/{place.squad.id}/remove",
        f"courses/{course.id}/remove",
    ):
        assert stranger.post(f"/clubs/stonebarrow/{act}").status_code == 404, act
        assert signed_in(place.coach).post(own + act).status_code == 403, act
