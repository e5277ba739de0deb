"""Greens as a player found them: said with a round, kept, given back in every form, refused with its reason."""

from __future__ import annotations

import pytest

from tests import factories
from tests.players.conftest import Place, client_of

FOUND = "cored 7 days, slow, bumpy 4"


@pytest.mark.usefixtures("scope")
def test_one_header_line_says_it_and_every_form_gives_it_back(place: Place) -> None:
    client = client_of(place.player_member)
    scores = "\n".join(f"{number} =5/2" for number in range(1, 19))
    text = f"course: Long course\ntee: White\ndate: 2026-06-14\ngreens: {FOUND}\nwind: 12\n{scores}\n"
    posted = client.post("/api/v1/rounds", text, content_type="text/plain")
    assert posted.status_code == 201, posted.content
    address = f"/api/v1/rounds/{posted.json()['id']}"
    assert client.get(address).json()["round"]["greens_found"] == FOUND
    assert f"greens: {FOUND}" in client.get(address, headers={"Accept": "text/plain"}).content.decode()
    exported = b"".join(client.get("/api/v1/export/rounds.csv").streaming_content).decode()
    assert FOUND in exported


def test_what_is_not_understood_is_refused_with_an_example(place: Place) -> None:
    body = factories.round_body(greens_found="like a billiard table")
    refused = client_of(place.player_member).post("/api/v1/rounds", body, format="json")
    (fault,) = refused.json()["errors"]
    assert (fault["pointer"], fault["code"]) == ("/greens_found", "not_understood")
    assert "cored 7 days, slow, bumpy 4" in fault["detail"]
