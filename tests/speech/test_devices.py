"""A sound library that hangs is given up: nobody waits for it, at the next entry or at the end."""

import atexit
import threading
from collections.abc import Iterator
from types import ModuleType
from typing import Any

import pytest

from assistant.speech import devices
from assistant.speech.devices import close_stream, open_stream, sound_library
from assistant.speech.errors import SpeechError, Trouble


class Stuck:
    """A stream whose device has gone in the worst way."""

    def __init__(self, released: threading.Event) -> None:
        self._released = released

    def abort(self) -> None:
        self._released.wait()

    def close(self, ignore_errors: bool) -> None:
        assert ignore_errors


@pytest.fixture
def released(monkeypatch: pytest.MonkeyPatch) -> Iterator[threading.Event]:
    """Lets the hanging calls end after the test; the real library stays as it was."""
    monkeypatch.setattr(devices, "HUNG_S", 0.1)
    monkeypatch.setattr(devices, "_hung", False)
    monkeypatch.setattr(devices, "_open", 0)
    event = threading.Event()
    yield event
    event.set()
    atexit.register(sound_library()._exit_handler)


def opens(stream: object) -> Any:
    def make(_: ModuleType) -> object:
        return stream

    return make


def test_a_stream_that_cannot_be_closed_is_left(released: threading.Event) -> None:
    stream = open_stream(opens(Stuck(released)), Trouble.MICROPHONE_MISSING)
    close_stream(stream)
    assert devices._hung
    assert not devices.look_again(), "to start the library anew would wait for the stream for ever"
    assert open_stream(opens("another"), Trouble.SPEAKER_MISSING) == "another", (
        "another device may still be well"
    )


def test_a_device_that_does_not_open_is_told(released: threading.Event) -> None:
    def hang(_: ModuleType) -> None:
        released.wait()

    with pytest.raises(SpeechError, match=r"does not answer .* start this program anew") as caught:
        open_stream(hang, Trouble.MICROPHONE_MISSING)
    assert caught.value.code is Trouble.MICROPHONE_MISSING


def test_what_the_library_raises_comes_through(released: threading.Event) -> None:
    def refuse(library: ModuleType) -> None:
        raise library.PortAudioError("no such device")

    with pytest.raises(SpeechError, match=r"cannot be opened \(no such device\)"):
        open_stream(refuse, Trouble.SPEAKER_MISSING)
    assert not devices._hung
