"""`assistant voice`: number models, fitting one to a helper, recording prompts. One module an action."""

import argparse
from importlib import import_module
from pathlib import Path
from typing import Final

from assistant.commands import unusable
from assistant.config import home_folder
from assistant.speech.errors import SpeechError
from assistant.speech.kaldi_binary import ModelFormatError

ACTIONS: Final[dict[str, str]] = {
    "models": "list the number models and check them; fetch, import or choose one",
    "record": "record prompts and number words in place of the synthesiser",
    "enrol": "fit a number model to a helper, at the microphone or from recordings",
    "picture": "say which picture of the bench's first screen is which helper",
}


def add_arguments(parser: argparse.ArgumentParser) -> None:
    actions = parser.add_subparsers(dest="action", required=True, metavar="action")
    for name, does in ACTIONS.items():
        import_module(f"{__name__}.{name}").add_arguments(actions.add_parser(name, help=does))


def run(arguments: argparse.Namespace) -> int:
    """0 when done; 2 for a model that is damaged or recordings that cannot be used."""
    try:
        home: Path = home_folder(arguments.home)
        return int(import_module(f"{__name__}.{arguments.action}").run(arguments, home))
    except (ModelFormatError, SpeechError, ValueError, OSError) as error:
        return unusable("voice", error)
