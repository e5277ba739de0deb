"""A coach's ten questions, asked through the generated client: a script that has to pass the type checker."""

from __future__ import annotations

import datetime as dt
from uuid import UUID

from golf_client import AuthenticatedClient
from golf_client.api.coaching import (
    list_attention,
    list_player_goals,
    read_player_priorities,
    read_player_trends,
    run_player_trial,
)
from golf_client.api.conditions import read_condition_effect, read_squad_condition_adjusted
from golf_client.api.figures import read_player_putting, read_squad_table
from golf_client.api.players import list_squads
from golf_client.models.outcome import Outcome
from golf_client.models.problem import Problem
from golf_client.models.tag_kind import TagKind


def ten_answers(client: AuthenticatedClient, player: UUID) -> list[object]:
    squads = list_squads.sync(client=client)
    assert squads is not None
    assert not isinstance(squads, Problem)
    squad = squads.results[0].id
    return [
        squads,
        read_squad_table.sync(squad, client=client),
        list_attention.sync(client=client),
        read_player_trends.sync(player, client=client, keys=["gained.total"], compare_to=dt.date(2025, 5, 6)),
        list_player_goals.sync(player, client=client),
        read_player_priorities.sync(player, client=client, target="handicap:2"),
        read_player_putting.sync(player, client=client),
        run_player_trial.sync(
            player, client=client, tag=TagKind.BALL, a="soft", b="hard", outcome=Outcome.STROKES_GAINED
        ),
        read_squad_condition_adjusted.sync(squad, client=client),
        read_condition_effect.sync(client=client),
    ]
