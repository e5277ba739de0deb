"""What a document may ask for. The numbers of the settings are checked by documents just within and just beyond them."""

from __future__ import annotations

from typing import Any

import pytest
from django.conf import settings
from graphql import get_named_type, is_leaf_type, is_required_argument, parse

from golfstats.doors.graphql.documents import documents
from golfstats.doors.graphql.limits import Charges, faults, size_of
from golfstats.doors.graphql.schema import CHARGES, schema
from golfstats.ground.walls.scope import club_scope
from players.people.models import Player
from tests.graphql.asking import ask, data, refusal
from tests.players.conftest import Place

GRAPH = schema._schema
SMALL = {
    "CLUB_SECONDS": 20,
    "MAX_TOKENS": 300,
    "MAX_DEPTH": 6,
    "MAX_ALIASES": 3,
    "MAX_COST": 1000,
    "INTROSPECTION": False,
    "PERSISTED_ONLY": False,
}


def cost(query: str, **variables: Any) -> int:
    return size_of(parse(query), GRAPH, variables, CHARGES).cost


def test_cost_counts_every_field_once_for_each_object_that_may_carry_it() -> None:
    # By hand: the connection 1, and for each of 3: edges 1, node 1, name 1.
    assert cost("{ players(first: 3) { edges { node { name } } } }") == 1 + 3 * 3
    # Two pages inside each other multiply: 1 + 3 × (2 + 1 + 4 × 3).
    nested = "{ players(first: 3) { edges { node { rounds(first: 4) { edges { node { score } } } } } } }"
    assert cost(nested) == 1 + 3 * (2 + 1 + 4 * 3)


def test_cost_takes_the_page_from_variables_and_their_defaults_and_the_schema() -> None:
    query = "query Q($n: Int! = 5) { players(first: $n) { edges { node { name } } } }"
    assert cost(query, n=50) == 151
    assert cost(query) == 16
    assert cost("{ players { edges { node { name } } } }") == 61


def one_scalar_of(type_: Any) -> str:
    """The smallest selection that there is; nothing of a type that is one value itself."""
    named = get_named_type(type_)
    if is_leaf_type(named):
        return ""
    free = {
        name: field.type
        for name, field in named.fields.items()
        if not any(is_required_argument(one) for one in field.args.values())
    }
    leaf = next((name for name, below in free.items() if is_leaf_type(get_named_type(below))), None)
    if named.name.endswith("Connection"):
        leaf = None  # its rows, and not how many there are
    first = "edges" if "edges" in free else next(iter(free))
    return f"{{ {leaf or f'{first} {one_scalar_of(free[first])}'} }}"


@pytest.mark.parametrize("name", sorted(GRAPH.query_type.fields))
def test_no_field_costs_too_much_by_itself(name: str) -> None:
    """Asked without page sizes for one value: what is refused then can never be asked."""
    field = GRAPH.query_type.fields[name]
    given = ", ".join(
        f"{one}: null" for one, argument in field.args.items() if is_required_argument(argument)
    )
    asked = f"{{ {name}{f'({given})' if given else ''} {one_scalar_of(field.type)} }}"
    assert cost(asked) <= settings.GRAPHQL["MAX_COST"], asked


def test_cost_counts_what_fragments_spread_each_time() -> None:
    query = "{ a: players(first: 2) { ...p } b: players(first: 3) { ...p } } fragment p on PlayerConnection { edges { node { name } } }"
    assert cost(query) == 2 + (2 + 3) * 3


def test_cost_of_a_list_follows_the_keys_asked_for() -> None:
    one = '{ player(id: "x") { trends(keys: ["a"]) { words: benchmark } } }'
    three = '{ player(id: "x") { trends(keys: ["a", "b", "c"]) { words: benchmark } } }'
    assert cost(three) - cost(one) == 2 * CHARGES.computed["Player.trends"]


def test_fragments_that_double_thirty_times_are_measured_at_once() -> None:
    """Followed spread by spread this would be a thousand million steps."""
    doubling = " ".join(f"fragment f{n} on Me {{ ...f{n + 1} ...f{n + 1} }}" for n in range(30))
    query = f"{{ me {{ ...f0 }} }} {doubling} fragment f30 on Me {{ name }}"
    assert cost(query) == 1 + 2**30


def test_a_fragment_within_itself_ends() -> None:
    assert cost("{ me { ...f } } fragment f on Me { name ...f }") == 2


@pytest.fixture
def crowd(place: Place) -> Place:
    """A club of a hundred players: what a document costs goes by the rows there are."""
    with club_scope(place.club.id):
        Player.objects.bulk_create(Player(name=f"Player {n}", rating_gender="men") for n in range(100))
    return place


def test_a_document_beyond_the_cost_is_refused_with_both_numbers(crowd: Place, settings: Any) -> None:
    settings.GRAPHQL = SMALL
    query = "query Q($n: Int!) { players(first: $n) { edges { node { name id member ratingGender } } } }"
    assert data(crowd.manager, query, n=100)["players"]["edges"]  # 1 + 100 × 6
    settings.GRAPHQL = SMALL | {"MAX_COST": 600}
    error = refusal(crowd.manager, query, n=100)
    assert error["message"] == "The document costs 601; the maximum is 600"
    assert error["extensions"]["requested_cost"] == 601
    assert error["extensions"]["maximum_cost"] == 600


def test_a_document_too_deep_is_refused(place: Place, settings: Any) -> None:
    settings.GRAPHQL = SMALL
    fits = "{ squads { edges { node { players { edges { cursor } } } } } }"
    data(place.coach, fits)
    error = refusal(place.coach, fits.replace("cursor", "node { name }"))
    assert error["message"] == "The document is 7 levels deep; the maximum is 6"


def test_too_many_aliases_are_refused_also_inside_a_fragment(place: Place, settings: Any) -> None:
    settings.GRAPHQL = SMALL
    data(place.coach, "{ me { a: name b: name c: name } }")
    error = refusal(place.coach, "{ me { ...f ...f } } fragment f on Me { a: name b: name }")
    assert error["message"] == "The document has 4 aliases; the maximum is 3"


def test_too_many_tokens_are_refused_before_anything_else(place: Place, settings: Any) -> None:
    settings.GRAPHQL = SMALL
    error = refusal(place.coach, "{ me { " + "name " * 300 + "} }")
    assert "more than 300 tokens" in error["message"]


@pytest.mark.parametrize("opening", ["{ me ", "{ me(a: [[[[[[[[[["])
def test_nesting_that_no_parser_survives_is_a_plain_refusal(place: Place, opening: str) -> None:
    error = refusal(place.coach, opening * 900)
    assert "nested too deeply" in error["message"] or "Syntax Error" in error["message"]
    assert "logged" not in error["message"]


def test_unknown_fields_and_fragments_are_refused_without_suggestions(place: Place) -> None:
    assert refusal(place.coach, "{ me { nam } }")["message"] == "Cannot query field 'nam' on type 'Me'."
    assert refusal(place.coach, "{ me { ...missing } }")["message"] == "Unknown fragment 'missing'."


def test_nobody_introspects_where_it_is_off(place: Place, settings: Any) -> None:
    query = "{ __schema { types { name } } }"
    settings.GRAPHQL = settings.GRAPHQL | {"INTROSPECTION": True}
    assert data(place.coach, query)["__schema"]["types"]
    settings.GRAPHQL = settings.GRAPHQL | {"INTROSPECTION": False}
    answer = ask(place.coach, query)
    assert answer["data"] is None
    assert "introspection has been disabled" in answer["errors"][0]["message"]
    assert data(place.coach, "{ me { __typename } }")["me"]["__typename"] == "Me"


def test_several_operations_are_charged_together(place: Place) -> None:
    assert cost("query A { me { name } } query B { me { name } }") == 4


def test_a_charge_for_a_computed_field_is_added() -> None:
    query = parse("{ players(first: 2) { edges { node { name } } } }")
    charges = Charges(computed={"Player.name": 10}, lists={})
    assert size_of(query, GRAPH, {}, charges).cost == 1 + 2 * (2 + 11)


def test_rows_that_are_not_there_cost_nothing(place: Place, settings: Any) -> None:
    settings.GRAPHQL = SMALL | {"MAX_COST": 20}
    query = "{ players(first: 100) { edges { node { name id } } } }"
    told = ask(place.manager, query)
    assert (len(told["data"]["players"]["edges"]), told["extensions"]["cost"]) == (2, 1 + 2 * 4)
    assert ask(place.coach, query)["extensions"]["cost"] == 1 + 4  # who sees one player


def test_all_trends_of_everybody_are_too_much_at_once(crowd: Place) -> None:
    """Cheap to write, half a minute to compute."""
    keys = ", ".join(f'"figure{n}"' for n in range(50))
    query = f"{{ players(first: 100) {{ edges {{ node {{ trends(keys: [{keys}]) {{ benchmark }} }} }} }} }}"
    assert refusal(crowd.manager, query)["extensions"]["requested_cost"] > 500_000


def test_the_dashboard_of_a_full_page_of_players_is_within_the_usual_limits() -> None:
    (dashboard,) = [text for text in documents().values() if "CoachDashboard" in text]
    size = size_of(parse(dashboard), GRAPH, {}, CHARGES)
    assert list(faults(size)) == []
