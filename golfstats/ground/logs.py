"""What every line of the log says beside its message: which request, which club, which piece of work."""

from __future__ import annotations

import logging
import re
from contextvars import ContextVar
from datetime import UTC, datetime

import orjson

# Set where they are known; this module is loaded before Django is, and knows nothing of either.
request_id: ContextVar[str] = ContextVar("request_id", default="")
club: ContextVar[str] = ContextVar("club_for_the_log", default="")
work: ContextVar[str] = ContextVar("work_for_the_log", default="")


SECRET_ADDRESSES = re.compile(r"(/(?:calendar/[^/\s]+|join|password/[^/\s]+)/)[^/\s]+")
"""Whoever knows the rest of these has what it leads to: a calendar, a place in a club, an account."""


class WithoutSecrets(logging.Filter):
    """Lines about a request name its path."""

    def filter(self, record: logging.LogRecord) -> bool:
        record.msg, record.args = SECRET_ADDRESSES.sub(r"\1…", record.getMessage()), None
        return True


class JsonLines(logging.Formatter):
    """One JSON object a line, for programs that collect logs (setting ``LOG_FORMAT``)."""

    def format(self, record: logging.LogRecord) -> str:
        line = {
            "at": datetime.fromtimestamp(record.created, UTC).isoformat(timespec="milliseconds"),
            "level": record.levelname,
            "logger": record.name,
            "message": record.getMessage(),
            "process": record.process,
            **getattr(record, "facts", {}),
        }
        context = {"request": request_id.get(), "club": club.get(), "work": work.get()}
        line |= {name: value for name, value in context.items() if value}
        if record.exc_info:
            line["error"] = self.formatException(record.exc_info)
        return orjson.dumps(line, default=str).decode()
