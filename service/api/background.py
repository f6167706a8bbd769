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
    the event loop, which has just got a request, runs on the same processor (measured: one look-up in twenty waited
    4 to 5 ms, with this step one in a thousand). A greater step would gain nothing more, and could leave a thread that
    holds the interpreter waiting behind other processes.
    """
    if sys.platform == "linux":
        os.setpriority(os.PRIO_PROCESS, threading.get_native_id(), os.getpriority(os.PRIO_PROCESS, 0) + 1)
