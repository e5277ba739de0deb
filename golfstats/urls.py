"""Every address of the service."""

from django.urls import URLPattern, URLResolver, include, path
from drf_spectacular.views import SpectacularAPIView, SpectacularSwaggerView

from courses.api.calendars import CalendarFile
from golfstats.graphql.view import GraphQLEndpoint
from golfstats.schema import schema

urlpatterns: list[URLPattern | URLResolver] = [
    path("api/v1/", include("golfstats.api.urls")),
    path("api/v1/", include("courses.urls")),
    path("api/v1/", include("players.urls")),
    path("calendar/<uuid:club_id>/<str:secret>.ics", CalendarFile.as_view(), name="calendar"),
    path("graphql", GraphQLEndpoint.as_view(graphql=schema), name="graphql"),
    path("api/v1/openapi", SpectacularAPIView.as_view(), name="openapi"),
    path("api/v1/reference", SpectacularSwaggerView.as_view(url_name="openapi"), name="api-reference"),
]

handler404 = "golfstats.api.problems.no_such_address"
handler500 = "golfstats.api.problems.server_error"
