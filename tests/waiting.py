"""Waiting for what another process does, up to a deadline.

The deadline only ends a test that would wait for ever: it says nothing of how quick anything should be, and a
busy machine may take most of it.
"""

import threading
import time
from collections.abc import Callable


def wait_until(
    condition: Callable[[], object], *, seconds: float = 180.0, what: str = "the condition"
) -> None:
    """Return as soon as ``condition()`` is true; fail when it is not after ``seconds``."""
    deadline = time.monotonic() + seconds
    pause = threading.Event()
    while not condition():
        assert time.monotonic() < deadline, f"waited {seconds:g} s in vain for {what}"
        pause.wait(0.05)
