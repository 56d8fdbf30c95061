"""The console command: a table of subcommands, each in a module of `commands/` that is loaded only when run.

A command module has `add_arguments(parser)` and `run(args) -> int`, the exit status. Status 2 and one line on
stderr mean unusable input, whatever the command.
"""

import argparse
import re
import sys
from collections.abc import Sequence
from importlib import import_module
from io import TextIOWrapper
from typing import Final, NoReturn

from assistant.commands import UNUSABLE, one_line, unusable
from assistant.kit.fields import KitError
from assistant.optics.power import OpticsError

COMMANDS: Final[dict[str, str]] = {
    "plan": "print the whole plan of a pair before a lens is touched",
    "check": "judge a finished lens, name the likeliest mistake and the way back",
    "kit": "read a kit and say what is in it or what is wrong with it",
    "bench": "make pairs at a bench",
    "board": "watch and help the benches from one place",
    "replay": "look at recorded sessions step by step",
    "hear": "recognise recordings as answers to a step",
    "say": "speak a prompt, or words, into a file",
    "doctor": "check keypad, terminal, microphone, speaker, models, voices and disk",
    "practice": "make a pair on a virtual bench, find the mistake and name it",
    "voice": "list the number models; fit one to a helper",
}
"""Subcommand to what it does; its module is `assistant.commands.<name>`."""

_NEGATIVE: Final = re.compile(r"-\.?\d")
_SAFETY: Final = (
    "Follow the prescriber's order and local rules on who may dispense. Anyone with a sudden loss of sight,"
    " pain or a red eye goes to a clinic, not to a bench."
)


class _Parser(argparse.ArgumentParser):
    def error(self, message: str) -> NoReturn:
        """One line, where argparse would print its usage first."""
        self.exit(UNUSABLE, f"{self.prog}: {one_line(message)}\n")


def main(argv: Sequence[str] | None = None) -> int:
    """Run one subcommand; returns its exit status."""
    if isinstance(sys.stdout, TextIOWrapper):
        sys.stdout.reconfigure(errors="replace")  # a plain terminal may lack the degree sign
    words = with_negative_values(sys.argv[1:] if argv is None else argv)
    parser = _parser(words)
    args = parser.parse_args(words)
    if args.command is None:
        parser.print_help()
        return 0
    try:
        return int(import_module(f"assistant.commands.{args.command}").run(args))
    except (KitError, OpticsError) as error:
        return unusable(args.command, error)


def _parser(words: Sequence[str]) -> _Parser:
    """The parser, with the arguments of the one command that is asked for."""
    parser = _Parser(prog="assistant", description=_SAFETY)
    commands = parser.add_subparsers(dest="command", metavar="command")
    asked = next((word for word in words if not word.startswith("-")), None)
    for name, does in COMMANDS.items():
        command = commands.add_parser(name, help=does, description=does)
        if name == asked:
            import_module(f"assistant.commands.{name}").add_arguments(command)
    return parser


def with_negative_values(words: Sequence[str]) -> list[str]:
    """Join `--right -2.25/-1.50x10` into one word, or argparse takes the power for an option."""
    joined: list[str] = []
    for word in words:
        after_option = bool(joined) and joined[-1].startswith("--") and "=" not in joined[-1]
        if after_option and _NEGATIVE.match(word):
            joined[-1] += f"={word}"
        else:
            joined.append(word)
    return joined
