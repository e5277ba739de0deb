"""Making a plan: the player's patterns, the greens of the day, and the holes one at a time."""

from __future__ import annotations

import hashlib
import math
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from datetime import date
from typing import Any

import numpy as np
from django.utils import timezone
from pydantic import TypeAdapter

from courses.greens.condition import condition_on
from courses.layout.models import Rating
from courses.plans.answers import DrawnHole, drawn_holes, not_drawn
from golfstats.calc.figures.plays_like import NEUTRAL_CELSIUS
from golfstats.calc.plan.found import read_found
from golfstats.calc.plan.greens import FEET, USUAL_GROWTH, Greens, growth_for_cost
from golfstats.calc.plan.hole.drawing import Drawing
from golfstats.calc.plan.shots.clubs import known_clubs
from golfstats.calc.plan.shots.learn import Learnt, learn, swings_of
from golfstats.calc.plan.shots.pattern import Bag
from golfstats.calc.plan.shots.prior import usual_bag, usual_putting
from golfstats.calc.plan.shots.weather import Weather
from golfstats.calc.plan.todays_greens import usual_misses
from golfstats.calc.plan.whole import (
    DRAWS,
    HoleQuestion,
    PlannedHole,
    SimulatedHole,
    aims,
    card_row,
    on_days,
    plan_hole,
    plan_round,
)
from golfstats.calc.putting.likelihood import putts_of
from golfstats.calc.putting.player import (
    MINIMUM_PUTTS,
    PlayerSpreads,
    SpreadPrior,
    own_moves,
    player_spreads,
)
from golfstats.calc.record import Floats, Record
from golfstats.ground.faults import invalid
from golfstats.sentences import Kept, Sentence, with_sentences
from players.conditions.effect import stored_effect
from players.golf.loading import LoadedRecord, load_record
from players.golf.scorecards import day_form_of
from players.handicap.models import PlayerHandicap
from players.people.models import Player
from players.plans.models import PlanHole, PlanState, RoundPlan
from players.plans.services import holes_of

UNKNOWN_HANDICAP = 24.0
"""Of a player without a record: plans for such a player say that their patterns are nobody's in particular."""
PUTTING_SD = 0.2
"""Spread of the logarithms of both putting spreads among golfers of one handicap (our estimate)."""
METHOD = "2"
"""Of the mathematics: another one plans every hole anew."""
HOLE = TypeAdapter(PlannedHole)


@dataclass(frozen=True)
class PlayersGame:
    """What the plan is made for."""

    learnt: Learnt
    direction_sd: float
    distance_sd: float
    own_putting: tuple[tuple[float, ...], ...]
    """What their putts say beside the two spreads, see :class:`~golfstats.calc.plan.greens.Greens`."""
    handicap: float | None
    first_misses: Floats
    """What their missed first putts left, see :class:`~golfstats.calc.plan.todays_greens.Misses`."""


def make_next_hole(plan: RoundPlan) -> bool:
    """Plan the first hole that is not planned yet. Whether there was one."""
    planned = set(PlanHole.objects.filter(plan=plan).values_list("number", flat=True))
    left = [number for number in holes_of(plan.tee_set, plan.section) if number not in planned]
    if not left:
        return False
    faults = not_drawn(plan.tee_set, left[:1])
    if faults:  # its length was corrected after the plan was asked for
        raise invalid(faults, faults[0].detail)
    game = game_of(plan.player)
    hole = {drawn.number: drawn for drawn in drawn_holes_of(plan)}[left[0]]
    question, greens = question_of(plan, hole), greens_of(plan, game, hole.number)
    seed = _seed(plan.player, game.learnt)
    row = PlanHole(plan=plan, number=hole.number, rests_on=_fingerprint(question, game.learnt, greens))
    before = PlanHole.objects.filter(plan__player=plan.player, rests_on=row.rests_on).first()
    if before is not None:
        row.document, row.simulated = before.document, before.simulated
    else:
        answer, simulated = plan_hole(question, _bags(game.learnt, seed), greens, seed)
        titles = [mark.words for mark in aims(answer.choices)]
        row.document = with_sentences({**asdict(answer), "titles": titles})
        row.simulated = _stored(simulated)
    row.save()
    if not planned:
        plan.handicap, plan.full_swings = game.handicap, int(game.learnt.shots.sum())
        plan.save(update_fields=["handicap", "full_swings"])
    return True


def finish(plan: RoundPlan) -> None:
    """The round from its holes."""
    rows = list(PlanHole.objects.filter(plan=plan).order_by("number"))
    game = game_of(plan.player)
    questions = [question_of(plan, hole) for hole in drawn_holes_of(plan)]
    names = [plan.tee_set.course.name, plan.tee_set.name]
    title = Sentence("{course}, {tee}, {day}", course=names[0], tee=names[1], day=plan.planned_for)
    # Here and not with each hole: a hole that another plan takes over was dealt to that plan's days.
    days, seed = day_form_of(plan.player_id), _seed(plan.player, game.learnt)
    simulated = on_days([restored(row.simulated) for row in rows], [row.number for row in rows], days, seed)
    for row, hole in zip(rows, simulated, strict=True):
        row.simulated = _stored(hole)
    PlanHole.objects.bulk_update(rows, ["simulated"])
    holes = [HOLE.validate_python(row.document) for row in rows]
    answer = plan_round(
        holes,
        simulated,
        questions,
        greens_of(plan, game, None),
        title,
        plan.target,
        _plays_to(plan),
    )
    # What the card is drawn of, for whoever reads it in another language.
    lines = [asdict(card_row(hole)) for hole in holes]
    document: dict[str, Any] = with_sentences({**asdict(answer), "card_of": {"title": title, "rows": lines}})
    document["made_of"] = _aims_of_holes(rows, lines) | document["made_of"]
    plan.document, plan.state, plan.finished_at = document, PlanState.DONE, timezone.now()
    plan.save(update_fields=["document", "state", "finished_at"])


def _aims_of_holes(rows: Sequence[PlanHole], lines: Sequence[Mapping[str, Any]]) -> dict[str, Kept]:
    """How the words of the card's aims are made, as the holes keep them."""
    kept = {text: made for row in rows for text, made in row.document.get("made_of", {}).items()}
    return {line["aim"]: kept[line["aim"]] for line in lines if line["aim"] in kept}


def game_of(player: Player, until: date | None = None) -> PlayersGame:
    """The player's patterns and putting as their own rounds (until a day) tell them."""
    handicap = handicap_of(player)
    usual = UNKNOWN_HANDICAP if handicap is None else handicap
    loaded = load_record([player.id], until=until)
    putting = _putting(loaded.record, usual)
    return PlayersGame(
        _learnt(player, usual, loaded),
        float(np.exp(putting.log_mean[0])),
        float(np.exp(putting.log_mean[1])),
        _own(putting),
        handicap,
        usual_misses(loaded.record),
    )


def learnt_of(player: Player) -> Learnt:
    """The patterns of full swings alone, for a page: what putts say takes several times as long."""
    handicap = handicap_of(player)
    usual = UNKNOWN_HANDICAP if handicap is None else handicap
    return _learnt(player, usual, load_record([player.id]))


def handicap_of(player: Player) -> float | None:
    index = PlayerHandicap.objects.filter(player=player).values_list("index", flat=True).first()
    return None if index is None else float(index)


def _learnt(player: Player, usual: float, loaded: LoadedRecord) -> Learnt:
    names = known_clubs(loaded.clubs)
    prior = usual_bag(usual, "women" if player.rating_gender == "women" else "men", tuple(names.values()))
    rows = club_rows(prior, loaded.clubs, names)
    return learn(prior, swings_of(loaded.record, rows, loaded.altitude))


def club_rows(bag: Bag, clubs: Sequence[str], names: Mapping[str, str]) -> dict[int, int]:
    """Row in the bag of each club's number in a record, for the clubs that are in the bag."""
    rows = {club.name: row for row, club in enumerate(bag.clubs)}
    return {
        number: rows[names[name]]
        for number, name in enumerate(clubs)
        if name in names and names[name] in rows
    }


def _putting(record: Record, handicap: float) -> PlayerSpreads:
    prior = SpreadPrior(np.log(usual_putting(handicap)), np.diag([PUTTING_SD**2, PUTTING_SD**2]))
    return player_spreads(putts_of(record), prior)


def _own(putting: PlayerSpreads) -> tuple[tuple[float, ...], ...]:
    """Rounded, so that the fingerprint of a hole's plan is the same for the same putts."""
    if putting.putts < MINIMUM_PUTTS:
        return ()
    return tuple(tuple(row) for row in np.round(own_moves(putting, FEET), 4).tolist())


def drawn_holes_of(plan: RoundPlan) -> list[DrawnHole]:
    wanted = set(holes_of(plan.tee_set, plan.section))
    drawn = drawn_holes([plan.tee_set_id], plan.player.rating_gender)[plan.tee_set_id]
    return [hole for hole in drawn if hole.number in wanted]


def question_of(plan: RoundPlan, hole: DrawnHole) -> HoleQuestion:
    """The hole in the weather that is forecast.

    Without the wind's direction, or without a map that tells which way the hole runs, the wind widens patterns and
    moves nothing.
    """
    wind_from = None
    if plan.wind_from is not None and hole.drawing.bearing is not None:
        wind_from = math.radians(plan.wind_from) - hole.drawing.bearing
    celsius = NEUTRAL_CELSIUS if plan.temperature_c is None else plan.temperature_c
    altitude = plan.tee_set.course.altitude or 0.0
    weather = Weather(plan.wind_mph or 0.0, wind_from, celsius=celsius, altitude=altitude)
    return HoleQuestion(hole.number, hole.par, hole.yards, hole.drawing, weather)


def _bags(learnt: Learnt, seed: int) -> list[Bag]:
    """The bag to plan with and the draws, the same for every hole of the plan."""
    return [learnt.bag, *learnt.draws(DRAWS, np.random.default_rng(seed))]


def greens_of(plan: RoundPlan, game: PlayersGame, hole: int | None, as_played: str = "") -> Greens:
    """The greens as found, or as the club's calendar knows them; of the mean green for the whole round.

    ``found``: as the player found them once the round was played, where they said so.
    """
    day = condition_on(plan.tee_set.course, plan.planned_for)
    known = day.mean if hole is None else day.by_green.get(hole, day.mean)
    growth = _growth(game)
    return read_found(as_played or plan.greens_found).greens(
        game.direction_sd, game.distance_sd, known, growth, game.own_putting
    )


def _growth(game: PlayersGame) -> tuple[float, float]:
    """What full disturbance does to putting here: as the club's putts show it, else by the usual judgement."""
    effect = stored_effect().greens
    cost = effect.strokes_per_round(1.0).value if effect.claimed else None
    if cost is None:
        return USUAL_GROWTH
    return growth_for_cost(cost, game.direction_sd, game.distance_sd)


def _seed(player: Player, learnt: Learnt) -> int:
    """The same for the same patterns of a player, so that their holes can be taken from one plan into another."""
    return int(digest(str(player.id), *_patterns(learnt))[:8], 16)


def _fingerprint(question: HoleQuestion, learnt: Learnt, greens: Greens) -> str:
    """Of everything that a hole's plan rests on: its drawing and tees, the patterns, greens and weather."""
    asked = (question.number, question.par, question.yards, question.weather, question.pin)
    return digest(METHOD, repr(asked), *drawn_as(question.drawing), repr(greens), *_patterns(learnt))


def drawn_as(drawing: Drawing) -> list[str | Floats]:
    """All that a drawing says, to be digested."""
    plain = (drawing.tee, drawing.falls_to, drawing.generic, drawing.base, drawing.margin)
    patches: list[str | Floats] = []
    for patch in drawing.patches:
        patches += [str(patch.surface), *patch.rings]
    return [repr(plain), drawing.green, *patches]


def _patterns(learnt: Learnt) -> tuple[str | Floats, ...]:
    return (
        repr(learnt.prior),
        repr(learnt.mishit),
        learnt.length_mean,
        learnt.length_covariance,
        learnt.direction_mean,
        learnt.direction_covariance,
    )


def digest(*parts: str | Floats) -> str:
    """SHA-256 of texts and arrays, in order."""
    digest = hashlib.sha256()
    for part in parts:
        content = part.encode() if isinstance(part, str) else np.ascontiguousarray(part).tobytes()
        digest.update(f"{len(content)}:".encode() + content)
    return digest.hexdigest()


def _plays_to(plan: RoundPlan) -> float | None:
    """The score with which the player plays to the handicap; None without an index or a rating."""
    rating = Rating.objects.filter(
        tee_set=plan.tee_set, gender=plan.player.rating_gender, section=plan.section
    ).first()
    if rating is None or plan.handicap is None:
        return None
    share = 1.0 if plan.section == "18" else 0.5
    return float(rating.course_rating) + share * plan.handicap * rating.slope_rating / 113


def _stored(simulated: SimulatedHole) -> dict[str, list[float]]:
    return {
        "score": simulated.score.tolist(),
        "putts": simulated.putts.tolist(),
        "greens_add": np.round(simulated.greens_add, 4).tolist(),
    }


def restored(stored: Mapping[str, list[float]]) -> SimulatedHole:
    return SimulatedHole(
        np.array(stored["score"], dtype=np.int64),
        np.array(stored["putts"], dtype=np.int64),
        np.array(stored["greens_add"], dtype=np.float64),
    )
