"""``manage.py`` on the day that the README tells of: the service asks its one clock for every day of golf."""

from __future__ import annotations

import os
from unittest import mock

import django

import manage
from tests.demo.readme import DAY

if __name__ == "__main__":
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "golfstats.settings")
    django.setup()
    with mock.patch("golfstats.ground.clock.now", return_value=DAY):
        manage.main()
