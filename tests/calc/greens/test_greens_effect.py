"""What is said of green work, on invented clubs whose truth is known. Hostile ones are in ``tests/worlds``."""

import json
from dataclasses import replace

import numpy as np
import pytest

from golfstats.calc.greens.effect.estimate import fit_effect
from golfstats.calc.greens.effect.healed import chance_healed
from golfstats.calc.greens.effect.healing import Coefficients
from golfstats.calc.greens.effect.posterior import (
    ELSEWHERE,
    MIDDLES_FT,
    MINIMUM_ROUNDS,
    PERHAPS,
    GreensEffect,
    Placebo,
    too_few_effect,
    widened,
)
from golfstats.calc.greens.surface.disturbance import Work
from golfstats.calc.greens.surface.work_types import work_types
from tests.calc.greens.putting_club import SEASON_START, WORKS, play

KIND = "coring_medium"


def fit(club, works=WORKS):
    return fit_effect(club.putts, {0: works}, ["home"])


@pytest.fixture(scope="module")
def cored_club():
    club = play(np.random.default_rng(11), players=25, rounds=30)
    return club, fit(club)


@pytest.fixture(scope="module")
def sound_club():
    club = play(np.random.default_rng(13), players=25, rounds=30, direction_effect=0.0, distance_effect=0.0)
    return club, fit(club)


def test_finds_a_real_effect_and_its_size(cored_club):
    club, effect = cored_club
    assert effect.claimed
    assert effect.chance_it_costs(KIND) > 0.95
    first = effect.strokes_between(0, 3, KIND, severity=1.0)
    truth = np.mean([club.true_strokes((1 - day / 10) ** 2) for day in range(4)])
    assert first.low < truth < first.high


def test_cost_falls_to_nothing_as_the_greens_heal(cored_club):
    _, effect = cored_club
    early, late = (effect.strokes_between(*days, KIND) for days in ((0, 3), (8, 14)))
    assert early.value > late.value
    assert late.low < 0 < late.high
    # Twice the usual healing is looked at; of later days nothing is said, least of all a sure zero.
    assert effect.strokes_after(21, KIND).value is not None
    assert effect.strokes_after(28, KIND).value is None


def test_says_nothing_where_there_is_nothing(sound_club):
    _, effect = sound_club
    cost = effect.strokes_per_round(1.0)
    assert not effect.claimed
    assert cost.low <= 0 <= cost.high
    assert 0.05 < effect.chance_it_costs(KIND) < 0.95
    assert effect.recovery_days(KIND).value is None


def test_recovery_times_differ_as_the_greens_do():
    quick, slow = (
        fit(play(np.random.default_rng(12), players=40, rounds=40, recovery=days, direction_effect=0.5))
        for days in (8.0, 20.0)
    )
    one, other = (effect.recovery_days(KIND) for effect in (quick, slow))
    assert one.value < other.value
    assert one.low < 8 < one.high
    assert other.low < 20 < other.high


def test_dates_without_work_are_asked_too(sound_club):
    _, effect = sound_club
    assert effect.placebo.days
    heal = work_types()[KIND].recovery_days
    for day in effect.placebo.days:
        assert all(day + heal <= work.start or day >= work.end + heal for work in WORKS)
    # All over the season: what makes putting worse in summer or autumn is not seen on dates in spring.
    in_season = np.array(effect.placebo.days) - SEASON_START
    assert len(in_season) == 5
    assert np.ptp(in_season) > 140
    # One date in twenty is claimed by chance; ``tests/worlds`` counts over many clubs.
    assert effect.placebo.claims <= 1


def test_who_played_worse_from_tee_to_green_too_is_told_nothing_of_the_greens(cored_club):
    """The same putts beside a long game that knows nothing of the coring, and one that was two strokes worse then."""
    club, effect = cored_club
    rounds, at = np.unique(club.putts.round, return_index=True)
    day = club.putts.day[at]
    then = np.any([(day >= work.start) & (day < work.start + 11) for work in WORKS], axis=0)
    steady = 8 + 3 * np.random.default_rng(5).standard_normal(len(rounds))
    calm, worse = (
        fit_effect(club.putts, {0: WORKS}, ["home"], lost) for lost in (steady, steady + 2.5 * then)
    )
    assert effect.tee_to_green is None
    assert calm.tee_to_green[0] == pytest.approx(0, abs=3 * calm.tee_to_green[1])
    assert calm.claimed
    assert worse.spell
    assert not worse.claimed
    assert worse.recovery == {}
    assert "no green can have done" in worse.cannot_tell[0]
    assert calm.strokes_between(0, 3, KIND).value is not None
    assert worse.strokes_between(0, 3, KIND).value is None
    # What the putts alone say is not changed by the control; but all of it may be the spell's.
    assert calm.perhaps(KIND) == effect.perhaps(KIND)
    assert effect.perhaps(KIND)[0] > 0
    assert worse.perhaps(KIND) == (0.0, effect.perhaps(KIND)[1])
    assert worse.chance_it_costs(KIND) is None
    back = GreensEffect.restored(json.loads(json.dumps(worse.stored())))
    assert back.spell


def test_what_is_seen_on_dates_without_work_too_is_not_put_down_to_work(cored_club):
    """One such date in five may be chance; two say that putting is worse here at times without any work."""
    _, effect = cored_club
    one, two = (
        replace(effect, placebo=Placebo((1, 40, 80, 120), seen, (0.5,) * 4))
        for seen in ((1.2, 0.1, -0.3, 0.6), (1.2, 0.1, -0.3, 1.1))
    )
    assert one.claimed
    assert one.strokes_between(0, 3, KIND) == effect.strokes_between(0, 3, KIND)
    assert one.recovery_days(KIND).value is not None
    assert not two.claimed
    assert two.chance_it_costs(KIND) is None
    assert two.strokes_between(0, 3, KIND).value is None
    assert two.recovery_days(KIND).value is None
    assert two.perhaps(KIND) == (0.0, effect.perhaps(KIND)[1])
    assert chance_healed(one, KIND, 1.0, "home", 14) is not None
    assert chance_healed(two, KIND, 1.0, "home", 14) is None


def test_a_club_that_did_not_enter_all_its_work_is_told_no_size_of_the_rest():
    """Three corings, of which the first two are on no calendar: dates without work look as if there had been some."""
    cored = [Work(KIND, SEASON_START + day, SEASON_START + day, severity=1.0) for day in (0, 45, 150)]
    club = play(np.random.default_rng(18), 25, 30, direction_effect=0.5, distance_effect=0.5, works=cored)
    effect = fit(club, cored[2:])
    assert effect.placebo.claims == 2
    assert not effect.claimed
    assert effect.strokes_between(0, 3, KIND).value is None
    assert "On several dates without work" in effect.cannot_tell[0]
    assert GreensEffect.restored(json.loads(json.dumps(effect.stored()))).seen_without_work
    assert fit(club, cored).claimed


def test_a_long_game_that_nobody_recorded_is_no_control(cored_club):
    club, _ = cored_club
    unknown = np.full(int(club.putts.round.max()) + 1, np.nan)
    assert fit_effect(club.putts, {0: WORKS}, ["home"], unknown).tee_to_green is None


def test_too_few_rounds_say_so():
    effect = fit(play(np.random.default_rng(15), players=3, rounds=10))
    assert not effect.enough
    assert not effect.claimed
    assert effect.strokes_per_round(1.0).value is None
    assert effect.recovery_days(KIND).value is None
    assert effect.perhaps(KIND) == pytest.approx((0.0, 0.9 * PERHAPS[1]))


def test_no_work_at_all_is_too_few():
    club = play(np.random.default_rng(16), players=10, rounds=20)
    assert fit(club, works=[]).strokes_after(0, KIND).value is None


def test_no_putts_at_all_are_too_few():
    putts = play(np.random.default_rng(16), players=1, rounds=1).putts
    assert not fit_effect(putts.select(putts.distance_ft < 0), {0: WORKS}).enough


def test_another_course_is_not_home(cored_club):
    """Nobody has putted there: no number of strokes, a wider "perhaps", nothing claimed."""
    _, effect = cored_club
    assert effect.home == "home"
    assert effect.strokes_after(0, KIND, course="elsewhere").value is None
    assert not effect.claims(KIND, "elsewhere")
    at_home, there = effect.perhaps(KIND), effect.perhaps(KIND, "elsewhere")
    assert there[1] - there[0] > 1.2 * (at_home[1] - at_home[0])
    assert effect.perhaps(KIND, ELSEWHERE) == there


def test_work_that_was_never_done_on_a_course_is_not_known_there(cored_club):
    """The second course was topdressed often and never cored: its rounds say nothing of coring there."""
    club, _ = cored_club
    second = club.putts.round % 2 == 1
    putts = replace(club.putts, course=np.where(second, 1, club.putts.course))
    sand = [Work("topdressing_heavy", SEASON_START + day, SEASON_START + day) for day in range(20, 200, 30)]
    effect = fit_effect(putts, {0: WORKS, 1: sand}, ["home", "second"])
    assert effect.by_course["second"] >= MINIMUM_ROUNDS
    assert effect.knows("topdressing_heavy", "second")
    assert effect.knows(KIND, "home")
    assert not effect.knows(KIND, "second")
    assert not effect.knows("topdressing_heavy", "home")
    assert effect.strokes_after(0, KIND, course="second").value is None
    assert effect.chance_it_costs(KIND, "second") is None
    back = GreensEffect.restored(json.loads(json.dumps(effect.stored())))
    assert back.own_rounds(KIND, "second") == 0


def test_a_kind_that_was_never_done_is_not_known_to_cost_nothing(cored_club):
    _, effect = cored_club
    low, high = effect.perhaps("rolling")
    assert low < -0.5
    assert high > 0.5
    assert effect.strokes_after(0, "rolling").value is None


def test_corings_speak_for_one_another(cored_club):
    _, effect = cored_club
    assert effect.own_rounds("coring_large") == effect.own_rounds(KIND) == effect.by_course["home"]
    assert effect.own_rounds("solid_tine") == 0
    of_the_same_kind = effect.normal(effect.after([0], KIND, 1.0)[0])[1]
    assert effect.normal(effect.after([0], "coring_large", 1.0)[0])[1] > of_the_same_kind


def test_light_work_is_not_blamed_for_the_coring():
    light = [Work("topdressing_light", SEASON_START + day, SEASON_START + day) for day in range(5, 205, 14)]
    effect = fit(play(np.random.default_rng(22), players=25, rounds=30), [*WORKS, *light])
    assert effect.claims(KIND)
    assert not effect.claims("topdressing_light")
    assert effect.usual_kind == KIND


def test_work_always_done_together_is_said_not_to_be_told_apart():
    sand = [replace(work, kind="topdressing_heavy", severity=None) for work in WORKS]
    effect = fit(play(np.random.default_rng(11), players=25, rounds=30), [*WORKS, *sand])
    assert any("mostly felt together" in said for said in effect.cannot_tell)


def test_work_at_the_ends_of_the_season_is_said_to_be_so():
    works = [Work("coring_large", SEASON_START + day, SEASON_START + day) for day in (3, 205)]
    effect = fit(play(np.random.default_rng(11), players=25, rounds=30, works=works), works)
    assert any("end of the golf played" in said for said in effect.cannot_tell)


def test_work_on_some_greens_weighs_by_the_holes_played():
    """Nine cored greens of eighteen: half of what all would cost, by the same putts."""
    front = [replace(work, holes=frozenset(range(1, 10))) for work in WORKS]
    club = play(np.random.default_rng(24), players=40, rounds=30, works=front, direction_effect=0.5)
    first = fit(club, front).strokes_between(0, 3, KIND, severity=1.0)
    truth = np.mean([club.true_strokes((1 - day / 10) ** 2) for day in range(4)])
    assert first.low < truth < first.high


def test_days_that_differ_for_other_reasons_widen_the_interval(sound_club):
    _, calm = sound_club
    club = play(
        np.random.default_rng(18),
        players=25,
        rounds=30,
        day_sd=0.15,
        direction_effect=0.0,
        distance_effect=0.0,
    )
    rough = fit(club)
    assert rough.day_sd > 2 * calm.day_sd
    first_days = [effect.after(range(4), KIND).mean(axis=0) for effect in (rough, calm)]
    assert rough.normal(first_days[0])[1] > 1.15 * calm.normal(first_days[1])[1]


def test_too_uncertain_a_size_is_not_given_whatever_is_claimed(cored_club):
    """The same posterior with three times the doubt: no numbers, and still a wide "perhaps"."""
    _, effect = cored_club
    doubtful = replace(effect, covariance=9 * effect.covariance)
    assert effect.strokes_after(0, KIND).value is not None
    assert doubtful.strokes_after(0, KIND).value is None
    assert doubtful.knows(KIND)
    assert doubtful.perhaps(KIND)[1] > effect.perhaps(KIND)[1]


def test_green_speed_is_not_taken_for_disturbance():
    """Every other day the greens are faster and harder, and every coring that costs nothing starts on such a day."""
    works = [Work(KIND, day, day, severity=1.0) for day in range(SEASON_START, SEASON_START + 210, 30)]
    club = play(
        np.random.default_rng(19),
        players=25,
        rounds=30,
        works=works,
        disturbance=lambda day, hole: (day % 2 == 0).astype(float),
        direction_effect=0.15,
        distance_effect=0.15,
    )
    speed = np.where(club.putts.day % 2 == 0, 11.0, 9.0)
    unmeasured, measured = (
        fit_effect(replace(club.putts, speed_ft=some), {0: works}) for some in (club.putts.speed_ft, speed)
    )
    assert not measured.claimed
    assert measured.day_sd < 0.6 * unmeasured.day_sd


def test_shares_of_the_distances_make_up_a_usual_round(cored_club):
    _, effect = cored_club
    shares = effect.shares(MIDDLES_FT)
    assert shares @ effect.first_putts == pytest.approx(1)
    assert np.all(shares > 0)
    assert shares[0] < shares[6]


def test_stored_as_json_and_back(cored_club):
    _, effect = cored_club
    text = json.dumps(effect.stored())
    assert len(text) < 40_000
    back = GreensEffect.restored(json.loads(text))
    for course in (None, "home", "elsewhere"):
        for kind in (KIND, "rolling", "coring_large"):
            assert back.perhaps(kind, course) == pytest.approx(effect.perhaps(kind, course))
            assert back.strokes_after(3, kind, course=course) == effect.strokes_after(3, kind, course=course)
    assert (back.placebo, back.cannot_tell, back.recovery) == (
        effect.placebo,
        effect.cannot_tell,
        effect.recovery,
    )


def as_jsonb(document):
    """The document as PostgreSQL gives it back: the keys of a jsonb object in order of length, then of bytes (tried)."""
    if not isinstance(document, dict):
        return document
    names = sorted(document, key=lambda name: (len(name), name.encode()))
    return {name: as_jsonb(document[name]) for name in names}


def test_a_kind_keeps_its_own_cost_whatever_order_a_database_has():
    """Rolling was told the cost of coring, and coring that of turf repair."""
    kinds, courses = ("coring_autumn", "rolling", "venting"), ("second", "home")
    size = Coefficients(kinds, courses).size
    rng = np.random.default_rng(8)
    half = rng.standard_normal((size, size))
    mean, covariance = widened(rng.standard_normal(size), half @ half.T, kinds, courses)
    effect = replace(
        too_few_effect(60, 20, 9_000),
        by_kind=dict.fromkeys(kinds, 20),
        by_course=dict.fromkeys(courses, 30),
        by_course_and_kind={course: dict.fromkeys(kinds, 20) for course in courses},
        mean=mean,
        covariance=covariance,
    )
    back = GreensEffect.restored(as_jsonb(json.loads(json.dumps(effect.stored()))))
    for kind in (*kinds, "slicing"):
        for course in (*courses, ELSEWHERE):
            told, before = (
                one.normal(one.after(range(4), kind, None, course).mean(axis=0)) for one in (back, effect)
            )
            assert told == pytest.approx(before), (kind, course)


def test_nothing_known_is_stored_and_back():
    back = GreensEffect.restored(json.loads(json.dumps(too_few_effect(5, 2, 900).stored())))
    assert (back.rounds, back.enough, back.strokes_per_round(1.0).value) == (5, False, None)


def test_the_same_putts_say_the_same_in_any_order(cored_club):
    club, effect = cored_club
    shuffled = club.putts.select(np.random.default_rng(3).permutation(len(club.putts)))
    again = fit_effect(shuffled, {0: WORKS[::-1]}, ["home"])
    assert again.strokes_per_round(1.0).value == pytest.approx(effect.strokes_per_round(1.0).value, abs=1e-6)


def test_more_days_than_a_fit_can_take_leave_the_oldest_and_other_courses_out(monkeypatch):
    """Home days first, the latest of them; the coring is still found with half of the season gone."""
    club = play(np.random.default_rng(11), players=25, rounds=30)
    rounds = club.putts.round
    away = replace(
        club.putts,
        course=np.where(rounds % 3 == 0, 1, 0),
        day=np.where(rounds % 3 == 0, club.putts.day + 400, club.putts.day),
    )
    monkeypatch.setattr("golfstats.calc.greens.effect.estimate.MOST_COURSE_DAYS", 120)
    effect = fit_effect(away, {0: WORKS, 1: []}, ["home", "away"])
    assert set(effect.by_course) == {"home"}
    assert effect.days <= 120
    assert effect.claimed
