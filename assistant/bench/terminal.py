"""The terminal kept for the screen alone.

Sound libraries write to descriptor 2 as they please, and are silenced by redirecting it; the screen is written to
the same descriptor and would lose what is drawn meanwhile. So the screen gets a descriptor of its own.
"""

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def kept_for_the_screen() -> Iterator[None]:
    """Inside, `sys.__stderr__` (where Textual draws) is the terminal, and descriptor 2 leads nowhere."""
    terminal = os.dup(2)
    nowhere = os.open(os.devnull, os.O_WRONLY)
    shown = os.fdopen(os.dup(terminal), "w", encoding=sys.stdout.encoding or "utf-8")
    before = sys.__stderr__
    sys.__stderr__ = shown  # type: ignore[misc]
    os.dup2(nowhere, 2)
    try:
        yield
    finally:
        os.dup2(terminal, 2)
        sys.__stderr__ = before  # type: ignore[misc]
        shown.close()
        os.close(nowhere)
        os.close(terminal)
