"""Every address of the service."""

from django.urls import URLPattern, URLResolver, include, path

from golfstats.doors.graphql.schema import schema
from golfstats.doors.graphql.view import GraphQLEndpoint, SchemaText
from golfstats.doors.operations import OPERATIONS
from golfstats.doors.rest.calendar import CalendarFile
from golfstats.doors.rest.operations import addresses
from golfstats.doors.rest.reference.views import Description, Index, Reference
from golfstats.doors.rest.watching import metrics
from golfstats.ground.outbox.health import health, live, ready

urlpatterns: list[URLPattern | URLResolver] = [
    path("api/v1/", include(addresses(OPERATIONS))),
    path("calendar/<uuid:club_id>/<str:secret>.ics", CalendarFile.as_view(), name="calendar"),
    path("graphql", GraphQLEndpoint.as_view(graphql=schema), name="graphql"),
    path("api/v1", Index.as_view(), name="api-index"),
    path(".well-known/api-catalog", Index.as_view(), name="api-catalog"),
    path("graphql/schema", SchemaText.as_view(graphql=schema), name="graphql-schema"),
    path("api/v1/openapi", Description.as_view(), name="openapi"),
    path("api/v1/reference", Reference.as_view(), name="api-reference"),
    path("health", health, name="health"),
    path("health/live", live, name="live"),
    path("health/ready", ready, name="ready"),
    path("metrics", metrics, name="metrics"),
    path("", include("golfstats.doors.pages.urls")),
]

handler404 = "golfstats.doors.rest.problems.no_such_address"
handler500 = "golfstats.doors.rest.problems.server_error"
