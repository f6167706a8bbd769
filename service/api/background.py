"""Threads for work of milliseconds beside the event loop."""

from __future__ import annotations

import os
import sys
import threading
from concurrent.futures import ThreadPoolExecutor


def background_pool(name: str, threads: int = 2) -> ThreadPoolExecutor:
    """A small pool whose threads make way for the event loop, so that look-ups stay quick beside its work."""
    return ThreadPoolExecutor(threads, name, initializer=_make_way)


def _make_way() -> None:
    """Take the least step down in priority.

    Among threads of equal priority the kernel lets the one that computes finish its slice of some milliseconds before
    the event loop, which has just got a request, runs on the same processor: beside a batch one look-up in twenty
    waited 4 ms and more, with this step one in fifty to a hundred (measured while other work shared the processor).
    Steps of ten and more made it worse: a thread that holds the interpreter then waits behind other processes, and
    look-ups with it, for 30 to 90 ms.
    """
    if sys.platform == "linux":
        os.setpriority(os.PRIO_PROCESS, threading.get_native_id(), os.getpriority(os.PRIO_PROCESS, 0) + 1)
