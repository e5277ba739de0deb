"""The GraphQL schema: the root fields of every app, and what a document may cost."""

from __future__ import annotations

import strawberry
from strawberry.schema.config import StrawberryConfig

from golfstats.doors.graphql.limits import Charges, limits
from golfstats.doors.graphql.operations import Declared
from golfstats.doors.graphql.rows import read
from golfstats.doors.graphql.telling import Telling
from golfstats.doors.operations import OPERATIONS

DECLARED = Declared(OPERATIONS)
CHARGES = Charges(
    # A unit is about 50 µs of work: so much is one field of a dashboard, all that it rests on counted in.
    computed=DECLARED.costs,
    lists=DECLARED.lists,
    rows=DECLARED.rows,
)
Query = strawberry.type(type("Query", (), DECLARED.query))
Mutation = strawberry.type(type("Mutation", (), DECLARED.mutation))


class Schema(strawberry.Schema):
    def process_errors(self, errors: object, execution_context: object = None) -> None:
        """The endpoint logs what was not foreseen; the rest is the client's business."""


schema = Schema(
    query=Query,
    mutation=Mutation,
    extensions=[limits(CHARGES)],
    execution_context_class=Telling,
    config=StrawberryConfig(default_resolver=read, disable_field_suggestions=True),
)
