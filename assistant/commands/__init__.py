"""The console's commands, a module each; `cli` has their table. What every command says of unusable input is here."""

import sys
from typing import Final

UNUSABLE: Final = 2
"""Exit status for unusable input, whatever the command."""


def unusable(command: str, why: Exception) -> int:
    """Tell it in one line on stderr; gives the exit status."""
    sys.stderr.write(f"assistant {command}: {one_line(str(why))}\n")
    return UNUSABLE


def one_line(message: str) -> str:
    return " ".join(message.split())
