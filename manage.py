#!/usr/bin/env python
"""Django's command line for golfstats."""

import os
import sys


def main() -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "golfstats.settings")
    from django.core.exceptions import ImproperlyConfigured
    from django.core.management import execute_from_command_line

    try:
        execute_from_command_line(sys.argv)
    except ImproperlyConfigured as error:
        # What to do about it is all there is to say.
        sys.exit(f"golfstats cannot start: {error}")


if __name__ == "__main__":
    main()
