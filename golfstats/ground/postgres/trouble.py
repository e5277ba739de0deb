"""Faults of the database that are nobody's mistake: those that pass when it is tried again, and outages."""

from __future__ import annotations

import logging
from collections.abc import Callable
from typing import TypeVar

from django.db import DatabaseError, IntegrityError, InterfaceError, OperationalError, connection

logger = logging.getLogger(__name__)

ATTEMPTS = 4
SERIALIZATION_FAILURE, DEADLOCK = "40001", "40P01"
RETRY_AFTER_SECONDS = 5

ResultT = TypeVar("ResultT")


def tried_again(job: Callable[[], ResultT]) -> ResultT:
    """What the job gives; it is done again when it failed because somebody else did something meanwhile.

    The job has to be one whole transaction. Within an outer one it is done once: that one decides.
    """
    for _ in range(1 if connection.in_atomic_block else ATTEMPTS - 1):
        try:
            return job()
        except DatabaseError as error:
            if not passes(error):
                raise
            logger.info("tried again: %s", error)
    return job()


def passes(error: BaseException | None) -> bool:
    """Whether a fault comes of what another transaction did at the same moment.

    Deadlocks and serialization failures; keys that another has just taken or removed (looked at once more
    they are an ordinary refusal); a row that went between being read and being saved.
    """
    if isinstance(error, IntegrityError) or type(error) is DatabaseError:
        return True
    cause = getattr(error, "__cause__", None)
    return getattr(cause, "sqlstate", None) in {SERIALIZATION_FAILURE, DEADLOCK}


def is_outage(error: BaseException | None) -> bool:
    """Whether the database could not be reached, or could not do it now."""
    return isinstance(error, OperationalError | InterfaceError)
