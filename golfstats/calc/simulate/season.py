"""A season of an invented club: who plays what and when, and the rounds that come of it.

The input is the club's description as it stands in ``demo_fixtures/club.json`` (that folder's README.md explains
every field), already read into plain values. Assumptions, all invented: a player's days are drawn with weekends three
times as likely as weekdays and summer more likely than winter; which course, how many holes and how
much is written down go round in the fixed cycles of ``habits``, so every kind of round occurs; events
are played by all; the surface recovers along the curve of :mod:`golfstats.calc.greens.surface.disturbance` in
the true days given, which need not be the defaults the service starts from.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, time, timedelta
from typing import Any

import numpy as np

from golfstats.calc.greens.surface.disturbance import Work, surface_disturbance
from golfstats.calc.record import Floats, Record
from golfstats.calc.simulate.course import Course, from_other_tees, lay_out
from golfstats.calc.simulate.golfer import Golfer, spot
from golfstats.calc.simulate.people import golfer_of, planted_effects
from golfstats.calc.simulate.reporting import Detail, as_estimated, report
from golfstats.calc.simulate.rounds import play
from golfstats.calc.simulate.schedule import NEVER, Effects, Schedule, SpotEffect

Description = Mapping[str, Any]


@dataclass(frozen=True)
class PlannedRound:
    """A round as it is arranged and entered, without its holes."""

    player: str
    course: str
    tee: str
    played_on: date
    start_time: time
    section: str
    """``18``, ``front`` or ``back``: what the player set out to play."""
    first_hole: int
    holes: int
    format: str
    counting: bool
    competition: bool
    reason_for_missing_holes: str
    ball: str
    temperature_c: float
    wind_mph: float
    note: str
    detail: Detail


@dataclass(frozen=True)
class Season:
    """Planned rounds in order of date, and the record whose rounds are theirs, row by row."""

    rounds: tuple[PlannedRound, ...]
    written: Record
    """What the players wrote down."""
    truth: Record
    """Every shot as it was played."""
    golfers: tuple[Golfer, ...]
    """The true golfers, in the order of the description's players; what is planted by date is not in them."""
    disturbance: Floats
    """True surface disturbance, one row a round and one column a hole number."""


def play_season(club: Description) -> Season:
    """Plan and play the season described. The description's ``seed`` decides everything."""
    rng = np.random.default_rng(club["seed"])
    planned = plan_season(club, rng)
    golfers = tuple(golfer_of(player, rng) for player in club["players"])
    tees = _tee_rows(club)
    schedule = _schedule(club, planned, tees)
    disturbance = _disturbance(club, planned)
    effects = Effects(
        disturbance=disturbance,
        on_direction=club["truth"]["putting_spread_at_full_disturbance"],
        on_distance=club["truth"]["putting_spread_at_full_disturbance"],
        spots=_planted(club, planned),
    )
    truth = play(golfers, _courses(club), schedule, rng, effects)
    detail = np.array([int(one.detail) for one in planned])
    return Season(planned, report(as_estimated(truth), detail), truth, golfers, disturbance)


def plan_season(club: Description, rng: np.random.Generator) -> tuple[PlannedRound, ...]:
    """All rounds of all players, by date and then in the order of the players."""
    planned: list[tuple[date, int, PlannedRound]] = []
    for number, player in enumerate(club["players"]):
        for turn, day in enumerate(_days(club, player, rng)):
            planned.append((day, number, _plan_round(club, player, turn, day, rng)))
    planned.sort(key=lambda entry: entry[:2])
    return tuple(entry[2] for entry in planned)


def _days(club: Description, player: Description, rng: np.random.Generator) -> list[date]:
    first = date.fromisoformat(club["first_day"])
    last = date.fromisoformat(player.get("last_day", club["last_day"]))
    fixed = {date.fromisoformat(entry["date"]) for entry in player.get("fixed_rounds", ())}
    fixed |= {day for day in _competition_days(club) if first <= day <= last}
    open_days = [first + timedelta(days=n) for n in range((last - first).days + 1)]
    open_days = [day for day in open_days if day not in fixed]
    weight = np.array([_eagerness(day) for day in open_days])
    wanted = player["rounds"] - len(fixed)
    drawn = rng.choice(len(open_days), size=wanted, replace=False, p=weight / weight.sum())
    return sorted(fixed | {open_days[row] for row in drawn})


def _eagerness(day: date) -> float:
    weekend = 3.0 if day.weekday() >= 5 else 1.0
    return weekend * (1.0 + 0.35 * _summer(day))


def _summer(day: date) -> float:
    """1 in the middle of July, −1 in the middle of January."""
    return math.cos(2 * math.pi * (day.timetuple().tm_yday - 196) / 365.25)


def _competition_days(club: Description) -> set[date]:
    days: set[date] = set()
    for event in club["events"]:
        start, end = date.fromisoformat(event["starts_on"]), date.fromisoformat(event["ends_on"])
        if event["competition"]:
            days |= {start + timedelta(days=n) for n in range((end - start).days + 1)}
    return days


def _plan_round(
    club: Description, player: Description, turn: int, day: date, rng: np.random.Generator
) -> PlannedRound:
    habits = club["habits"]
    competition = day in _competition_days(club)
    note = _fixed_note(player, day)
    special = competition or note is not None
    main_course: str = club["courses"][0]["name"]
    course = main_course if special else habits["course"][turn % len(habits["course"])]
    planned = "18" if special else habits["holes"][turn % len(habits["holes"])]
    if course != main_course:
        planned = "front"
    first_hole, holes = {"18": (1, 18), "front": (1, 9), "back": (10, 9)}.get(planned, (1, 14))
    detail = "shots" if special else habits["written_down"][turn % len(habits["written_down"])]
    counting = competition or bool(habits["counting"][turn % len(habits["counting"])])
    minutes = 10 * round(float(rng.normal(63.0, 9.0)))
    return PlannedRound(
        player=player["name"],
        course=course,
        tee=_tee_of(club, player, course),
        played_on=day,
        start_time=time(*divmod(min(max(minutes, 480), 840), 60)),
        section=planned if planned in ("front", "back") else "18",
        first_hole=first_hole,
        holes=holes,
        format="stroke_play" if competition else player["format"],
        counting=counting,
        competition=competition,
        reason_for_missing_holes=_reason(day) if holes < 18 and planned not in ("front", "back") else "",
        ball=_ball(player, day),
        temperature_c=round(10.5 + 6.5 * _summer(day) + float(rng.normal(0.0, 3.0))),
        wind_mph=round(float(rng.gamma(3.0, 2.7))),
        note=note or "",
        detail=Detail[detail.upper()],
    )


def _reason(day: date) -> str:
    return "thunderstorm" if 4 <= day.month <= 9 else "failing light"


def _fixed_note(player: Description, day: date) -> str | None:
    notes = {
        date.fromisoformat(entry["date"]): str(entry["note"]) for entry in player.get("fixed_rounds", ())
    }
    return notes.get(day)


def _ball(player: Description, day: date) -> str:
    used = [str(b["ball"]) for b in player.get("balls", ()) if date.fromisoformat(b["from"]) <= day]
    return used[-1] if used else ""


def _tee_of(club: Description, player: Description, course: str) -> str:
    """The player's own tee, or the longest of a course that lacks it."""
    names = [
        str(tee["name"]) for entry in club["courses"] if entry["name"] == course for tee in entry["tee_sets"]
    ]
    return player["tee"] if player["tee"] in names else names[0]


def _tee_rows(club: Description) -> list[tuple[str, str, str]]:
    """(course, tee, rating gender) of each row of the simulator's courses: pars may differ by gender."""
    return [
        (course["name"], tee["name"], gender)
        for course in club["courses"]
        for tee in course["tee_sets"]
        for gender in ("men", "women")
    ]


def _courses(club: Description) -> list[Course]:
    rows = []
    for course in club["courses"]:
        first = course["tee_sets"][0]["holes"]
        for tee in course["tee_sets"]:
            lengths = [float(hole["length"]) for hole in tee["holes"]]
            for gender in ("men", "women"):
                pars = [int(hole[f"par_{gender}"]) for hole in tee["holes"]]
                # The ground is drawn once a course, so that its tee sets share fairways and greens.
                ground = np.random.default_rng(course["geometry_seed"])
                drawn = lay_out(pars, [float(hole["length"]) for hole in first], ground)
                rows.append(from_other_tees(drawn, lengths))
    return rows


def _schedule(
    club: Description, planned: Sequence[PlannedRound], tees: Sequence[tuple[str, str, str]]
) -> Schedule:
    players = {player["name"]: (row, player) for row, player in enumerate(club["players"])}
    courses = {course["name"]: row for row, course in enumerate(club["courses"])}
    return Schedule(
        player=np.array([players[one.player][0] for one in planned]),
        day=np.array([one.played_on.toordinal() for one in planned]),
        course=np.array([courses[one.course] for one in planned]),
        tees=np.array(
            [tees.index((one.course, one.tee, players[one.player][1]["gender"])) for one in planned]
        ),
        first_hole=np.array([one.first_hole for one in planned]),
        holes=np.array([one.holes for one in planned]),
        counting=np.array([one.counting for one in planned]),
        competition=np.array([one.competition for one in planned]),
        start_hour=np.array([one.start_time.hour + one.start_time.minute / 60 for one in planned]),
        temperature=np.array([one.temperature_c for one in planned], dtype=np.float64),
        wind_speed=np.array([one.wind_mph for one in planned], dtype=np.float64),
        pick_up=np.array([_pick_up(one, players[one.player][1]["handicap"]) for one in planned]),
    )


def _pick_up(one: PlannedRound, handicap: float) -> int:
    """In stableford a ball that can no longer score is picked up: at net double bogey, taking the strokes as even."""
    return 2 + math.ceil(handicap / 18) if one.format == "stableford" else NEVER


def _disturbance(club: Description, planned: Sequence[PlannedRound]) -> Floats:
    works: dict[str, list[Work]] = {course["name"]: [] for course in club["courses"]}
    for entry in club["green_work"]:
        if entry.get("status", "confirmed") != "confirmed":
            continue
        start, end = date.fromisoformat(entry["starts_on"]), date.fromisoformat(entry["ends_on"])
        greens = frozenset(entry["holes"]) if entry.get("holes") else None
        works[entry["course"]].append(Work(entry["kind"], start.toordinal(), end.toordinal(), greens))
    numbers = np.arange(1, 19)
    recovery: Mapping[str, float] = club["truth"]["recovery_days"]
    rows = [
        surface_disturbance(works[one.course], np.array(one.played_on.toordinal()), numbers, recovery)
        for one in planned
    ]
    return np.array(rows)


def _planted(club: Description, planned: Sequence[PlannedRound]) -> list[SpotEffect]:
    effects = [
        effect
        for player in club["players"]
        for effect in planted_effects(
            player, [one.player for one in planned], [one.played_on for one in planned]
        )
    ]
    return [*effects, _unfamiliar(club, planned)]


def _unfamiliar(club: Description, planned: Sequence[PlannedRound]) -> SpotEffect:
    """Putts cost more on the first visits to a course that is not home."""
    unfamiliar = club["truth"]["unfamiliar_putting"]
    visits: dict[str, int] = {}
    factor = np.ones(len(planned))
    for row, one in enumerate(planned):
        if one.course == unfamiliar["course"]:
            visit = visits.get(one.player, 0)
            visits[one.player] = visit + 1
            if visit < len(unfamiliar["factors"]):
                factor[row] = unfamiliar["factors"][visit]
    return SpotEffect(spot("putting"), factor)
