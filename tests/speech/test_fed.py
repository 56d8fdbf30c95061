"""The microphone that is fed what the played helper says, until the room's own takes its place."""

from collections.abc import Iterator

import numpy as np
import pytest

from assistant.speech.capture import BLOCK
from assistant.speech.errors import SpeechError, Trouble
from assistant.speech.fed import BREATH_BLOCKS, FedMicrophone
from assistant.speech.sound import Samples, Sound


class Own:
    """The room's own microphone."""

    def __init__(self, missing: bool = False) -> None:
        self.missing, self.opened, self.closed = missing, 0, 0

    def open(self) -> None:
        if self.missing:
            raise SpeechError(Trouble.MICROPHONE_MISSING, "no microphone")
        self.opened += 1

    def block(self) -> Samples:
        return np.full(BLOCK, 7, np.int16)

    def forget(self) -> None:
        """Nothing waits."""

    def close(self) -> None:
        self.closed += 1


def blocks(microphone: FedMicrophone, count: int) -> Iterator[Samples]:
    for _ in range(count):
        yield microphone.block()


def test_what_is_fed_waits_until_the_bench_is_silent() -> None:
    speaking, begun = [True], []
    microphone = FedMicrophone(lambda: speaking[0], Own)
    microphone.open()
    microphone.feed(Sound(np.full(2 * BLOCK, 1000, np.int16), 16000), lambda: begun.append(True))
    assert all(abs(int(block.max())) < 100 for block in blocks(microphone, 4))
    assert not begun
    speaking[0] = False
    heard = list(blocks(microphone, BREATH_BLOCKS + 3))
    assert begun == [True]
    assert sum(int(block.max()) == 1000 for block in heard) == 2
    assert not microphone.busy


def test_handed_over_the_room_s_own_microphone_is_heard() -> None:
    own = Own()
    microphone = FedMicrophone(lambda: False, lambda: own)
    microphone.open()
    microphone.block()
    microphone.feed(Sound(np.full(BLOCK, 1000, np.int16), 16000), lambda: None)
    microphone.hand_over()
    assert int(microphone.block()[0]) == 7
    assert not microphone.busy
    microphone.close()
    assert (own.opened, own.closed) == (1, 1)


def test_handed_over_where_there_is_no_microphone_it_says_so() -> None:
    microphone = FedMicrophone(lambda: False, lambda: Own(missing=True))
    microphone.open()
    microphone.hand_over()
    with pytest.raises(SpeechError, match="no microphone"):
        microphone.block()
