"""Work that is tried again at once, as often as work usually is."""

from datetime import timedelta

from golfstats.ground.outbox.work import RETRY_AFTER

MAX_ATTEMPTS = len(RETRY_AFTER) + 1
AT_ONCE = (timedelta(0),) * len(RETRY_AFTER)
ENOUGH = 20
"""More attempts than any of these tests makes: work that never ends then fails its test, and does not keep it running."""
