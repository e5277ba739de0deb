"""Whoever meets a figure can ask what it is: on every page, without a script, and in the words of the API."""

from __future__ import annotations

import re

import pytest
from django.test import Client

from golfstats.doors.pages.meanings import FIELDS, meanings
from golfstats.ground.clubs.models import Member
from players.figures.meanings import specs_by_key
from players.rounds.models import Round
from tests.web.conftest import Place, signed_in
from tests.web.test_pages_of_every_role import OURS

SECTION = re.compile(r"<section.*?</section>", re.DOTALL)
FIGURES = ('class="value"', 'class="interval-words"', 'class="too-few"', '<svg viewBox="0 0')
WITHOUT: dict[str, str] = {
    "Hole by hole": "the strokes of a round that its first section explains",
    "The coming 30 days": "one percentage, explained beneath its picture",
    "The season": "days in a calendar, no figure",
    "Readings": "what a meter showed",
}
"""Sections that need none, and why."""


def test_every_figure_says_what_it_means() -> None:
    for one in meanings([*specs_by_key(), *FIELDS], "yards"):
        assert one.name
        assert len(one.words.split()) >= 5, one
        assert one.words.endswith("."), one


def test_a_figure_says_its_unit_its_better_way_and_its_minimum() -> None:
    for key, spec in specs_by_key().items():
        (yards,), (metres,) = meanings([key], "yards"), meanings([key], "metres")
        way = {"higher": "more is better", "lower": "less is better"}[spec.better]
        assert way in yards.words, key
        assert f"Fewer than {spec.minimum_n} {spec.per}s are too few." in yards.words, key
        assert ("share in percent" if spec.unit == "share" else f"In {spec.unit.value}") in yards.words, key
        if spec.unit in ("yd", "ft"):
            assert "In m;" in metres.words, key
        if "gained" in key:
            assert "Zero is the golfer compared with." in yards.words, key


@pytest.fixture(params=["player_member", "coach", "greenkeeper", "manager"])
def member(request: pytest.FixtureRequest, place: Place) -> Member:
    found: Member = getattr(place, request.param)
    return found


def test_every_section_with_figures_tells_what_they_are(member: Member, played: Round) -> None:
    client = signed_in(member)
    seen: set[str] = set()
    ahead, silent = [f"/clubs/{member.club.slug}/"], {}
    while ahead:
        address = ahead.pop()
        path = address.partition("?")[0].partition("#")[0]
        if path in seen:
            continue
        seen.add(path)
        page = client.get(address, follow=True).content.decode()
        ahead += [one for one in re.findall(r'href="([^"]+)"', page) if one.startswith(OURS[:1])]
        for section in SECTION.findall(page):
            heading = " ".join(re.sub("<[^>]+>", "", "".join(re.findall("<h2.*?</h2>", section))).split())
            if any(mark in section for mark in FIGURES) and 'class="what-is"' not in section:
                silent[heading] = path
    assert len(seen) > 5
    assert {heading: path for heading, path in silent.items() if heading not in WITHOUT} == {}


def test_a_program_is_told_the_same(place: Place, played: Round) -> None:
    client: Client = signed_in(place.coach)
    # A program reads each key's meaning in the document, in GraphQL's schema, and in the dictionary of exports.
    document = client.get("/api/v1/openapi").content.decode()
    assert specs_by_key()["gained.putting"].meaning in document
    assert specs_by_key()["gained.putting"].meaning in client.get("/graphql/schema").content.decode()
    dictionary = client.get("/api/v1/export/dictionary").content.decode()
    assert specs_by_key()["gained.putting"].meaning in dictionary
