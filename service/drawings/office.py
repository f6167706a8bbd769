"""Drawings made in processes of their own, so that nothing else waits for them.

A drawing is pure computation of 5 to 300 ms. In a thread of the service it would hold the interpreter from every
look-up that comes meanwhile, however soon it hands it on; in a process of its own it takes a share of the processor
and no more. Each thread that asks for drawings has one such process, started by its first drawing and ended with the
service, which closes its input.
"""

from __future__ import annotations

import atexit
import pickle
import subprocess
import sys
import threading
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING

from service.drawings.write_drawings import read_block, write_block

if TYPE_CHECKING:
    from collections.abc import Callable

    from service.drawings.sheet import Sheet
    from service.drawings.writing import Form

PROGRAM = Path(__file__).with_name("write_drawings.py")
LONGEST_S = 60.0
"""A drawing takes 0.3 s at most, the first one about 1 s; a process that hangs is ended after this."""


class DrawingFailedError(RuntimeError):
    """A drawing was not made, which is a fault of the service."""


class DrawingOffice:
    """One process that makes drawings, for the thread that asks."""

    def __init__(self) -> None:
        self._process: subprocess.Popen[bytes] | None = None
        atexit.register(self.close)

    def draw(self, make: Callable[[], Sheet], form: Form) -> tuple[str, bytes]:
        """Title and content of a drawing; what makes the sheet is a function of a module with picklable arguments.

        Raises:
            DrawingFailedError: the process broke or gave a reason.
        """
        process = self._running()
        guard = threading.Timer(LONGEST_S, process.kill)
        guard.start()
        try:
            assert process.stdin is not None  # noqa: S101 both are pipes
            assert process.stdout is not None  # noqa: S101
            write_block(process.stdin, pickle.dumps((make, form)))
            block = read_block(process.stdout)
        except OSError:
            block = None
        finally:
            guard.cancel()
        if block is None:
            self.close()
            raise DrawingFailedError("the process that makes drawings ended")
        answer, reason = pickle.loads(block)  # noqa: S301 from our own program
        if answer is None:
            raise DrawingFailedError(reason)
        title, content = answer
        return title, content

    def _running(self) -> subprocess.Popen[bytes]:
        if self._process is None or self._process.poll() is not None:
            command = [sys.executable, "-I", str(PROGRAM)]
            self._process = subprocess.Popen(  # noqa: S603 our own program
                command, stdin=subprocess.PIPE, stdout=subprocess.PIPE
            )
        return self._process

    def close(self) -> None:
        """End the process; the next drawing starts another."""
        process, self._process = self._process, None
        if process is None:
            return
        process.kill()
        # Leaving the block closes the pipes and waits for the end.
        with suppress(OSError), process:
            pass
