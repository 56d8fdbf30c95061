"""The listening thread: microphone, segments, recogniser. It tells each utterance and each failure."""

import threading
from collections.abc import Callable, Set
from dataclasses import dataclass
from typing import Protocol

import numpy as np

from assistant.language.listening import Value
from assistant.speech.capture import RATE_HZ
from assistant.speech.errors import SpeechError, Trouble, unforeseen
from assistant.speech.hearing import RecogniserOf, Utterance, hear
from assistant.speech.segment import Detector, Found, Segmenter
from assistant.speech.sound import Samples, Sound
from assistant.speech.understanding import Asked, complete

LEAST_ROOM_BLOCKS, ROOM_BLOCKS = 16, 47
"""Blocks in which a room is measured: half a second at least, a second and a half where there is time."""
ECHO_BLOCKS = 6
"""Blocks (of 32 ms) not listened to after the speaker falls silent: the room still speaks."""


class Takes(Protocol):
    """The microphone, as the ear uses it."""

    def open(self) -> None: ...
    def block(self) -> Samples: ...
    def forget(self) -> None: ...
    def close(self) -> None: ...


@dataclass(frozen=True, slots=True)
class Listener:
    """What is listened for, and who is told."""

    asked: Asked
    refused: Set[Value]
    told: Callable[[Utterance], None]
    failed: Callable[[SpeechError], None]


@dataclass(frozen=True, slots=True)
class RoomListener:
    """The room is measured while nobody is asked to speak. `told` gets what was taken: soon a little, then all."""

    told: Callable[[Sound], None]
    failed: Callable[[SpeechError], None]


class Ear:
    """Listens while there is a `Listener`; the microphone is closed while there is none."""

    def __init__(
        self,
        microphone: Takes,
        recognisers: RecogniserOf,
        detector: Callable[[], Detector],
        speaking: Callable[[], bool],
        taken: Callable[[], None],
    ) -> None:
        """`speaking`: whether the speaker speaks, during which nothing is listened to. `taken` is told each time that
        the microphone, opened to listen, has given sound: it may have come back."""
        self._microphone, self._recognisers, self._make_detector = microphone, recognisers, detector
        self._speaking, self._taken = speaking, taken
        self._changed = threading.Condition()
        self._listener: Listener | RoomListener | None = None
        self._closing = False
        self._segmenter: Segmenter | None = None
        self._looked: str | None = None
        self._thread = threading.Thread(target=self._run, name="ear", daemon=True)
        self._thread.start()

    def listen(self, listener: Listener | RoomListener | None) -> None:
        """Listen for this from now on, or for nothing."""
        with self._changed:
            self._listener = listener
            self._changed.notify_all()

    def close(self) -> None:
        with self._changed:
            self._closing, self._listener = True, None
            self._changed.notify_all()
        self._thread.join()

    def _run(self) -> None:
        while (listener := self._next_listener()) is not None:
            try:
                self._attend(listener)
            except SpeechError as error:
                self._give_up(error)
            except Exception as error:  # noqa: BLE001 - else the thread ends, and the bench is deaf without a word
                self._give_up(unforeseen(Trouble.LISTENING_FAILED, "listening", error))

    def _attend(self, listener: Listener | RoomListener) -> None:
        """With the microphone open."""
        try:
            self._microphone.open()
            if isinstance(listener, RoomListener):
                self._measure(listener)
            else:
                self._recognisers(listener.asked)
                self._listen_while_wanted()
        finally:
            self._microphone.close()

    def _next_listener(self) -> Listener | RoomListener | None:
        """Wait for something to listen for; None when the ear is closed."""
        with self._changed:
            self._changed.wait_for(lambda: self._closing or self._listener is not None)
            return self._listener

    def _listen_while_wanted(self) -> None:
        current, deaf_for = None, 0
        segmenter = self._segmenter_ready()
        while isinstance(listener := self._listener, Listener):
            block = self._microphone.block()
            if current is None:
                self._taken()
            if self._speaking():
                deaf_for = ECHO_BLOCKS
            if deaf_for or listener is not current:
                deaf_for, current = max(0, deaf_for - 1), listener
                self._begin(segmenter)
            elif (utterance := self._heard(segmenter, block, listener)) is not None:
                self._begin(segmenter)
                if not utterance.silent and self._listener is listener:
                    listener.told(utterance)

    def _measure(self, listener: RoomListener) -> None:
        """Take a second and a half of the room, from when the speaker has fallen silent."""
        blocks: list[Samples] = []
        deaf_for = ECHO_BLOCKS
        while self._listener is listener and len(blocks) < ROOM_BLOCKS:
            block = self._microphone.block()
            deaf_for = ECHO_BLOCKS if self._speaking() else max(0, deaf_for - 1)
            if not deaf_for:
                blocks.append(block)
                if len(blocks) in (LEAST_ROOM_BLOCKS, ROOM_BLOCKS):
                    listener.told(Sound(np.concatenate(blocks), RATE_HZ))
        with self._changed:
            if self._listener is listener:
                self._listener = None

    def _heard(self, segmenter: Segmenter, block: Samples, listener: Listener) -> Utterance | None:
        """The utterance, once it is over: after a long pause, or at once where nothing could follow it."""
        found = segmenter.feed(block)
        if found is Found.NOTHING:
            return None
        utterance = hear(segmenter.sound(), listener.asked, self._recognisers, listener.refused)
        words = utterance.understanding.words
        whole = utterance.understanding.accepted and complete(words, listener.asked)
        settled = found is not Found.LOOK or words == self._looked  # amid speech: twice the same
        self._looked = words if whole else None
        return utterance if found is Found.END or (whole and settled) else None

    def _begin(self, segmenter: Segmenter) -> None:
        segmenter.reset()
        self._looked = None

    def _segmenter_ready(self) -> Segmenter:
        """One for the whole day: the detector keeps what it learnt of the room."""
        if self._segmenter is None:
            self._segmenter = Segmenter(self._make_detector())
        return self._segmenter

    def _give_up(self, error: SpeechError) -> None:
        with self._changed:
            listener, self._listener = self._listener, None
        if listener is not None:
            listener.failed(error)
