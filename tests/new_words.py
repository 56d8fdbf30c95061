"""A language that the program does not have: Swahili's words under a code of its own, said by the synthesiser."""

from collections.abc import Iterator
from contextlib import contextmanager, redirect_stdout
from dataclasses import dataclass
from functools import partial
from io import StringIO
from pathlib import Path

import pytest

from assistant.cli import main
from assistant.language import lexicon as languages
from assistant.language.lexicon import bring
from assistant.language.lexicon_file import read_digit_words
from assistant.language.phrases import vocabulary
from assistant.speech import own_model
from assistant.speech.enrolment import Fit
from assistant.speech.sound import Sound, write_sound
from assistant.speech.synth import Pace, Synthesiser

WORDS = """
code = "tq"
name = "Test"
decimal_point = ["nukta"]
[digits]
0 = ["sifuri"]
1 = ["moja"]
2 = ["mbili"]
3 = ["tatu"]
4 = ["nne"]
5 = ["tano"]
6 = ["sita"]
7 = ["saba"]
8 = ["nane"]
9 = ["tisa"]
[signs]
minus = ["hasi"]
plus = ["chanya"]
[commands]
yes = ["ndiyo"]
no = ["hapana"]
again = ["tena"]
back = ["nyuma"]
help = ["msaada"]
stop = ["simama"]
"""


@contextmanager
def forgotten() -> Iterator[pytest.MonkeyPatch]:
    """As another process begins: no language was brought. What is brought meanwhile is forgotten afterwards."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(languages, "_brought", {})
        yield patch


@contextmanager
def known() -> Iterator[None]:
    """The language was brought."""
    with forgotten():
        bring(read_digit_words(WORDS, "tq.toml"))
        yield


def recordings(synthesiser: Synthesiser, folder: Path) -> Path:
    """Each word twice, at two paces."""
    with known():
        words = sorted(vocabulary("tq"))
    for word in words:
        (folder / word).mkdir()
        for take, pace in enumerate((Pace.USUAL, Pace.SLOW)):
            sound = synthesiser.render(word, "sw", pace)
            write_sound(folder / word / f"{take}.flac", Sound(sound.samples, sound.rate + 500 * take))
    return folder


@dataclass(frozen=True, slots=True)
class Enrolled:
    """A home folder in which the helper amina speaks the language, and what the command said of it."""

    home: Path
    told: str


def enrolling(home: Path, recorded: Path) -> list[str]:
    return [
        *("voice", "enrol", "--helper", "amina", "--language", "tq"),
        *("--from", str(recorded), "--home", str(home)),
    ]


def enrolled(home: Path, recorded: Path) -> Enrolled:
    """By the command, on Swahili's own sounds; the fit is cut short."""
    words, said = home / "words.toml", StringIO()
    words.write_text(WORDS, "utf-8")
    with forgotten() as patch, redirect_stdout(said):
        quick = partial(own_model.enrol, how=Fit(rounds=3, each_round=4))
        patch.setattr("assistant.commands.voice.enrol.enrol", quick)
        patch.setattr("assistant.speech.comparison.STRINGS", 2)
        patch.setattr("assistant.speech.word_learning.SOUNDS_TRIED", 8)
        assert main([*enrolling(home, recorded), "--words", str(words), "--like", "sw"]) == 0
    return Enrolled(home, said.getvalue())
