"""Answers kept for repeated requests are forgotten after a while."""

from __future__ import annotations

from golfstats.ground.answered import services
from golfstats.ground.outbox import work


@work.handler(services.FORGET_ANSWERS)
def forget_answers(key: str) -> work.Later | None:
    del key
    return services.forget_old_answers()


work.handler(services.FORGET_ANSWERS_ABOUT)(services.forget_answers_about)
