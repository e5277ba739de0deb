"""Waiting for what another process does, up to a deadline."""

import threading
import time
from collections.abc import Callable


def wait_until(
    condition: Callable[[], object], *, seconds: float = 30.0, what: str = "the condition"
) -> None:
    """Return as soon as ``condition()`` is true; fail when it is not after ``seconds``."""
    deadline = time.monotonic() + seconds
    pause = threading.Event()
    while not condition():
        assert time.monotonic() < deadline, f"waited {seconds:g} s in vain for {what}"
        pause.wait(0.05)
