"""What managers look after: destinations for messages with the log of what they were sent, and imports."""

from __future__ import annotations

import datetime as dt
from typing import Any
from uuid import UUID

import strawberry
from strawberry.scalars import JSON

from golfstats.api.problems import not_found
from golfstats.clubs.models import Role
from golfstats.graphql.context import Info
from golfstats.graphql.paging import USUAL_PAGE, Connection, Order, Page, page_of
from golfstats.graphql.rows import ClubType, row_of
from golfstats.webhooks import models as webhooks
from golfstats.webhooks import queries
from players import models, permissions
from players.api.imports import import_json
from players.api.webhooks import delivery_json, destination_json
from players.coaching.imports import visible_imports

OLDEST = Order(("id",))
NEWEST = Order(("-id",))


@strawberry.type(description="An address that is told what happens; its secret is never shown.")
class WebhookDestination(ClubType):
    model = webhooks.Destination
    id: UUID
    url: str
    happenings: list[str]
    active: bool
    created_at: dt.datetime


@strawberry.type
class ToldAddress:
    id: UUID
    url: str


@strawberry.type
class WebhookDelivery(ClubType):
    model = webhooks.Delivery
    id: UUID
    destination: ToldAddress
    happening: str
    state: str
    created_at: dt.datetime
    delivered_at: dt.datetime | None
    attempts: JSON
    body: JSON


@strawberry.type(description="A file of rounds on its way in.")
class Import(ClubType):
    model = models.Import
    id: UUID
    kind: str
    state: str
    rounds: int
    checked: int
    added: int
    already_there: int
    faults: JSON
    reason: str
    started_at: dt.datetime
    finished_at: dt.datetime | None


@strawberry.type
class ManagingQuery:
    @strawberry.field(
        graphql_type=Connection[WebhookDestination], description="Addresses that are told (managers)."
    )
    @staticmethod
    def webhooks(info: Info, first: int = USUAL_PAGE, after: str | None = None) -> Any:
        permissions.require_role(info.context.member, Role.MANAGER)
        return page_of(queries.destinations(), OLDEST, Page(first, after), destination_json)

    @strawberry.field(
        graphql_type=Connection[WebhookDelivery],
        description="What was sent, newest first, with each attempt (managers).",
    )
    @staticmethod
    def webhook_deliveries(
        info: Info, first: int = USUAL_PAGE, after: str | None = None, destination: UUID | None = None
    ) -> Any:
        permissions.require_role(info.context.member, Role.MANAGER)
        found = queries.deliveries()
        if destination is not None:
            found = found.filter(destination_id=destination)
        return page_of(found, NEWEST, Page(first, after), delivery_json)

    @strawberry.field(
        graphql_type=Connection[Import],
        description="Your imports, newest first; a manager sees everybody's.",
    )
    @staticmethod
    def imports(info: Info, first: int = USUAL_PAGE, after: str | None = None) -> Any:
        return page_of(visible_imports(info.context.member), NEWEST, Page(first, after), import_json)

    @strawberry.field(name="import", graphql_type=Import | None)
    @staticmethod
    def one_import(info: Info, id: UUID) -> Any:
        found = visible_imports(info.context.member).filter(id=id).first()
        if found is None:
            raise not_found("No import")
        return row_of(found, import_json)
