"""What `assistant bench --demo` is made of: a fresh record, a virtual helper, and a microphone that hears it."""

from dataclasses import replace
from itertools import count
from pathlib import Path
from typing import Final

from assistant.bench.beside import Beside
from assistant.bench.lips import Lips
from assistant.bench.performer import Performer
from assistant.bench.session import RECORD, Session
from assistant.commands.own_kit import goes_on
from assistant.kit.profile import Kit
from assistant.language.lexicon import LANGUAGES
from assistant.lesson.lying import Lying, lying
from assistant.practice.helper import VirtualHelper
from assistant.practice.slips import CAREFUL
from assistant.speech.equipment import parts
from assistant.speech.fed import FedMicrophone
from assistant.speech.player import Player
from assistant.speech.synth import Synthesiser
from assistant.speech.voice import Voice
from assistant.ui.shapes import Scene
from assistant.workflow.fields import listen_for
from assistant.workflow.show import picture

SEED: Final = 1
HELPER_VOICES: Final = {"en": "en-us", "pt": "pt-br", "fr": "fr-be", "sw": "sw"}
"""Not the bench's own voice, so that the two can be told apart; there is but one for Swahili."""


def record_name(home: Path, bench: str, playing: bool, kit: Kit) -> str:
    """A record of its own for each play; by hand the last one is gone on with, if it was begun with this kit."""
    last = f"{bench}-demo"
    for number in count(1):
        name = f"{bench}-demo" if number == 1 else f"{bench}-demo-{number}"
        if not (home / name / RECORD).exists():
            return name if playing or not goes_on(home / last, kit) else last
        last = name
    raise AssertionError("counting has no end")


def performer(
    kit: Kit, home: Path, language: str, beside: Path | None, sound: bool, helper: str | None
) -> Performer:
    """A careful helper who speaks `language`; with `sound` it has a voice, and the bench one to hear it.

    `beside`: the folder that recordings of entries are kept in.
    """
    hands = VirtualHelper(kit, SEED, CAREFUL, language=LANGUAGES.index(language) + 1)
    if not sound:
        return Performer(hands)
    microphone = FedMicrophone(lambda: voice.speaking)
    voice = Voice(replace(parts(home, beside, helper), microphone=lambda: microphone))
    lips = Lips(microphone, Synthesiser(home / "cache" / "speech", HELPER_VOICES), Player())
    return Performer(hands, voice, lips)


def idle_hands(kit: Kit) -> Performer:
    """Virtual hands for somebody who is the helper from the start: they handle the lenses and key nothing."""
    return Performer(VirtualHelper(kit, SEED, CAREFUL))


class Table(Beside):
    """What lies before the virtual helper: the lens on the focimeter with what it reads, the pocket, the gauge.

    In a pair that was begun before this program was started nothing lies there: these hands never held its lenses.
    """

    alone = False

    def __init__(self, performer: Performer, session: Session) -> None:
        self._performer, self._session = performer, session
        self._from_the_start = False

    @property
    def scene(self) -> Scene | None:
        lies = self._lies
        return None if lies is None else lies.scene

    @property
    def text(self) -> str:
        lies = self._lies
        return "" if lies is None else lies.text

    @property
    def _lies(self) -> Lying | None:
        bench = self._session.bench
        self._from_the_start |= bench.pair is None
        wanted = listen_for(bench)
        if wanted is None or wanted.step == "key_order" or not self._from_the_start:
            return None
        found = self._performer.found(bench)
        return lying(self._performer.hands.things, picture(bench), wanted.field, found)
