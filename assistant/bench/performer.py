"""A virtual helper at a real bench: it does with virtual lenses what the screen asks, and says or keys what it finds.

What it says is synthesised and heard by the bench's own ear as if said in the room. A read-back that is wrong gets a
no; what is not understood twice is keyed. Why entries were keyed though there was sound is counted.
"""

import asyncio
import time
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field
from decimal import Decimal, InvalidOperation
from enum import StrEnum
from typing import Final, Protocol

from assistant.bench.keys import Act, Pressed
from assistant.bench.lips import Lips
from assistant.bench.session import Session
from assistant.practice.helper import VirtualHelper
from assistant.practice.speaking import words_for
from assistant.speech.errors import SpeechError
from assistant.speech.voice import Voice
from assistant.workflow.effects import Listen
from assistant.workflow.fields import listen_for
from assistant.workflow.present import present
from assistant.workflow.state import Bench
from assistant.workflow.steps import VOICE

LOOK_S: Final = 0.03
KEY_S: Final = 0.1
"""Between two keys, so that they can be seen."""
FIRST_LOOK_S: Final = 2.0
"""The first screen stays so long: the sentence on safety is on it."""
READING_S: Final = 0.9
"""Where nothing can be heard, the sentence is there to be read."""
PROMPT_S: Final = 1.0
"""So much of a prompt is heard by a helper who then keys."""
READ_BACK_S: Final = 0.7
HEARD_S: Final = 4.0
"""From the end of what was said: by then it is understood or refused, or it was not heard at all."""
PROMPT_MOST_S: Final = 30.0
"""The longest that a bench speaks before it listens."""
MOVED_S: Final = 0.1
"""From a refusal: by then the bench has gone on, where it does not ask again."""
TRIES: Final = 2
HEARD_AGAIN: Final = 5
"""Where the bench cannot listen or the helper cannot speak, every fifth is tried: it may have come right again."""
ENTRY_S: Final = 2.3
"""Time for an entry, so that a pair is whole in under two minutes; whoever is late keys, as hands in a hurry do."""
LATE_S: Final = 6.0
BRISK: Final = frozenset({"helper", "language", "zero", "reference", "index", "cutter"})
"""Checks of the day, keyed without waiting: the pair is what there is to see."""
KEYED: Final = frozenset({*BRISK, "sound", "cut", "trim", "distance", "supervisor"})
"""Steps whose figures are keyed: a hand is free, and both ways are shown."""


class Stage(Protocol):
    """The bench's screen, as the virtual helper uses it."""

    session: Session

    @property
    def reading_back(self) -> bool: ...
    @property
    def typed(self) -> str: ...
    @property
    def refusals(self) -> int: ...
    def press(self, key: Pressed) -> None: ...
    def show_said(self, words: str) -> None: ...


class Why(StrEnum):
    """Why an entry is keyed though there is sound, in the words of the demonstration's last line."""

    ALWAYS = "as always"
    LATE = "for want of time"
    REFUSED = "not understood"
    DEAF = "while the bench could not listen"
    MUTE = "while the helper's voice failed"
    CHECK = "since too few of the four numbers were understood"


@dataclass
class Performer:
    """`voice` and `lips`: None where there is no sound; then everything is keyed."""

    hands: VirtualHelper
    voice: Voice | None = None
    lips: Lips | None = None
    spoken = 0
    entries = 0
    began = 0.0
    keyed: Counter[Why] = field(default_factory=Counter)
    _found: tuple[Bench, str] | None = None
    _mute = ""
    """Why the helper could not speak when it last tried."""

    def found(self, bench: Bench) -> str:
        """What the hands find at the bench as it stands; they work once for each entry."""
        if self._found is None or self._found[0] is not bench:
            self._found = (bench, self.hands.answer(present(bench)))
        return self._found[1]

    async def play(self, stage: Stage) -> None:
        """Make one pair, from wherever the day stands."""
        pairs = len(stage.session.bench.closed)
        self.began = time.monotonic()
        await asyncio.sleep(FIRST_LOOK_S)
        while len(stage.session.bench.closed) == pairs:
            await self._enter(stage, stage.session.bench)

    @property
    def trouble(self) -> str:
        """What of sound failed, in a sentence; empty where nothing did that keeps the bench from hearing."""
        if self.voice is None:
            return ""
        status = self.voice.status()
        parts = (status.microphone.why, status.model.why, status.voice.why, self._mute)
        return next((why for why in parts if why), "")

    @property
    def told(self) -> str:
        """What was spoken and what was keyed, and why, where there was sound."""
        spoken = f"{self.entries} entries, {self.spoken} of them spoken."
        if self.lips is None:
            return spoken
        keyed = ", ".join(f"{self.keyed[why]} {why}" for why in Why if self.keyed[why])
        return " ".join(part for part in (spoken, f"Keyed: {keyed}." if keyed else "", self.trouble) if part)

    def step_down(self) -> None:
        """Somebody else is at the bench now."""
        if self.lips is not None:
            self.lips.close()

    async def _enter(self, stage: Stage, bench: Bench) -> None:
        """One entry: said if it can be, else keyed."""
        text, wanted = self.found(bench), listen_for(bench)
        if wanted is None:
            raise ValueError(f"nothing is listened for at {bench.current}")
        self.entries += 1
        why = self._why_keyed(wanted, bench)
        words = words_for(text, wanted, bench.the_day.heard) if why is None else None
        if words is not None:
            for _ in range(TRIES):
                if await self._said(stage, bench, words, text):
                    self.spoken += 1
                    return
                if self._silent is not None or stage.session.bench is not bench:
                    break
            why = self._silent or Why.REFUSED
        self.keyed[why or Why.ALWAYS] += 1
        await self._keyed(stage, bench, text)

    def _why_keyed(self, wanted: Listen, bench: Bench) -> Why | None:
        """None for what is said, if there are words for it."""
        if self.lips is None or wanted.step in KEYED:
            return Why.ALWAYS
        if bench.the_day.voice is False:
            return Why.CHECK
        if self._silent is not None and self.entries % HEARD_AGAIN:
            return self._silent
        return Why.LATE if self._late and wanted.step != VOICE else None

    @property
    def _silent(self) -> Why | None:
        """Why nothing comes of speaking, as far as is known."""
        if self._mute:
            return Why.MUTE
        return None if self._heard else Why.DEAF

    @property
    def _heard(self) -> bool:
        """Whether the bench can listen, as far as it knows."""
        return self.voice is not None and self.voice.status().can_listen

    @property
    def _late(self) -> bool:
        return time.monotonic() - self.began > self.entries * ENTRY_S + LATE_S

    async def _said(self, stage: Stage, bench: Bench, words: str, text: str) -> bool:
        """Say it, and answer the read-back; whether the entry is in as it was said."""
        before = stage.refusals

        def done() -> bool:
            return stage.session.bench is not bench

        if not await self._say(stage, words, bench.the_day.heard, before):
            return False
        await until(lambda: done() or stage.reading_back or stage.refusals > before, HEARD_S)
        if stage.reading_back:
            await until(done, READ_BACK_S)
            right = same(stage.typed, text)
            stage.press(Pressed(Act.ACCEPT if right else Act.BACK))
            await until(done, HEARD_S if right else LOOK_S)
        if stage.refusals > before:
            await until(done, MOVED_S)
            return False
        return done()

    async def _say(self, stage: Stage, words: str, language: str, before: int) -> bool:
        """Whether it was said; what cannot be said now is not said later."""
        lips = self.lips
        assert lips is not None
        loop = asyncio.get_running_loop()

        def begun() -> None:
            loop.call_soon_threadsafe(stage.show_said, words)

        try:
            await asyncio.to_thread(lips.say, words, language, begun)
        except SpeechError as error:
            self._mute = str(error)
            return False
        self._mute = ""
        if await until(lambda: not lips.busy or stage.refusals > before, PROMPT_MOST_S) and not lips.busy:
            return True
        lips.hush()
        return False

    async def _keyed(self, stage: Stage, bench: Bench, text: str) -> None:
        await self._look(bench)
        stage.show_said("")
        if self.lips is not None:
            self.lips.hush()
        if stage.session.bench is not bench:
            return  # a number that was not understood is passed over by the bench itself
        for character in text:
            stage.press(Pressed(Act.TYPE, character))
            await asyncio.sleep(KEY_S)
        stage.press(Pressed(Act.ACCEPT))
        await until(lambda: stage.session.bench is not bench, PROMPT_S)

    async def _look(self, bench: Bench) -> None:
        """Hear the prompt, or read it; while sound is asked about, the room is being measured."""
        step, voice = bench.current.step, self.voice
        if step in BRISK:
            await asyncio.sleep(KEY_S)
        elif voice is None or not voice.status().can_speak:
            await asyncio.sleep(READING_S)
        elif step == "sound":
            await until(lambda: voice.room is not None, 4 * PROMPT_S)
        else:
            await until(lambda: not voice.speaking, PROMPT_S)


async def until(true: Callable[[], bool], seconds: float) -> bool:
    """Wait for it, at most so long; whether it came."""
    for _ in range(round(seconds / LOOK_S)):
        if true():
            return True
        await asyncio.sleep(LOOK_S)
    return true()


def same(one: str, other: str) -> bool:
    """Whether two entries are the same figure, however written."""
    try:
        return one == other or Decimal(one) == Decimal(other)
    except InvalidOperation:
        return False
