"""A hole told in words: typed, dictated by the phone's keyboard, or heard by a browser that needs no network for it."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from playwright.sync_api import BrowserContext, Page, Playwright, expect
from pytest_django.live_server_helper import LiveServer

from golfstats.ground.clubs.models import Club
from golfstats.ground.walls.scope import club_scope
from players.rounds.models import RoundInPlay
from tests.databases import committed
from tests.web.browsers import ON_A_PHONE, OPTIONS, PHONE, chromium, open_as, sign_in, tell_shot
from tests.web.cable import Cable
from tests.web.conftest import Place
from tests.web.test_in_a_browser import phone
from tests.web.test_playing_in_a_browser import begun

__all__ = ["phone"]

pytestmark = [pytest.mark.browser, committed]

RECOGNISER = """
window.SpeechRecognition = class {
    get processLocally() { return this.local ?? false; }
    set processLocally(local) { this.local = local; }
    static available({ langs, processLocally }) {
        return Promise.resolve(processLocally && langs[0] === "LANGUAGE" ? "ANSWER" : "unavailable");
    }
    start() {
        window.ear = this;
        document.title = `hears ${this.lang}, local: ${this.processLocally}`;
    }
    abort() { this.onend(); }
};
"""
"""Answers as a browser does whose recogniser works on the device, or would have to fetch something first."""

ENGLISH = {
    "tee 412, fairway 155 seven iron, green 18 feet, green 2 holed": [
        "tee, 412 yd",
        "fairway, 155 yd, 7-iron",
        "green, 18 ft",
        "green, 2 ft",
        "holed: 4",
    ],
    "Tee four hundred twelve driver fairway one fifty five seven iron putt eighteen feet putt two holed": [
        "tee, 412 yd, driver",
        "fairway, 155 yd, 7-iron",
        "green, 18 ft",
        "green, 2 ft",
        "holed: 4",
    ],
    "driver from the tee six hundred and ninety-nine, then 3 wood fairway 4:12": [
        "tee, 699 yd, driver",
        "fairway, 412 yd, 3-wood",
    ],
    "tee four oh five, fairway one fifty seven iron, fairway bunker a hundred and five 56 degree wedge": [
        "tee, 405 yd",
        "fairway, 150 yd, 7-iron",
        "sand, 105 yd, 56",
    ],
    "tee 390 out of bounds, tee 390 water drop, rough 160 unplayable, trees 140, fringe 8 putter, picked up": [
        "tee, 390 yd, stroke and distance",
        "tee, 390 yd, lateral drop",
        "rough, 160 yd, unplayable",
        "recovery, 140 yd",
        "fringe, 8 yd, putter",
        "picked up",
    ],
    "pitching wedge from the rough 90, sand wedge from the sand 12, 6 foot putt, green two and a half in the hole": [
        "rough, 90 yd, pitching-wedge",
        "sand, 12 yd, sand-wedge",
        "green, 6 ft",
        "green, 2.5 ft",
        "holed: 4",
    ],
    "tee 380 metres, penalty area 120, green 2 m": ["tee, 415.6 yd", "penalty area, 120 yd", "green, 6.6 ft"],
    "green, holed": ["green, – ft", "holed: 1"],
}
GERMAN = {
    "Abschlag dreihundertachtzig Driver, Fairway 142 Eisen 7, Grün 5,5 Meter, Putt ein Meter eingelocht": [
        "Abschlag, 380 m, Driver",
        "Fairway, 142 m, Eisen 7",
        "Grün, 5,5 m",
        "Grün, 1 m",
        "eingelocht: 4",
    ],
    "Tee 350 im Aus, Tee 350 Holz drei, Fairwaybunker hundertvierzig siebener Eisen, Wald 60 unspielbar": [
        "Abschlag, 350 m, Schlag und Distanz",
        "Abschlag, 350 m, Holz 3",
        "Sand, 140 m, Eisen 7",
        "Notlage, 60 m, Unspielbar",
    ],
    "Rough 90 Wasser gedroppt dann Vorgrün acht Sandwedge, Grün zweieinhalb, aufgenommen": [
        "Rough, 90 m, Seitliche Erleichterung",
        "Vorgrün, 8 m, Sand Wedge",
        "Grün, 2,5 m",
        "aufgenommen",
    ],
}
NOT_UNDERSTOOD = {
    "flurb tee 412 banana, 155": "flurb, banana, 155",
    "hole 3 par 4 tee 412, green 18 two putts": "hole 3, par 4, two putts",
    "tee 412 lost ball, drop": "drop",
    "water 150, drop": "drop",
}

NOT_KEPT = """async () => {
    const scripts = performance.getEntriesByType("resource").map((one) => new URL(one.name).pathname).filter((path) => path.endsWith(".js"));
    const kept = await Promise.all(scripts.map((path) => caches.match(path)));
    return scripts.filter((_, place) => !kept[place]);
}"""
"""Scripts of the page that are not at hand without a connection; the browser's own cache may forget them."""


def field_of(page: Page) -> None:
    page.get_by_text("Say or type the hole").tap()


def hears(page: Page, *said: str) -> None:
    """The recogniser's answer so far: what was said, in pieces."""
    page.evaluate(
        "said => window.ear.onresult({ results: said.map((transcript) => [{ transcript }]) })", list(said)
    )


def shots_of(place: Place) -> list[dict[str, object]]:
    with club_scope(place.club.id):
        return [shot for one in RoundInPlay.objects.get().played for shot in one["hole"]["shots"]]


def test_what_golfers_say_is_read_as_its_shots(place: Place, phone: BrowserContext) -> None:
    page, errors = open_as(phone, "ines")
    page.goto(begun(place))
    field_of(page)
    said = page.get_by_label("The hole in words")
    for words, shots in ENGLISH.items():
        said.fill(words)
        expect(page.locator("#understood li")).to_have_text(shots)
        expect(page.locator("#not-understood")).to_have_text("")
    for words, left in NOT_UNDERSTOOD.items():
        said.fill(words)
        expect(page.locator("#not-understood")).to_have_text(f"Not understood and left out: {left}")
    assert errors == []


def test_german_pages_read_german_words(place: Place, phone: BrowserContext) -> None:
    with club_scope(place.club.id):
        Club.objects.filter(id=place.club.id).update(distance_unit="metres")
    phone.add_init_script(RECOGNISER.replace("LANGUAGE", "de-DE").replace("ANSWER", "available"))
    page, errors = open_as(phone, "ines")
    page.get_by_role("button", name="Deutsch").tap()
    expect(page.locator("html")).to_have_attribute("lang", "de")
    page.goto(f"/clubs/{place.club.slug}/rounds/new")
    page.get_by_text("Loch ansagen oder eintippen").tap()
    for words, shots in GERMAN.items():
        page.locator("#g-said").fill(words)
        expect(page.locator("#understood li")).to_have_text(shots)
        expect(page.locator("#not-understood")).to_have_text("")
    page.get_by_role("button", name="Zuhören").tap()
    assert page.title() == "hears de-DE, local: true"
    assert errors == []


def test_typed_words_are_looked_at_put_on_the_pad_and_taken_back(place: Place, phone: BrowserContext) -> None:
    page, errors = open_as(phone, "ines")
    page.goto(begun(place))
    tell_shot(page, "Tee", "390", "Next shot")
    field_of(page)
    # No recogniser of this browser works without the network.
    expect(page.get_by_role("button", name="Listen")).to_be_hidden()
    said = page.get_by_label("The hole in words")
    put = page.get_by_role("button", name="Put it on the pad")
    put.tap()
    expect(page.get_by_role("alert").filter(visible=True)).to_contain_text("There is no shot in it yet")
    expect(said).to_be_focused()
    said.fill("fairway, green 2 holed")
    put.tap()
    expect(page.get_by_role("alert").filter(visible=True)).to_contain_text("Shot 2: Choose the lie")
    assert shots_of(place) == []
    said.fill("fairway 155 seven iron, green 2 holed")
    expect(page.locator("#understood li").last).to_have_text("holed: 3")
    page.reload()  # what is not on the pad yet is kept as well
    expect(said).to_have_value("fairway 155 seven iron, green 2 holed")
    for digit in "13":
        page.locator("#pad").get_by_role("button", name=digit, exact=True).tap()
    said.fill("fairway 155 seven iron, green 2")
    put.tap()
    expect(page.locator("#hole-name")).to_be_focused()
    expect(page.locator("#shots li")).to_have_count(3)
    expect(said).to_have_value("")
    page.get_by_role("button", name="Undo").tap()
    expect(page.locator("#shots li")).to_have_text(["tee, 390 yd"])
    expect(page.locator("#distance")).to_have_text("13")
    expect(said).to_have_value("fairway 155 seven iron, green 2")
    put.tap()
    said.fill("holed")
    put.tap()
    expect(page.locator("#hole-name")).to_contain_text("Hole 2,")
    expect(page.locator("#hole-name")).to_be_focused()
    expect(page.locator("#arrived")).to_have_text("Every hole that is done has arrived.")
    assert [(one["lie"], one["distance"], one.get("club")) for one in shots_of(place)] == [
        ("tee", 390, None),
        ("fairway", 155, "7-iron"),
        ("green", 2, None),
    ]
    assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]
    assert errors == []


def test_a_hole_is_heard_on_the_device_without_a_connection(
    place: Place, playwright: Playwright, live_server: LiveServer, tmp_path: Path
) -> None:
    cable = Cable(live_server.url)
    one_phone = playwright.chromium.launch_persistent_context(
        tmp_path, executable_path=chromium(), args=OPTIONS, base_url=cable.url, **ON_A_PHONE
    )
    one_phone.add_init_script(RECOGNISER.replace("LANGUAGE", "en-US").replace("ANSWER", "available"))
    page = one_phone.new_page()
    sign_in(page, "ines")
    page.goto(begun(place))
    page.wait_for_function("caches.match(location.pathname).then(Boolean)")
    assert page.evaluate(NOT_KEPT) == []
    cable.cut()
    page.reload()
    field_of(page)
    listen = page.get_by_role("button", name="Listen")
    listen.tap()
    assert page.title() == "hears en-US, local: true"
    expect(listen).to_have_attribute("aria-pressed", "true")
    hears(page, "tee 412 driver", " green eighteen feet")
    expect(page.locator("#understood li")).to_have_text(["tee, 412 yd, driver", "green, 18 ft"])
    expect(page.locator("#shots li")).to_have_count(0)
    hears(page, "tee 412 driver", " green eighteen feet", " green two holed")
    expect(page.locator("#understood li").last).to_have_text("holed: 3")
    size = listen.bounding_box()
    assert size is not None
    assert size["height"] >= 44
    page.get_by_role("button", name="Put it on the pad").tap()
    expect(page.locator("#arrived")).to_contain_text("1 hole waits")
    expect(page.locator("#total")).to_contain_text("3 after 1 hole")
    # What is heard late belongs to no other hole.
    hears(page, "tee 999")
    expect(page.get_by_label("The hole in words")).to_have_value("")
    listen.tap()
    page.evaluate("window.ear.onerror({ error: 'not-allowed' })")
    expect(page.get_by_role("alert").filter(visible=True)).to_contain_text("may not use the microphone")
    cable.mend()
    page.reload()
    expect(page.locator("#arrived")).to_have_text("Every hole that is done has arrived.")
    assert [one["lie"] for one in shots_of(place)] == ["tee", "green", "green"]
    one_phone.close()
    cable.cut()


@pytest.mark.parametrize("answer", ["downloadable", "downloading", "unavailable"])
def test_no_button_where_hearing_would_need_the_network(
    answer: str, place: Place, phone: BrowserContext
) -> None:
    phone.add_init_script(RECOGNISER.replace("LANGUAGE", "en-US").replace("ANSWER", answer))
    page, errors = open_as(phone, "ines")
    page.goto(begun(place))
    field_of(page)
    page.get_by_label("The hole in words").fill("tee 412")
    expect(page.locator("#understood li")).to_have_text(["tee, 412 yd"])
    expect(page.get_by_role("button", name=re.compile("Listen"))).to_be_hidden()
    assert errors == []
