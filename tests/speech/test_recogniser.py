"""A clip that is not heard surely is heard again at other paces, and what most of them make of it counts."""

from pathlib import Path

import numpy as np
import pytest

from assistant.language.listening import Listening
from assistant.speech.model_folder import model_dir
from assistant.speech.recogniser import OTHER_PACES, SURE_AT_ONCE, VoskRecogniser
from assistant.speech.sound import Sound
from assistant.speech.synth import Synthesiser
from assistant.speech.understanding import Alternative, together

RATE_HZ = 8000
CLIP = Sound(np.zeros(RATE_HZ, np.int16), RATE_HZ)


def ways(**confidences: float) -> tuple[Alternative, ...]:
    return tuple(Alternative((word,), confidence) for word, confidence in confidences.items())


@pytest.fixture
def ear(tmp_path: Path) -> VoskRecogniser:
    return VoskRecogniser(model_dir("en", Listening.DIGIT, tmp_path))


def scripted(
    ear: VoskRecogniser, monkeypatch: pytest.MonkeyPatch, *hearings: tuple[Alternative, ...]
) -> list[Sound]:
    """The ear hears these one after another; gives the clips that it was given."""
    given: list[Sound] = []
    left = list(hearings)

    def heard(sound: Sound) -> tuple[Alternative, ...]:
        given.append(sound)
        return left.pop(0)

    monkeypatch.setattr(ear, "_heard", heard)
    return given


def test_hearings_together_have_the_mean_of_their_confidences() -> None:
    both = together([ways(nine=0.6, five=0.4), ways(five=0.9, one=0.1)])
    assert [way.text for way in both] == ["five", "nine", "one"]
    assert [way.confidence for way in both] == pytest.approx([0.65, 0.3, 0.05])


def test_a_sure_hearing_is_enough(ear: VoskRecogniser, monkeypatch: pytest.MonkeyPatch) -> None:
    given = scripted(ear, monkeypatch, ways(nine=SURE_AT_ONCE))
    assert ear.recognise(CLIP).best.text == "nine"
    assert given == [CLIP]


def test_a_doubtful_one_is_heard_slower_and_faster(
    ear: VoskRecogniser, monkeypatch: pytest.MonkeyPatch
) -> None:
    given = scripted(ear, monkeypatch, ways(nine=0.6, five=0.4), ways(five=0.9), ways(five=0.7, nine=0.3))
    recognition = ear.recognise(CLIP)
    assert recognition.best.text == "five"
    assert recognition.best.confidence == pytest.approx(2.0 / 3)
    assert recognition.seconds == CLIP.seconds
    assert [sound.seconds for sound in given] == pytest.approx([1.0, *(1 / pace for pace in OTHER_PACES)])


def test_silence_is_not_heard_again(ear: VoskRecogniser, monkeypatch: pytest.MonkeyPatch) -> None:
    given = scripted(ear, monkeypatch, ())
    assert ear.recognise(CLIP).alternatives == ()
    assert given == [CLIP]


@pytest.mark.parametrize("pace", [0.8, 1.3])
def test_the_real_ear_hears_a_slow_and_a_fast_voice(
    ear: VoskRecogniser, synthesiser: Synthesiser, pace: float
) -> None:
    said = synthesiser.render("seven", "en")
    heard = ear.recognise(Sound(said.samples, round(said.rate * pace)))
    assert heard.best.text == "seven"
    assert sum(way.confidence for way in heard.alternatives) == pytest.approx(1.0)
