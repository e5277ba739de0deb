"""Destinations that are told what happens in the club, and the log of what they were sent: for managers."""

from __future__ import annotations

from typing import Annotated, Any
from uuid import UUID

import django_filters
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiExample, OpenApiParameter, extend_schema
from pydantic import Field
from rest_framework import status
from rest_framework.request import Request
from rest_framework.response import Response

from golfstats.api.filters import checked_filter
from golfstats.api.paging import PAGE_PARAMETERS, CursorPagination, page_example
from golfstats.api.problems import Fault, invalid, not_found
from golfstats.clubs.models import Role
from golfstats.webhooks import queries, services
from golfstats.webhooks.models import Delivery, Destination, Happening
from players import permissions
from players.api import coach_examples as examples
from players.api.coach_view import Body, CoachView
from players.api.query_string import NoQuery

Happenings = Annotated[list[Happening], Field(min_length=1, max_length=len(Happening))]


class DestinationBody(Body):
    url: str = Field(min_length=1, max_length=500, description="A public https address.")
    happenings: Happenings


class DestinationChanges(Body):
    url: str | None = Field(default=None, min_length=1, max_length=500)
    happenings: Happenings | None = None
    active: bool | None = None


class WebhookView(CoachView):
    """Managers only."""

    def initial(self, request: Request, *args: Any, **kwargs: Any) -> None:
        super().initial(request, *args, **kwargs)
        permissions.require_role(self.member, Role.MANAGER)

    def destination(self, destination_id: UUID) -> Destination:
        found = queries.destinations().filter(id=destination_id).first()
        if found is None:
            raise not_found("No destination")
        return found


class WebhookList(WebhookView):
    @extend_schema(
        operation_id="list_webhooks",
        summary="The addresses that are told what happens",
        responses=OpenApiTypes.OBJECT,
        examples=[OpenApiExample("Addresses", value={"results": [examples.DESTINATION]}, response_only=True)],
    )
    def get(self, request: Request) -> Response:
        self.query(NoQuery, request)
        return Response({"results": [destination_json(one) for one in queries.destinations()]})

    @extend_schema(
        operation_id="add_webhook",
        summary="Tell an address what happens; its secret is shown this once",
        description="Messages are signed with the secret. Private addresses and plain http are refused.",
        request=DestinationBody,
        responses={201: OpenApiTypes.OBJECT},
        examples=[
            OpenApiExample(
                "An address",
                value={"url": "https://example.org/golf", "happenings": ["round_analysed", "index_changed"]},
                request_only=True,
            ),
            OpenApiExample(
                "Added",
                value=examples.DESTINATION | {"secret": "whsec_…"},
                response_only=True,
                status_codes=["201"],
            ),
        ],
    )
    def post(self, request: Request) -> Response:
        self.query(NoQuery, request)
        body = self.body(DestinationBody, request)
        try:
            destination, secret = services.add_destination(body.url, body.happenings)
        except services.RefusedDestinationError as error:
            raise _refused(error) from None
        return Response(destination_json(destination) | {"secret": secret}, status.HTTP_201_CREATED)


class WebhookDetail(WebhookView):
    @extend_schema(
        operation_id="change_webhook",
        summary="Change an address, what it is told, or switch it off",
        request=DestinationChanges,
        responses=OpenApiTypes.OBJECT,
        examples=[
            OpenApiExample("Off", value={"active": False}, request_only=True),
            OpenApiExample("Changed", value=examples.DESTINATION | {"active": False}, response_only=True),
        ],
    )
    def patch(self, request: Request, destination_id: UUID) -> Response:
        self.query(NoQuery, request)
        body = self.body(DestinationChanges, request)
        destination = self.destination(destination_id)
        try:
            services.change_destination(
                destination, url=body.url, happenings=body.happenings, active=body.active
            )
        except services.RefusedDestinationError as error:
            raise _refused(error) from None
        return Response(destination_json(destination))

    @extend_schema(
        operation_id="remove_webhook",
        summary="Tell an address nothing more; its log goes as well",
        responses={204: None},
        examples=[OpenApiExample("Removed", value=None, response_only=True)],
    )
    def delete(self, request: Request, destination_id: UUID) -> Response:
        self.query(NoQuery, request)
        services.remove_destination(self.destination(destination_id))
        return Response(status=status.HTTP_204_NO_CONTENT)


class SendTest(WebhookView):
    @extend_schema(
        operation_id="test_webhook",
        summary="Send a test message; the log says how it went",
        request=None,
        responses={202: OpenApiTypes.OBJECT},
        examples=[
            OpenApiExample(
                "Sent",
                value=examples.DELIVERY | {"happening": "test", "state": "waiting"},
                response_only=True,
                status_codes=["202"],
            )
        ],
    )
    def post(self, request: Request, destination_id: UUID) -> Response:
        self.query(NoQuery, request)
        delivery = services.send_test(self.destination(destination_id))
        return Response(delivery_json(delivery), status.HTTP_202_ACCEPTED)


class DeliveryFilter(django_filters.FilterSet):
    destination = django_filters.UUIDFilter(field_name="destination_id")

    class Meta:
        model = Delivery
        fields: list[str] = []


class DeliveryList(WebhookView):
    @extend_schema(
        operation_id="list_webhook_deliveries",
        summary="What was sent, newest first, with each attempt",
        parameters=[
            OpenApiParameter("destination", OpenApiTypes.UUID),
            *PAGE_PARAMETERS,
        ],
        responses=OpenApiTypes.OBJECT,
        examples=[
            OpenApiExample(
                "The log",
                value=page_example(examples.DELIVERY),
                response_only=True,
            )
        ],
    )
    def get(self, request: Request) -> Response:
        found = checked_filter(DeliveryFilter, request, queries.deliveries())
        return self.page(request, CursorPagination, found, delivery_json)


class SendAgain(WebhookView):
    @extend_schema(
        operation_id="send_webhook_again",
        summary="Send a message once more, with all its attempts",
        request=None,
        responses={202: OpenApiTypes.OBJECT},
        examples=[
            OpenApiExample("Sent again", value=examples.DELIVERY, response_only=True, status_codes=["202"])
        ],
    )
    def post(self, request: Request, delivery_id: UUID) -> Response:
        self.query(NoQuery, request)
        delivery = queries.deliveries().filter(id=delivery_id).first()
        if delivery is None:
            raise not_found("No message")
        services.send_again(delivery)
        return Response(delivery_json(delivery), status.HTTP_202_ACCEPTED)


def _refused(error: Exception) -> Exception:
    return invalid([Fault("/url", "refused_destination", str(error))], "This address may not be told")


def destination_json(destination: Destination) -> dict[str, Any]:
    """Never with the secret: that is told once, when it is made."""
    return {
        "id": destination.id,
        "url": destination.url,
        "happenings": destination.happenings,
        "active": destination.active,
        "created_at": destination.created_at,
    }


def delivery_json(delivery: Delivery) -> dict[str, Any]:
    return {
        "id": delivery.id,
        "destination": {"id": delivery.destination_id, "url": delivery.destination.url},
        "happening": delivery.happening,
        "state": delivery.state,
        "created_at": delivery.created_at,
        "delivered_at": delivery.delivered_at,
        "attempts": delivery.attempts,
        "body": delivery.body,
    }
