"""Identifiers: UUID version 7 (RFC 9562), so that keys are made here and still sort by time."""

from uuid import UUID

from uuid_utils.compat import uuid7


def new_id() -> UUID:
    return uuid7()
