from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import orjson
from rest_framework.renderers import BaseRenderer


class JSONRenderer(BaseRenderer):
    """JSON by orjson, which writes dates, UUIDs and data classes itself. Not-a-number becomes null."""

    media_type = "application/json"
    format = "json"
    charset = None

    def render(
        self,
        data: Any,
        accepted_media_type: str | None = None,
        renderer_context: Mapping[str, Any] | None = None,
    ) -> bytes:
        if data is None:
            return b""
        return orjson.dumps(data, default=str, option=orjson.OPT_SERIALIZE_NUMPY | orjson.OPT_NON_STR_KEYS)


class GraphQLRenderer(JSONRenderer):
    """JSON under the media type of GraphQL over HTTP, with which a request that is none has status 400."""

    media_type = "application/graphql-response+json"
    format = "graphql"
