"""What the README quotes of the demo's answers, and where in the answers each quote is read."""

from __future__ import annotations

import datetime as dt
import json
import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from golfstats.ground.words import signed_number

Ask = Callable[[str], Any]
"""Gives the JSON at an address below ``/api/v1/``."""

TEXT = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")
SESSION = TEXT.partition("## A coach's session")[2].partition("\n## ")[0]
AWAY = TEXT.partition("were answered so:")[2].partition("On the pages")[0]
DAY = dt.datetime.strptime(re.findall(r"as of (\d+ \w+ \d{4})", SESSION)[0], "%d %B %Y").replace(
    hour=12, tzinfo=dt.UTC
)
"""Chances and levels are those of a day; the demo is asked as on this one."""

PEOPLE = {"NOOR": "Noor Haddadin", "YUZUKI": "Yuzuki Moritani", "KWABENA": "Kwabena Asiedu-Frost"}

ANSWERS = [
    "results.0.name results.0.players",
    (
        "players.2.player.name players.2.handicap_index players.2.strokes_gained.tee.words"
        " players.2.strokes_gained.approach.words players.2.strokes_gained.short_game.words"
        " players.2.strokes_gained.putting.words"
    ),
    "results.1.reason results.1.player.name",
    "trends.0.now.words trends.0.compared_with.change.words trends.0.compared_with.words",
    "results.0.progress.now.words results.0.progress.words",
    "first parts.0.to_gain.words parts.0.words parts.0.effect.index_after.words",
    "spreads.direction.words under_reading.breaking_misses.words",
    "first.words second.words words",
    (
        "players.1.player.name players.1.putting.raw.words players.1.putting.owed.words"
        " players.1.putting.adjusted.words"
    ),
    (
        "kinds.0.words kinds.0.windows.0.strokes.words kinds.0.windows.1.strokes.words"
        " kinds.0.windows.2.strokes.words kinds.0.rounds kinds.0.recovery_days.words"
        " placebo.claims tee_to_green.strokes tee_to_green.low tee_to_green.high"
    ),
]
"""For each question the places of its quotes, in their order."""

AWAY_PLAN = "round.sentences.0 round.sentences.2 by_hole.3.sentence by_hole.3.keep_away.0.cost"
AWAY_ROUND = "score forecast choice execution greens luck total"


def wrong_in_the_session(ask: Ask) -> Iterator[str]:
    """Each quote of the coach's ten questions that the service does not say, with what it says."""
    questions = re.findall(r"^\d+\. .* `ask (.+)`\n((?: {3}.+\n)+)", SESSION, re.MULTILINE)
    squad = ask("squads")["results"][0]
    ids = {
        short: one["id"] for short, name in PEOPLE.items() for one in squad["players"] if one["name"] == name
    }
    for (request, text), places in zip(questions, ANSWERS, strict=True):
        address = re.sub(r"\$(\w+)", lambda found: (ids | {"SQUAD": squad["id"]})[found[1]], request)
        yield from wrong(text, ask(address.strip('"')), places)


def wrong_of_the_away_round(ask: Ask) -> Iterator[str]:
    """The same of what was told to the player whose plan the demo keeps."""
    player = ask("me")["player"]["id"]
    plan = f"plans/{ask(f'players/{player}/plans')['results'][0]['id']}"
    told, _, played = AWAY.partition("as played")
    yield from wrong(told, ask(plan), AWAY_PLAN)
    yield from wrong(played, ask(f"{plan}/afterwards"), AWAY_ROUND)


def wrong(text: str, answer: Any, places: str) -> Iterator[str]:
    quotes = re.findall(r"`([^`]+)`", " ".join(text.split()))
    for quote, place in zip(quotes, places.split(), strict=True):
        found = shown(at(answer, place), quote)
        if not says(found, quote):
            yield f"README: {quote}\n{place}: {found}\n"


def at(answer: Any, place: str) -> Any:
    for step in place.split("."):
        answer = answer[int(step) if step.isdigit() else step]
    return answer


def shown(value: Any, quote: str) -> str:
    """A number is written with the quote's decimals and sign."""
    if isinstance(value, int | float):
        return signed_number(value, len(quote.partition(".")[2]), plus=quote.startswith("+"))
    return value if isinstance(value, str) else json.dumps(value, ensure_ascii=False)


def says(found: str, quote: str) -> bool:
    """Whether the quote's words are all there and in order; it may leave some out, such as the unit."""
    rest = iter(words(found))
    return all(word in rest for word in words(quote))


def words(text: str) -> list[str]:
    return [word.rstrip(".") for word in re.sub(r'[",;:()\[\]{}]', " ", text).split()]
