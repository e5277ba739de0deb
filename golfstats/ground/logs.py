"""What every line of the log says beside its message: which request, which club, which piece of work."""

from __future__ import annotations

import logging
from contextvars import ContextVar
from datetime import UTC, datetime

import orjson

# Set where they are known; this module is loaded before Django is, and knows nothing of either.
request_id: ContextVar[str] = ContextVar("request_id", default="")
club: ContextVar[str] = ContextVar("club_for_the_log", default="")
work: ContextVar[str] = ContextVar("work_for_the_log", default="")


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
