"""What nobody calls goes. What only tests call belongs to tests.

Fields, settings and enumerations are left out: they are read by name, by templates or by whoever reads the answers.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

from vulture import Vulture
from vulture.core import Item

ROOT = Path(__file__).parent.parent
CALLED_BY_LIBRARIES = [
    "*Config",  # Django's apps
    *(
        "AnyOf",
        "as_sql",
        "ProtectTables",
        "AddOwnedKey",
        "describe",
        "state_*",
        "database_*",
    ),  # and migrations
    *("BearerAuthentication", "GuardedBackend", "WithinTokenScope", "PersonThrottle"),  # named in settings
    *(
        "AnswerHeaders",
        "JsonLines",
        "WithoutSecrets",
        "Methods",
        "PageLanguage",
        "PageThrottle",
        "Tags",
        "Watch",
        "process_view",
    ),
    *("exception_handler", "no_such_address"),
    *(
        "allow_request",
        "get_next_link",
        "get_previous_link",
        "has_permission",
        "any_scope",
        "get_renderers",
    ),  # REST framework
    *("get_default_redirect_url", "get_initial", "prepare_value"),  # Django's views and forms
    *(
        "enter_*",
        "on_execute",
        "on_operation",
        "on_parse",
        "on_validate",
        "is_type_of",
        "process_errors",
    ),  # strawberry
    "collect",  # prometheus
    *("check_*", "get_default_redirect_uri", "get_allowed_scope", "get_redirect_uri", "get_scope"),  # Authlib
    *("authenticate_user", "delete_authorization_code", "query_authorization_code", "query_client"),
    *(
        "generate_authorization_code",
        "generate_token",
        "save_authorization_code",
        "save_token",
        "validate_code_challenge",
    ),
    "TOKEN_ENDPOINT_AUTH_METHODS",
]
REGISTERED = [
    "@handler",
    "@work.handler",
    "@field_validator",
    "@model_validator",
    "@register.*",
    "@*.register*",
]
RULES_OF_HANDICAPPING = {
    "low_handicap_index": "5.7",
    "course_handicap_same_nine_twice": "6.1b",
    "most_likely_range": "3.3",
    "enough_scores": "5.6",
    "on_different_par": "6.2",
    "strokes_in_match": "6.2",
    "team_handicap": "Appendix C",
    "strokes_on_nine": "Appendix E",
}
"""Whole in the arithmetic and held to the reference cases, though nothing asks for them yet."""


@cache
def unused() -> tuple[Item, ...]:
    vulture = Vulture(ignore_names=CALLED_BY_LIBRARIES, ignore_decorators=REGISTERED)
    vulture.scavenge([ROOT / name for name in ("golfstats", "courses", "players")])
    found = vulture.get_unused_code(min_confidence=60)
    return tuple(one for one in found if "migrations" not in Path(one.filename).parts)


def test_nothing_is_there_that_nobody_calls() -> None:
    kinds = {"class", "function", "import", "method", "property", "unreachable_code"}
    found = {str(one.name): f"{one.filename}:{one.first_lineno}" for one in unused() if one.typ in kinds}
    assert {name: place for name, place in found.items() if name not in RULES_OF_HANDICAPPING} == {}
    assert set(RULES_OF_HANDICAPPING) <= set(found), "asked for by now: take it off the list"


def test_no_constant_is_left_behind() -> None:
    found = [
        f"{one.filename}:{one.first_lineno} {one.name}"
        for one in unused()
        if one.typ == "variable" and one.name.isupper() and _at_the_margin(one)
    ]
    assert found == []


def _at_the_margin(one: Item) -> bool:
    line = Path(one.filename).read_text(encoding="utf-8").splitlines()[one.first_lineno - 1]
    return not line.startswith(" ") and Path(one.filename).name != "settings.py"
