"""A club's members, and one's clubs."""

from __future__ import annotations

from typing import Any
from uuid import UUID

import strawberry

from golfstats.api.people import club_lines, managers_only, member_line, members
from golfstats.clubs.models import Member
from golfstats.graphql.context import Info
from golfstats.graphql.paging import USUAL_PAGE, Connection, Order, Page, page_of
from golfstats.graphql.rows import ClubType

BY_NAME = Order(("name", "id"))


@strawberry.type
class ClubMember(ClubType):
    model = Member
    id: UUID
    username: str
    name: str
    role: str


@strawberry.type(description="A club that you belong to, and as what.")
class Membership:
    slug: str
    name: str
    role: str


@strawberry.type
class PeopleQuery:
    @strawberry.field(graphql_type=Connection[ClubMember], description="By name (managers).")
    @staticmethod
    def members(info: Info, first: int = USUAL_PAGE, after: str | None = None) -> Any:
        managers_only(info.context.member)
        return page_of(members(), BY_NAME, Page(first, after), member_line)

    @strawberry.field(graphql_type=list[Membership], description="Every club that you belong to.")
    @staticmethod
    def clubs(info: Info) -> Any:
        return club_lines(info.context.member.user_id)
