"""The work of a piece of code as a number that is the same on a busy machine: calls of functions, and memory."""

from __future__ import annotations

import gc
import sys
import tracemalloc
from collections.abc import Callable
from types import FrameType
from typing import Any


def calls_of(run: Callable[[], object]) -> int:
    """Functions called while it runs, those written in C included: what a Python loop over rows multiplies."""
    calls = 0

    def count(frame: FrameType, event: str, argument: Any) -> None:
        nonlocal calls
        if event in ("call", "c_call"):
            calls += 1

    before = sys.getprofile()
    gc.disable()  # the collector's callbacks are calls as well, and come when they like
    sys.setprofile(count)
    try:
        run()
    finally:
        sys.setprofile(before)
        gc.enable()
    return calls


def peak_of(run: Callable[[], object]) -> int:
    """The most memory that it holds at once, in bytes."""
    tracemalloc.start()
    try:
        run()
        return tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()
