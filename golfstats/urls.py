"""Every address of the service."""

from django.urls import URLPattern, URLResolver, include, path
from drf_spectacular.views import SpectacularAPIView, SpectacularSwaggerSplitView

from courses.api.calendars import CalendarFile
from golfstats.graphql.view import GraphQLEndpoint
from golfstats.outbox.health import health
from golfstats.schema import schema

urlpatterns: list[URLPattern | URLResolver] = [
    path("api/v1/", include("golfstats.api.urls")),
    path("api/v1/", include("courses.urls")),
    path("api/v1/", include("players.urls")),
    path("calendar/<uuid:club_id>/<str:secret>.ics", CalendarFile.as_view(), name="calendar"),
    path("graphql", GraphQLEndpoint.as_view(graphql=schema), name="graphql"),
    path("api/v1/openapi", SpectacularAPIView.as_view(), name="openapi"),
    path("api/v1/reference", SpectacularSwaggerSplitView.as_view(url_name="openapi"), name="api-reference"),
    path("health", health, name="health"),
    path("", include("golfstats.web.urls")),
]

handler404 = "golfstats.api.problems.no_such_address"
handler500 = "golfstats.api.problems.server_error"
