import datetime as dt
import math

import pytest

from courses.greens.models import GreenWork
from courses.layout.models import Gender, TeeSet
from courses.plans.services import describe_holes
from golfstats.ground.clubs.models import Role
from golfstats.ground.faults import ProblemError
from golfstats.ground.operations import Asker, Query
from golfstats.ground.outbox.models import OutstandingWork
from golfstats.ground.outbox.worker import drain
from players.golf.scorecards import day_form_of
from players.plans import answers, making, services
from players.plans.costs.course_costs import ask_for_costs
from players.plans.models import PlanHole, PlanState, RoundPlan
from players.plans.on_course import afterwards
from players.rounds import services as posting
from players.rounds.input import RoundInput
from tests import factories
from tests.courses.plans.test_hole_shapes import hole_map

DAY = dt.date(2026, 6, 14)


def codes(error) -> set[str]:
    return {fault.code for fault in error.value.faults}


def ask(member, player, tees, **more):
    return services.ask_for_plan(member, player, tees, DAY, section="front", **more)


@pytest.mark.parametrize(
    ("wind_from", "turned"), [(90, 0.0), (270, math.pi), (0, -math.pi / 2), (None, None)]
)
def test_the_wind_of_the_forecast_is_turned_to_each_hole_of_a_map(
    member, player, short_course, wind_from, turned
):
    # The hole on the map runs due east, so that wind from the east blows into the face.
    describe_holes(member, short_course, [(1, "", hole_map())])
    plan = ask(member, player, short_course, wind_mph=10.0, wind_from=wind_from)
    mapped, generic = (making.question_of(plan, hole) for hole in making.drawn_holes_of(plan)[:2])
    assert mapped.weather.wind_from == (None if turned is None else pytest.approx(turned))
    assert generic.weather.wind_from is None


def test_a_plan_is_asked_for_and_made_hole_by_hole(member, player, short_course):
    plan = ask(member, player, short_course, greens_found="cored 7 days, slow", wind_mph=8.0, target=33)
    assert (plan.state, plan.holes) == (PlanState.PENDING, 9)
    assert OutstandingWork.objects.filter(kind="round_plan", key=str(plan.id)).exists()
    asker = Asker(member)
    assert making.make_next_hole(plan)
    assert making.make_next_hole(plan)
    (head,) = answers.plan_heads(asker, [plan])
    assert (head.holes_done, head.course, head.state) == (2, "Short course", PlanState.PENDING)
    (half,) = answers.whole_plans(asker, [plan], Query())
    assert half.round is None
    assert [hole.number for hole in half.by_hole] == [1, 2]
    # Without a handicap and a round, nothing is the player's own, and the plan says so.
    assert half.rests_on == answers.NOBODYS
    while making.make_next_hole(plan):
        pass
    making.finish(plan)
    (whole,) = answers.whole_plans(
        asker, [RoundPlan.objects.select_related("tee_set__course").get()], Query()
    )
    assert whole.state == PlanState.DONE
    assert whole.round is not None
    assert whole.round.low <= whole.round.expected <= whole.round.high
    assert whole.round.generic_holes == 9
    assert whole.round.chance_of_target is not None
    # Greens cored a week ago add putts.
    assert whole.round.greens_add > 0.1
    assert "Rule 4.3a(4)" in whole.in_a_round
    assert sum(hole.putts for hole in whole.by_hole) == pytest.approx(whole.round.putts)


def test_the_clubs_calendar_counts_where_the_player_says_nothing(member, player, short_course):
    plan = ask(member, player, short_course)
    game = making.game_of(player)
    assert making.greens_of(plan, game, 1).disturbance == 0
    GreenWork.objects.create(
        course=short_course.course, kind="coring_autumn", starts_on=DAY, ends_on=DAY, uid="cored"
    )
    assert making.greens_of(plan, game, 1).disturbance > 0.9


def test_own_swings_and_handicap_make_the_patterns(member, player, short_course):
    without = making.game_of(player)
    shots = [
        {"lie": "tee", "distance": 400, "club": "driver", "swing": "full", "travel": 150, "offline": 12},
        {"lie": "fairway", "distance": 250, "club": "3w", "swing": "full", "travel": 140, "offline": 8},
        {"lie": "fairway", "distance": 110, "club": "7i", "swing": "full", "travel": 105, "offline": 2},
        {"lie": "green", "distance": 9},
    ]
    course = factories.make_course()
    factories.make_tee_set(course)
    pars = zip(factories.PARS, factories.LENGTHS, strict=True)
    holes = [
        {"number": number, "shots": factories.plain_shots(3, length) if par == 3 else shots}
        for number, (par, length) in enumerate(pars, start=1)
    ]
    factories.make_round(factories.make_member(Role.MANAGER), player, holes=holes)
    with_shots = making.game_of(player)
    assert without.learnt.shots.sum() == 0
    assert with_shots.learnt.shots.sum() == 42
    driver = with_shots.learnt.bag.clubs[0]
    assert (driver.name, driver.shots) == ("driver", 14)
    assert driver.length == pytest.approx(150, abs=3)
    assert driver.bias > 0.03


def test_what_cannot_be_planned_is_refused(member, player, short_course):
    bare = TeeSet.objects.create(course=short_course.course, name="Bare")
    with pytest.raises(ProblemError) as error:
        ask(member, player, bare, greens_found="cored yesterday")
    assert codes(error) == {"no_holes", "not_understood"}
    for _ in range(services.OPEN_PLANS):
        ask(member, player, short_course)
    with pytest.raises(ProblemError) as error:
        ask(member, player, short_course)
    assert codes(error) == {"too_many"}


def test_nothing_is_planned_from_tees_where_the_player_cannot_post(member, player, short_course):
    short_course.holes.update(par_women=None, stroke_index_women=None)
    with pytest.raises(ProblemError) as refused:
        ask(member, player, short_course)
    assert [str(fault.detail) for fault in refused.value.faults] == [
        f"these tees have no par for women, so {player.name} cannot post a round from them"
    ]
    with pytest.raises(ProblemError) as not_posted:
        played(player, short_course.course, holes=nine(4))
    assert codes(refused) == codes(not_posted) == {"hole_not_rated"}
    ask(member, factories.make_player("A man", gender="men"), short_course)


def test_nothing_is_planned_of_a_hole_that_nobody_can_draw(member, player, short_course):
    plan = ask(member, player, short_course)
    short_course.holes.filter(number=1).update(length=25)
    with pytest.raises(ProblemError, match="hole 1 is not 40 to 700 yards long"):
        making.make_next_hole(plan)
    with pytest.raises(ProblemError) as refused:
        ask(member, player, short_course)
    assert codes(refused) == {"hole_needs_a_map"}
    with pytest.raises(ProblemError) as refused:
        ask_for_costs(short_course, Gender.WOMEN)
    assert codes(refused) == {"hole_needs_a_map"}


def test_a_plan_that_fails_says_why(member, player, short_course):
    from players.plans.tasks import _failed

    plan = ask(member, player, short_course)
    _failed(str(plan.id), "the reason")
    plan.refresh_from_db()
    assert (plan.state, plan.reason) == (PlanState.FAILED, "the reason")
    services.delete_plan(plan)
    assert not PlanHole.objects.exists()


def planned_without_the_worker(plan):
    """A plan as good as made: every simulated round takes four on every hole."""
    for number in range(1, plan.holes + 1):
        simulated = {"score": [4] * 10, "putts": [2] * 10, "greens_add": [0.0] * 10}
        PlanHole.objects.create(plan=plan, number=number, document={}, simulated=simulated)
    RoundPlan.objects.filter(id=plan.id).update(state=PlanState.DONE)
    plan.refresh_from_db()


def test_the_round_played_by_a_plan_is_taken_apart(member, player, short_course):
    plan = ask(member, player, short_course, greens_found="cored 3 days")
    with pytest.raises(ProblemError, match="not made yet"):
        afterwards.ask_to_read(plan)
    planned_without_the_worker(plan)
    with pytest.raises(ProblemError, match="No round"):
        afterwards.ask_to_read(plan)
    shots = [
        {"lie": "tee", "distance": 100, "club": "5-iron"},
        {"lie": "rough", "distance": 22, "club": "sw"},
        {"lie": "green", "distance": 9},
        {"lie": "green", "distance": 2},
    ]
    factories.make_round(
        factories.make_member(Role.MANAGER),
        player,
        DAY - dt.timedelta(days=2),
        course=short_course.course,
        section="front",
        holes=[{"number": number, "score": 4} for number in range(1, 10)],
    )
    holes = [{"number": 1, "shots": shots}, {"number": 2, "shots": shots}]
    holes += [{"number": number, "score": 4} for number in range(3, 10)]
    played = factories.make_round(
        factories.make_member(Role.MANAGER),
        player,
        DAY,
        course=short_course.course,
        section="front",
        holes=holes,
    )
    reading = afterwards.ask_to_read(plan)
    assert reading.round == played
    while afterwards.read_next_hole(reading):
        pass
    afterwards.finish_reading(reading)
    (told,) = answers.plans_read(Asker(member), [plan], Query())
    assert told is not None
    assert (told.state, told.score, told.forecast, told.as_good_or_better) == (PlanState.DONE, 36, 36.0, 1.0)
    assert [(shot.hole, shot.shot) for shot in told.shots] == [(h, s) for h in (1, 2) for s in (1, 2, 3, 4)]
    # The parts add up, shot by shot and over the round.
    for shot in told.shots:
        assert shot.choice + shot.execution + shot.greens + shot.luck == pytest.approx(shot.total, abs=1e-9)
    assert told.total == pytest.approx(sum(shot.total for shot in told.shots), abs=1e-9)
    # Over a hole they are what the best way round from the tee expects, on usual greens, less the strokes played.
    first, second = ([shot.total for shot in told.shots if shot.hole == hole] for hole in (1, 2))
    assert 4 + sum(first) == pytest.approx(4 + sum(second), abs=1e-3)  # holes alike, played alike
    assert 2.5 < 4 + sum(first) < 4.0  # three to four strokes on 100 yards for a usual golfer
    # A 5-iron is no club for 100 yards, and cored greens take something from every putt.
    assert told.worst_choices[0].shot == 1
    assert told.worst_choices[0].choice < -0.05
    assert told.worst_choices[0].club == "5-iron"
    assert told.worst_choices[0].better not in ("", "5-iron")
    assert told.greens < 0


def test_holes_played_beyond_a_plan_of_nine_are_left_alone(member, player):
    tees = factories.make_tee_set(factories.make_course())
    plan = ask(member, player, tees)
    planned_without_the_worker(plan)
    holes = [{"number": number, "score": 4} for number in range(1, 19)]
    holes[9] = {"number": 10, "shots": factories.plain_shots(4, 385)}
    factories.make_round(factories.make_member(Role.MANAGER), player, DAY, holes=holes)
    reading = afterwards.ask_to_read(plan)
    assert not afterwards.read_next_hole(reading)
    afterwards.finish_reading(reading)
    (told,) = answers.plans_read(Asker(member), [plan], Query())
    assert (told.state, told.score, told.shots) == (PlanState.DONE, 72, [])
    assert told.forecast is None  # of eighteen holes there was none


def nine(score, first=1):
    return [{"number": number, "score": score} for number in range(first, first + 9)]


def played(player, course, section="front", **fields):
    member = factories.make_member(Role.MANAGER)
    return factories.make_round(member, player, DAY, course=course, section=section, **fields)


def corrected(round_, **fields):
    """As somebody corrects it, and the worker follows."""
    body = factories.round_body(round_.player, round_.tee_set.course, section=round_.section, **fields)
    posting.replace_round(round_.posted_by, round_, RoundInput.model_validate(body))
    drain()


def test_a_plan_is_read_beside_the_round_as_it_is_corrected(member, player, short_course):
    plan = ask(member, player, short_course)
    planned_without_the_worker(plan)
    round_ = played(player, short_course.course, holes=nine(4))
    afterwards.ask_to_read(plan)
    drain()
    corrected(round_, holes=nine(5))
    (told,) = answers.plans_read(Asker(member), [plan], Query())
    assert (told.state, told.score) == (PlanState.DONE, 45)


def test_a_round_that_was_another_players_stands_beside_no_plan(member, player, short_course):
    plan = ask(member, player, short_course)
    planned_without_the_worker(plan)
    round_ = played(player, short_course.course, holes=nine(4))
    afterwards.ask_to_read(plan)
    drain()
    round_.player = factories.make_player("Somebody else")
    corrected(round_, holes=nine(4))
    assert answers.plans_read(Asker(member), [plan], Query()) == [None]


def test_a_hole_that_was_read_before_a_correction_is_read_again(member, player, short_course):
    plan = ask(member, player, short_course)
    planned_without_the_worker(plan)
    shots = [
        {"lie": "tee", "distance": 100},
        {"lie": "green", "distance": 9},
        {"lie": "green", "distance": 2},
    ]
    told_hole = [{"number": 1, "shots": shots}, *nine(4)[1:]]
    round_ = played(player, short_course.course, holes=told_hole)
    reading = afterwards.ask_to_read(plan)
    assert afterwards.read_next_hole(reading)
    told_hole[0] = {"number": 1, "shots": [*shots[:2], {"lie": "green", "distance": 4}, shots[2]]}
    corrected(round_, holes=told_hole)
    (told,) = answers.plans_read(Asker(member), [plan], Query())
    assert (told.score, len(told.shots)) == (36, 4)


def test_a_hole_that_cannot_be_drawn_any_more_is_said_not_to_be_read(member, player, short_course):
    plan = ask(member, player, short_course)
    planned_without_the_worker(plan)
    shots = [{"lie": "tee", "distance": 100}, {"lie": "green", "distance": 9}]
    played(player, short_course.course, holes=[{"number": 1, "shots": shots}, *nine(4)[1:]])
    short_course.holes.filter(number=1).update(length=30)
    with pytest.raises(ProblemError, match="hole 1 is not 40 to 700 yards long"):
        afterwards.read_next_hole(afterwards.ask_to_read(plan))


def test_nine_holes_that_were_not_planned_are_not_read(member, player):
    tees = factories.make_tee_set(factories.make_course())
    plan = ask(member, player, tees)
    planned_without_the_worker(plan)
    played(player, tees.course, "back", holes=nine(4, first=10))
    with pytest.raises(ProblemError, match="No round"):
        afterwards.ask_to_read(plan)


def test_what_rests_on_the_same_is_not_planned_twice(member, player, short_course, monkeypatch):
    planned = []
    plan_hole = making.plan_hole

    def counted(question, *rest):
        planned.append(question.number)
        return plan_hole(question, *rest)

    monkeypatch.setattr(making, "plan_hole", counted)
    first, again = ask(member, player, short_course), ask(member, player, short_course)
    for plan in (first, again):
        making.make_next_hole(plan)
    assert planned == [1]
    one, other = PlanHole.objects.order_by("id")
    assert (one.document, one.simulated) == (other.document, other.simulated)
    # Other greens, another wind or another hole is another question.
    making.make_next_hole(ask(member, player, short_course, greens_found="cored 7 days"))
    making.make_next_hole(ask(member, player, short_course, wind_mph=15.0))
    short_course.holes.update(length=140)
    making.make_next_hole(ask(member, player, short_course))
    assert planned == [1, 1, 1, 1]
    # Somebody else's patterns are theirs, however alike.
    making.make_next_hole(ask(member, factories.make_player("Another"), short_course))
    assert planned == [1, 1, 1, 1, 1]


def test_the_players_own_scorecards_and_the_clubs_say_how_much_days_differ(club, player, short_course):
    manager = factories.make_member(Role.MANAGER)
    nothing = day_form_of(player.id).ratio
    for number in range(12):
        # Threes and fours on good days, fives and sixes on bad ones: no luck of single holes does that.
        holes = [
            {"number": hole, "score": 3 + (hole * number) % 2 + 2 * (number % 2)} for hole in range(1, 10)
        ]
        about = {"course": short_course.course, "tee": short_course.name, "section": "front"}
        factories.make_round(manager, player, DAY + dt.timedelta(days=number), **about, holes=holes)
    assert day_form_of(player.id).ratio > 4 * nothing
    # Whoever has no round yet is taken to be like the club.
    assert day_form_of(factories.make_player("Somebody else").id).ratio > 1.1 * nothing
