from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from rest_framework.renderers import BaseRenderer

from golfstats.ground.answers import as_json


class JSONRenderer(BaseRenderer):
    """JSON of our answers (:func:`~golfstats.ground.answers.as_json`)."""

    media_type = "application/json"
    format = "json"
    charset = None

    def render(
        self,
        data: Any,
        accepted_media_type: str | None = None,
        renderer_context: Mapping[str, Any] | None = None,
    ) -> bytes:
        return b"" if data is None else as_json(data)


class GraphQLRenderer(JSONRenderer):
    """JSON under the media type of GraphQL over HTTP, with which a request that is none has status 400."""

    media_type = "application/graphql-response+json"
    format = "graphql"
