"""`assistant doctor`: what of keypad, screen, sound, models and disk works here, and what to do about the rest."""

import argparse
import os
import shutil
import sys
from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Final

import numpy as np

from assistant.config import home_folder
from assistant.language.lexicon import LANGUAGES
from assistant.language.listening import Listening
from assistant.speech.capture import Microphone, record
from assistant.speech.equipment import recognisers, synthesiser
from assistant.speech.errors import SpeechError
from assistant.speech.level import DEAD_DB, measure
from assistant.speech.player import Player
from assistant.speech.segment import BLOCK_S
from assistant.speech.sound import Sound
from assistant.speech.tones import Chime, chime
from assistant.speech.understanding import Asked
from assistant.ui.glyphs import ASCII_AREA, COLOURS, FORCED, Glyphs, detect

if TYPE_CHECKING:
    from assistant.bench.keypad_check import Tried

FAILING: Final = 1
LEAST_FREE_MB: Final = 200
"""Room for a day's recordings and the caches (no source)."""
LEAST_COLUMNS, LEAST_ROWS = 60, 20
"""As the bench's screen asks."""
LISTEN_S: Final = 20 * BLOCK_S


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--home", type=Path, metavar="DIR", help="where records and caches are kept")


def run(arguments: argparse.Namespace) -> int:
    """0 when all is well, 1 when anything fails; each line says what, and what to do about it."""
    home = home_folder(arguments.home)
    failing = 0
    for name, check in checks(home):
        try:
            print(f"{name}: {check()}", flush=True)
        except (SpeechError, OSError) as error:
            failing += 1
            print(f"{name}: FAILS: {error}", flush=True)
    if failing:
        print("Entries can be made by keypad meanwhile.", file=sys.stderr)
    return FAILING if failing else 0


def checks(home: Path) -> Iterator[tuple[str, Callable[[], str]]]:
    yield "disk", lambda: _disk(home)
    yield "terminal", _terminal
    yield "keypad", _keypad
    yield "microphone", _microphone
    yield "speaker", _speaker
    for language in LANGUAGES:
        yield f"model {language}", partial(_model, home, language)
    for language in LANGUAGES:
        yield f"voice {language}", partial(_voice, home, language)


def _disk(home: Path) -> str:
    free_mb = shutil.disk_usage(home).free // 1_000_000
    if free_mb < LEAST_FREE_MB:
        raise OSError(f"{free_mb} MB free in {home}; make room: at least {LEAST_FREE_MB} MB are wanted")
    return f"well, {free_mb} MB free"


def _on_a_terminal() -> bool:
    return sys.stdin.isatty() and sys.stdout.isatty()


def _terminal() -> str:
    """A sample line in every ink, to be looked at; its size is measured."""
    if not _on_a_terminal():
        return "skipped: this is not a terminal, so there is nothing to look at"
    from rich.console import Console
    from rich.text import Text

    size = shutil.get_terminal_size()
    if size.columns < LEAST_COLUMNS or size.lines < LEAST_ROWS:
        raise OSError(
            f"the window has {size.columns} by {size.lines} characters; "
            f"make it at least {LEAST_COLUMNS} by {LEAST_ROWS}"
        )
    glyphs = detect(os.environ, sys.stdout.encoding)
    Console().print(Text.assemble(*((f" {sample} ", colour) for sample, colour in samples(glyphs))))
    return (
        f"well, {size.columns} by {size.lines}, {glyphs.value}; you should see {len(COLOURS[glyphs])} patches above, "
        f"no two alike; if you see boxes or question marks, set {FORCED}={Glyphs.ASCII.value}"
    )


def samples(glyphs: Glyphs) -> Iterator[tuple[str, str]]:
    """Each ink as it fills an area, with its colour; in ASCII each has a sign of its own."""
    for ink, colour in COLOURS[glyphs].items():
        filled = ASCII_AREA[ink] * 3 if glyphs is Glyphs.ASCII else "█▌⣿"
        yield f"{filled} {ink.name.lower()}", colour


def _keypad() -> str:
    if not _on_a_terminal():
        return "skipped: this is not a terminal, so no key can be pressed"
    from assistant.bench.keypad_check import KeypadCheck

    return keypad_verdict(KeypadCheck().run(inline=True))


def keypad_verdict(tried: "Tried | None") -> str:
    """What came, in words. Raises `OSError` naming the keys that did not come."""
    if tried is None or not (tried.came or tried.numlock_off):
        return "skipped: no key was pressed"
    if not tried.missing:
        return "well, all 17 keys came"
    advice = (
        "press NumLock once and try again" if tried.numlock_off else "use the keys above the letters for them"
    )
    raise OSError(f"these keys did not come: {' '.join(tried.missing)}; {advice}")


def _microphone() -> str:
    microphone = Microphone()
    try:
        microphone.open()
        blocks = record(LISTEN_S, microphone)
    finally:
        microphone.close()
    level = measure(Sound(np.concatenate(blocks), microphone.rate))
    if level.speech_db < DEAD_DB:
        raise OSError("it gives no sound at all; switch it on or turn it up in the sound settings")
    return f"well, noise at {level.noise_db:.0f} dB of full scale"


def _speaker() -> str:
    Player().play(chime(Chime.DONE), lambda: True)
    return "well, if you heard a tone; if not, turn it up or plug it in"


def _model(home: Path, language: str) -> str:
    recognisers(home)(Asked(Listening.DIGIT, language))
    return "well"


def _voice(home: Path, language: str) -> str:
    voice = synthesiser(home)
    try:
        return f"well, {voice.render('a', language).seconds:.1f} s"
    finally:
        voice.close()
