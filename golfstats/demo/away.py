"""The demo's away course: nine holes drawn on maps, one player's plan for them, and the round as it was played.

Making the plan and reading the round afterwards take most of a minute of a core, so the demo loads what a worker made
of them before (``away_plan.json.gz``); ``manage.py demo --once --plan-anew`` has it made again and writes the file. A
slow test compares it with a plan asked for today.
"""

from __future__ import annotations

import datetime as dt
import gzip
import json
from collections.abc import Callable, Mapping
from typing import Any

from django.conf import settings
from django.utils import timezone

from courses.layout.models import TeeSet
from courses.plans.services import describe_holes
from golfstats.ground.clubs.models import Club, Member, Role
from golfstats.ground.outbox import worker
from golfstats.ground.walls.scope import club_scope
from players.people.models import Player
from players.plans.models import PlanAfterwards, PlanHole, PlanState, RoundPlan
from players.plans.on_course.afterwards import ask_to_read
from players.plans.services import ask_for_plan
from players.rounds import services as posting
from players.rounds.models import Round

Facts = Mapping[str, Any]
FOLDER = settings.BASE_DIR / "demo_fixtures"
KEPT = FOLDER / "away_plan.json.gz"
PLAN_FIELDS = ("document", "handicap", "full_swings")


def read_facts() -> Facts:
    """The course, its holes' shapes, and what the plan was asked for."""
    facts: Facts = json.loads((FOLDER / "away_course.json").read_text(encoding="utf-8"))
    return facts


def load(club: Club, make_course: Callable[[Facts], Any], *, anew: bool) -> None:
    """The course, the plan and the round, read. ``anew``: let the worker make what else is loaded from the file."""
    facts = read_facts()
    with club_scope(club.id):
        manager = Member.objects.select_related("club").get(role=Role.MANAGER)
        make_course(facts["course"])
        tee_set = TeeSet.objects.select_related("course").get(course__name=facts["course"]["name"])
        describe_holes(
            manager, tee_set, [(one["number"], one["words"], one["map"]) for one in facts["shapes"]]
        )
        plan = _asked(manager, tee_set, facts["plan"])
        if not anew:
            _restore(plan, kept())
    worker.drain()
    with club_scope(club.id):
        played = _played(manager, plan)
        if not anew:
            _restore_reading(plan, played, kept())
    worker.drain()
    if anew:
        with club_scope(club.id):
            ask_to_read(RoundPlan.objects.get(id=plan.id))
        worker.drain()
        with club_scope(club.id):
            _keep(RoundPlan.objects.get(id=plan.id))


def kept() -> Facts:
    """What a worker made of plan and round before."""
    facts: Facts = json.loads(gzip.decompress(KEPT.read_bytes()))
    return facts


def _asked(manager: Member, tee_set: TeeSet, facts: Facts) -> RoundPlan:
    asked = {name: value for name, value in facts.items() if name not in {"player", "tee", "planned_for"}}
    player = Player.objects.get(name=facts["player"])
    return ask_for_plan(manager, player, tee_set, dt.date.fromisoformat(facts["planned_for"]), **asked)


def _played(manager: Member, plan: RoundPlan) -> Round:
    text = f"player: {plan.player.name}\n{(FOLDER / 'away_round.txt').read_text(encoding='utf-8')}"
    return posting.post_round(manager, posting.round_of_text(text))


def _restore(plan: RoundPlan, made: Facts) -> None:
    PlanHole.objects.bulk_create(PlanHole(plan=plan, **hole) for hole in made["holes"])
    plan.state, plan.finished_at = PlanState.DONE, timezone.now()
    for name in PLAN_FIELDS:
        setattr(plan, name, made["plan"][name])
    plan.save()


def _restore_reading(plan: RoundPlan, played: Round, made: Facts) -> None:
    PlanAfterwards.objects.create(plan=plan, round=played, state=PlanState.DONE, **made["afterwards"])


def _keep(plan: RoundPlan) -> None:
    reading = PlanAfterwards.objects.get(plan=plan)
    if PlanState.DONE not in {plan.state} & {reading.state}:
        raise RuntimeError(f"nothing to keep: {plan.reason or reading.reason}")
    made = {
        "plan": {name: getattr(plan, name) for name in PLAN_FIELDS},
        "holes": list(
            PlanHole.objects.filter(plan=plan).order_by("number").values("number", "document", "simulated")
        ),
        "afterwards": {"holes": reading.holes, "document": reading.document},
    }
    KEPT.write_bytes(gzip.compress(json.dumps(made, ensure_ascii=False).encode(), mtime=0))
