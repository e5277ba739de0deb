"""The GraphQL schema: the root fields of every app, and what a document may cost."""

from __future__ import annotations

import strawberry
from strawberry.schema.config import StrawberryConfig

from courses.graphql.courses import CourseQuery
from courses.graphql.mutations import CourseMutation
from golfstats.graphql.limits import Charges, limits
from golfstats.graphql.people import PeopleQuery
from golfstats.graphql.rows import read
from players.graphql.comparing import ComparingQuery
from players.graphql.greens import GreensQuery
from players.graphql.handicap import HandicapQuery
from players.graphql.managing import ManagingQuery
from players.graphql.mutations import PlayerMutation
from players.graphql.roots import PlayerQuery

CHARGES = Charges(
    # A unit is about 50 µs of work: so much is one field of a dashboard, all that it rests on counted in.
    computed={
        "Comparison.figures": 100,
        "Player.approach": 800,
        "Player.conditionAdjusted": 20,
        "Player.distances": 1500,
        "Player.earlierSelf": 100,
        "Player.figureByRound": 5,
        "Player.figures": 50,
        "Player.goals": 60,
        "Player.notes": 100,
        "Player.putting": 2500,
        "Player.shots": 20,
        "Player.summary": 300,
        "Player.trends": 100,
        "Player.trial": 1000,
        "Query.aroundTheGreen": 500,
        "Query.compare": 1000,
        "Query.expectedPutts": 500,
        "Query.greenWorkCost": 500,
        "Query.handicapTargets": 1000,
        "Query.planner": 500,
        "Query.playerMisses": 2500,
        "Query.playerPriorities": 10000,
        "Query.roundAnalysis": 1000,
        "Query.squadConditionAdjusted": 3000,
        "Query.squadLeaders": 3000,
        "Query.squadTable": 3000,
        "Round.condition": 20,
        "Round.document": 20,
        "Round.notation": 20,
    },
    lists={
        "Query.benchmarks": (30, "one for every second handicap that the club's golfers were fitted at"),
        "Query.greenWorkTypes": (20, "the kinds of work that the service knows"),
        "Query.clubs": (5, "a person belongs to a few clubs"),
        "HandicapTargets.targets": (100, "scores that a player may shoot"),
        "HandicapsOnCourse.tees": (
            10,
            "a course has a handful of tees, which REST gives all at once as well",
        ),
        "TeeHandicaps.sections": (3, "18 holes and two halves"),
        "ConditionEffect.kinds": (20, "the kinds of work that the service knows"),
        "EffectOfKind.strokesARound": (5, "five days after the work"),
        "ContextEffects.results": (20, "the contexts that the service knows"),
        "GreenWorkPlan.dates": (92, "at most 92 dates"),
        "ExpectedPutts.results": (20, "a table of distances"),
        "Course.tees": (10, "a course has a handful of tees, which REST gives all at once as well"),
        "CourseCondition.greens": (18, "at most 18 greens"),
        "CourseCondition.work": (10, "only work that is still felt"),
        "TeeSet.holes": (18, "at most 18 holes"),
        "TeeSet.ratings": (6, "two genders, three sections"),
        "Squad.coaches": (5, "a squad has few coaches"),
        "Player.attention": (10, "a few kinds of items, each about a figure or goal"),
        "Player.figures": (5, "those asked for by key"),
        "Player.trends": (5, "those asked for by key"),
        "Player.earlierSelf": (5, "those asked for by key"),
        "Comparison.players": (8, "at most 8 players"),
        "Comparison.figures": (5, "those asked for by key"),
        "ComparedFigure.values": (8, "at most 8 players"),
        "ComparedFigure.pairs": (28, "pairs of at most 8 players"),
        "SquadTable.players": (30, "a squad, which REST gives all at once as well"),
        "SquadLeaders.standings": (30, "a squad, which REST gives all at once as well"),
        "SquadConditionAdjusted.players": (30, "a squad, which REST gives all at once as well"),
        "Player.figureByRound": (20, "cut by its argument"),
        "PlayerPriorities.parts": (4, "the game has four parts"),
        "PlayerPriorities.bands": (20, "the club's bands of distances"),
        "Trend.rounds": (20, "cut by its argument"),
        "Goal.history": (20, "cut by its argument"),
        "Priorities.parts": (4, "the game has four parts"),
        "Priorities.bands": (5, "the worker keeps five"),
        "Round.holes": (18, "at most 18 holes"),
        "RoundCondition.work": (10, "only work that is still felt"),
        "PlayedHole.shots": (8, "a hole takes a few shots, at most 40"),
    },
)


@strawberry.type
class Query(PlayerQuery, ComparingQuery, HandicapQuery, CourseQuery, GreensQuery, PeopleQuery, ManagingQuery):
    pass


@strawberry.type
class Mutation(PlayerMutation, CourseMutation):
    pass


class Schema(strawberry.Schema):
    def process_errors(self, errors: object, execution_context: object = None) -> None:
        """The endpoint logs what was not foreseen; the rest is the client's business."""


schema = Schema(
    query=Query,
    mutation=Mutation,
    extensions=[limits(CHARGES)],
    config=StrawberryConfig(default_resolver=read, disable_field_suggestions=True),
)
