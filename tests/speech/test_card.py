"""Player and microphone on a virtual sound card: what goes in comes out, and what is unplugged is noticed."""

import threading

import numpy as np
import pytest
from virtual_sound import VirtualSound

from assistant.speech.capture import RATE_HZ, Microphone, record
from assistant.speech.errors import SpeechError, Trouble
from assistant.speech.player import Player
from assistant.speech.sound import Sound
from assistant.speech.synth import Synthesiser
from assistant.speech.tones import Chime, chime


def tone(seconds: float, frequency_hz: float = 1000.0, rate: int = RATE_HZ) -> Sound:
    at = np.arange(round(seconds * rate)) / rate
    return Sound((10000 * np.sin(2 * np.pi * frequency_hz * at)).astype(np.int16), rate)


def strongest_hz(sound: Sound) -> float:
    spectrum = np.abs(np.fft.rfft(sound.samples))
    return float(np.argmax(spectrum) * sound.rate / len(sound.samples))


def test_what_is_played_is_heard_at_the_speaker(card: VirtualSound) -> None:
    with card.recorded() as played:
        Player().play(tone(0.5, 1000.0, 22050), lambda: True)
    assert strongest_hz(played[0]) == pytest.approx(1000, abs=5)
    loud = np.abs(played[0].samples) > 3000
    assert np.count_nonzero(loud) / RATE_HZ == pytest.approx(0.5 * 0.8, abs=0.1)  # |sin| > 0.3 for 0.81 of it


def test_what_is_said_is_heard_by_the_microphone(card: VirtualSound) -> None:
    microphone = Microphone()
    microphone.open()
    said = threading.Thread(target=card.speak, args=(tone(0.5, 700.0),))
    said.start()
    blocks = []
    while said.is_alive():
        blocks.append(microphone.block())
    microphone.close()
    taken = np.concatenate(blocks)
    assert strongest_hz(Sound(taken, RATE_HZ)) == pytest.approx(700, abs=5)


def test_a_cut_ends_the_clip_at_once(card: VirtualSound) -> None:
    player = Player()
    playing = threading.Thread(target=player.play, args=(tone(30.0), lambda: True))
    with card.recorded() as played:
        playing.start()
        threading.Timer(0.3, player.cut).start()
        playing.join(5)
        assert not playing.is_alive()
    assert np.count_nonzero(np.abs(played[0].samples) > 3000) < RATE_HZ


def test_a_clip_that_is_not_wanted_any_more_is_not_played(card: VirtualSound) -> None:
    with card.recorded() as played:
        Player().play(chime(Chime.DONE), lambda: False)
    assert not np.any(np.abs(played[0].samples) > 100)


def test_the_microphone_unplugged_is_noticed(own_card: VirtualSound) -> None:
    microphone = Microphone()
    microphone.open()
    microphone.block()
    own_card.stop()
    with pytest.raises(SpeechError, match="stopped giving sound") as caught:
        record(60.0, microphone)
    assert caught.value.code is Trouble.MICROPHONE_GONE
    microphone.close()


def test_plugged_in_again_it_is_found_again(own_card: VirtualSound) -> None:
    own_card.stop()
    with pytest.raises(SpeechError) as caught:
        Player().play(tone(0.1), lambda: True)
    assert caught.value.code is Trouble.SPEAKER_MISSING
    with pytest.raises(SpeechError) as caught:
        Microphone().open()
    assert caught.value.code is Trouble.MICROPHONE_MISSING
    own_card.start()
    Player().play(tone(0.1), lambda: True)
    microphone = Microphone()
    microphone.open()
    assert len(microphone.block()) == 512
    microphone.close()


def test_the_speaker_gone_in_the_middle_of_a_clip_is_noticed(own_card: VirtualSound) -> None:
    threading.Timer(0.3, own_card.stop).start()
    with pytest.raises(SpeechError) as caught:
        Player().play(tone(1.5), lambda: True)
    assert caught.value.code is Trouble.SPEAKER_GONE


def test_synthesis_is_heard_as_it_was_rendered(card: VirtualSound, synthesiser: Synthesiser) -> None:
    sound = synthesiser.render("one seven five", "en")
    with card.recorded() as played:
        Player().play(sound, lambda: True)
    power = np.sqrt(np.mean(played[0].samples[: RATE_HZ * 3].astype(float) ** 2))
    assert power > 500
