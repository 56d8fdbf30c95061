"""A clip that is not heard surely is heard again, by a second network or at other paces, and all hearings count."""

import shutil
from pathlib import Path

import numpy as np
import pytest

from assistant.language.listening import Listening
from assistant.speech.kaldi_binary import ModelFormatError
from assistant.speech.model_folder import SECOND, SECOND_NETWORK, model_dir, number_model
from assistant.speech.recogniser import OTHER_PACES, SURE_AT_ONCE, VoskRecogniser
from assistant.speech.sound import Sound
from assistant.speech.synth import Synthesiser
from assistant.speech.understanding import UNKNOWN, Alternative, together, without_unknown

RATE_HZ = 8000
CLIP = Sound(np.zeros(RATE_HZ, np.int16), RATE_HZ)


def ways(**confidences: float) -> tuple[Alternative, ...]:
    return tuple(Alternative((word,), confidence) for word, confidence in confidences.items())


@pytest.fixture
def ear(tmp_path: Path) -> VoskRecogniser:
    """Swahili has one network."""
    return VoskRecogniser(model_dir("sw", Listening.DIGIT, tmp_path))


@pytest.fixture
def two(tmp_path: Path) -> VoskRecogniser:
    """English has two."""
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


def test_a_hearing_has_as_much_say_as_it_has_confidence() -> None:
    both = together([ways(nine=0.9, five=0.1), ways(five=0.2), ()])
    assert [way.text for way in both] == ["nine", "five"]
    assert [way.confidence for way in both] == pytest.approx([0.9 / 1.2, 0.3 / 1.2])


def test_a_sure_hearing_is_enough(ear: VoskRecogniser, monkeypatch: pytest.MonkeyPatch) -> None:
    given = scripted(ear, monkeypatch, ways(nine=SURE_AT_ONCE))
    assert ear.recognise(CLIP).best.text == "nine"
    assert given == [CLIP]


def test_a_doubtful_one_is_heard_slower_and_faster(
    ear: VoskRecogniser, monkeypatch: pytest.MonkeyPatch
) -> None:
    given = scripted(ear, monkeypatch, ways(nine=0.6, five=0.4), ways(five=1.0), ways(five=0.7, nine=0.3))
    recognition = ear.recognise(CLIP)
    assert recognition.best.text == "five"
    assert recognition.best.confidence == pytest.approx((0.4 + 1.0 + 0.7) / 3)
    assert recognition.seconds == CLIP.seconds
    assert [sound.seconds for sound in given] == pytest.approx([1.0, *(1 / pace for pace in OTHER_PACES)])


def second_of(ear: VoskRecogniser) -> VoskRecogniser:
    assert ear._second is not None
    return ear._second


def test_a_second_network_hears_what_the_first_doubts(
    two: VoskRecogniser, monkeypatch: pytest.MonkeyPatch
) -> None:
    first = scripted(two, monkeypatch, ways(nine=0.6, five=0.4))
    second = scripted(second_of(two), monkeypatch, ways(five=0.9, nine=0.1))
    best = two.recognise(CLIP).best
    assert best.text == "five"
    assert best.confidence == pytest.approx((0.4 + 0.9) / 2)
    assert first == second == [CLIP]


def test_a_second_network_is_not_asked_where_the_first_is_sure(
    two: VoskRecogniser, monkeypatch: pytest.MonkeyPatch
) -> None:
    scripted(two, monkeypatch, ways(nine=SURE_AT_ONCE))
    second = scripted(second_of(two), monkeypatch)
    assert two.recognise(CLIP).best.text == "nine"
    assert second == []


def test_an_unknown_word_of_the_first_leaves_it_to_the_second(
    two: VoskRecogniser, monkeypatch: pytest.MonkeyPatch
) -> None:
    """However sure: the first network takes much of what is said in noise for other talk."""
    unknown = (Alternative((UNKNOWN,), 0.99), Alternative(("nine",), 0.01))
    for said, best in ((ways(five=1.0), "five"), ((Alternative((UNKNOWN,), 1.0),), UNKNOWN)):
        scripted(two, monkeypatch, unknown)
        scripted(second_of(two), monkeypatch, said)
        assert two.recognise(CLIP).best.text == best
    assert without_unknown(unknown) == unknown[1:]


def test_two_networks_share_graph_and_units(tmp_path: Path) -> None:
    folder = model_dir("pt", Listening.AXIS, tmp_path)
    for name in ("graph/HCLG.fst", "graph/words.txt", "conf/mfcc.conf"):
        assert (folder / name).read_bytes() == (folder / SECOND / name).read_bytes()
    networks = [(part / "am" / "final.mdl").read_bytes() for part in (folder, folder / SECOND)]
    assert networks[0] != networks[1]


def test_a_damaged_second_network_is_found_before_vosk_sees_it(tmp_path: Path) -> None:
    own = Path(shutil.copytree(number_model("en"), tmp_path / "en"))
    data = (own / SECOND_NETWORK).read_bytes()
    (own / SECOND_NETWORK).write_bytes(data[: len(data) // 2])
    with pytest.raises(ModelFormatError):
        model_dir("en", Listening.AXIS, tmp_path / "cache", model=own)


def test_silence_is_not_heard_again(ear: VoskRecogniser, monkeypatch: pytest.MonkeyPatch) -> None:
    given = scripted(ear, monkeypatch, ())
    assert ear.recognise(CLIP).alternatives == ()
    assert given == [CLIP]


@pytest.mark.parametrize("pace", [0.8, 1.3])
def test_the_real_ear_hears_a_slow_and_a_fast_voice(
    ear: VoskRecogniser, synthesiser: Synthesiser, pace: float
) -> None:
    said = synthesiser.render("saba", "sw")
    heard = ear.recognise(Sound(said.samples, round(said.rate * pace)))
    assert heard.best.text == "saba"
    assert sum(way.confidence for way in heard.alternatives) == pytest.approx(1.0)
