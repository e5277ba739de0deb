"""Moments as the database tells them, whoever parses them."""

from __future__ import annotations

import datetime as dt

import pytest
from django.db import DataError, connection


def told(text: str) -> dt.datetime:
    with connection.cursor() as cursor:
        cursor.execute("SELECT %s::timestamptz", [text])
        moment = cursor.fetchone()[0]
    assert isinstance(moment, dt.datetime)
    return moment


@pytest.mark.django_db
@pytest.mark.parametrize(
    "text",
    [
        "2026-11-27 11:59:01.123456+00:00",
        "2026-11-27 11:59:01+00:00",
        "2026-11-27 11:59:01.1+05:30",
        "0099-01-01 00:00:00+00:00",
        "9999-12-31 23:59:59.999999+00:00",
    ],
)
def test_a_moment_is_the_one_that_was_meant(text: str) -> None:
    moment = told(text)
    padded = text.replace("01.1+", "01.100000+")
    assert moment == dt.datetime.fromisoformat(padded)
    assert moment.utcoffset() == dt.timedelta()


@pytest.mark.django_db
def test_what_python_has_no_moment_for_is_refused() -> None:
    with pytest.raises(DataError):
        told("infinity")
