"""`assistant hear`: what the recogniser makes of recordings, file by file, as a step would take it."""

import argparse
import json
import sys
from collections.abc import Callable
from decimal import Decimal
from pathlib import Path
from typing import Any, Final

from assistant.commands import UNUSABLE, unusable
from assistant.config import home_folder
from assistant.language.lexicon import LANGUAGES, lexicon
from assistant.language.lexicon_file import LanguageError
from assistant.language.listening import CONTEXTS, Listening, Value
from assistant.speech.equipment import recognisers
from assistant.speech.errors import SpeechError
from assistant.speech.new_language import bring_all
from assistant.speech.recogniser import Recogniser
from assistant.speech.sound import read_sound
from assistant.speech.understanding import Asked, understand

NUMBERS: Final = frozenset({Listening.AXIS, Listening.POWER, Listening.CYLINDER, Listening.LENGTH})


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.description = "Recognise recordings (WAV or FLAC, any rate) as answers to one kind of question."
    parser.add_argument("files", nargs="+", type=Path, metavar="FILE")
    parser.add_argument("--listen-for", required=True, choices=[str(c.value) for c in CONTEXTS])
    parser.add_argument(
        "--language", default="en", metavar="CODE", help=f"{', '.join(LANGUAGES)} or an enrolled one"
    )
    parser.add_argument("--helper", help="use the model fitted to this helper, where there is one")
    parser.add_argument("--digits", type=int, metavar="N", help="exactly so many digits are wanted")
    parser.add_argument("--home", type=Path, metavar="DIR", help="where caches and helpers' models are kept")
    parser.add_argument("--json", action="store_true")


def run(arguments: argparse.Namespace) -> int:
    """0 when every file could be read, 2 when one could not; what was heard is in the output either way."""
    asked = Asked(Listening(arguments.listen_for), arguments.language, arguments.digits)
    home = home_folder(arguments.home)
    recogniser_of = recognisers(home, arguments.helper)
    try:
        bring_all(home)
        lexicon(asked.language)
        recogniser_of(asked)
    except (SpeechError, LanguageError) as error:
        return unusable("hear", error)
    results = []
    for path in arguments.files:
        results.append(heard(path, asked, recogniser_of))
        if not arguments.json and "error" not in results[-1]:
            print(told(results[-1]), flush=True)
    if arguments.json:
        print(json.dumps(results, ensure_ascii=False, indent=2))
    failures = [result["error"] for result in results if "error" in result]
    for failure in failures:
        print(f"assistant hear: {failure}", file=sys.stderr)
    return UNUSABLE if failures else 0


def heard(path: Path, asked: Asked, recogniser_of: Callable[[Asked], Recogniser]) -> dict[str, Any]:
    """One file's result, by the names of the command's JSON."""
    result: dict[str, Any] = {
        "file": str(path),
        "heard": None,
        "value": None,
        "accepted": False,
        "confidence": 0.0,
        "seconds": None,
        "real_time_factor": None,
    }
    try:
        sound = read_sound(path)
        recognition = recogniser_of(asked).recognise(sound)
    except SpeechError as error:
        return {**result, "error": str(error)}
    understanding = understand(recognition, asked)
    return {
        **result,
        "heard": understanding.words,
        "value": _json_value(understanding.value, asked.listening),
        "accepted": understanding.accepted,
        "confidence": round(understanding.confidence, 4),
        "seconds": round(sound.seconds, 3),
        "real_time_factor": round(recognition.took_s / sound.seconds, 4) if sound.seconds else None,
        **({} if understanding.reason is None else {"reason": understanding.reason.value}),
    }


def told(result: dict[str, Any]) -> str:
    """One line for a person."""
    verdict = "accepted" if result["accepted"] else f"asked again ({result.get('reason', '')})"
    return f"{result['file']}: {result['heard'] or '(nothing)'} -> {result['value']}, {verdict}"


def _json_value(value: Value | None, listening: Listening) -> float | str | None:
    if value is None:
        return None
    return float(value) if listening in NUMBERS and isinstance(value, Decimal) else str(value)
