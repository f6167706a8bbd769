"""Program: drawings asked for on standard input, one after the other, written to standard output until it closes.

A question is a length in eight bytes and a pickled pair: what makes the sheet, and how it is written. An answer is a
length and a pickled pair: the title with the content, or nothing with the reason. Both come from and go to the service
that started the program, and nowhere else.
"""

from __future__ import annotations

import os
import pickle
import signal
import sys
import traceback
from pathlib import Path
from typing import IO

# The program is started by its path and alone, so that it takes up nothing but what it needs of the service.
sys.path.insert(0, str(Path(__file__).parents[2]))

LENGTH_BYTES = 8
NICENESS = 5
"""How far the program steps back behind the service (ours)."""


def read_block(stream: IO[bytes]) -> bytes | None:
    """The next block, or None where the stream has ended."""
    head = stream.read(LENGTH_BYTES)
    if len(head) < LENGTH_BYTES:
        return None
    length = int.from_bytes(head, "big")
    block = stream.read(length)
    return block if len(block) == length else None


def write_block(stream: IO[bytes], block: bytes) -> None:
    """A block with its length before it."""
    stream.write(len(block).to_bytes(LENGTH_BYTES, "big") + block)
    stream.flush()


def main() -> None:
    """Answer until there are no more questions."""
    from service.drawings.writing import written  # noqa: PLC0415 found by the path above

    # Stopping is the service's: it closes the input.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    if hasattr(os, "nice"):
        # Where drawings and look-ups share a processor, look-ups go first.
        os.nice(NICENESS)
    source, target = sys.stdin.buffer, sys.stdout.buffer
    # Whatever a library prints must not stand among the answers.
    sys.stdout = sys.stderr
    while (block := read_block(source)) is not None:
        answer: tuple[tuple[str, bytes] | None, str]
        try:
            make, form = pickle.loads(block)  # noqa: S301 from the service that started this program
            sheet = make()
            answer = ((sheet.title, written(sheet, form)), "")
        except Exception:  # noqa: BLE001 the reason goes to the service, which logs it
            answer = (None, traceback.format_exc())
        write_block(target, pickle.dumps(answer))


if __name__ == "__main__":
    main()
