"""No sign and no decimal point is lost on the way to the voice.

Every value a step can take is spelt and turned into the synthesiser's own phonemes: two values that sounded the
same would have lost something. Measured before (espeak-ng 1.51): "-1,75" sounds like "1,75" in French and Swahili.
"""

import ctypes
from collections.abc import Callable, Mapping, Sequence
from decimal import Decimal

import pytest

from assistant.language.lexicon import LANGUAGES
from assistant.language.listening import Listening
from assistant.language.spell import spell_number
from assistant.speech.synth import VOICES

UTF8, RETRIEVAL = 1, 1
HUNDREDTH = Decimal("0.01")
VALUES: Mapping[Listening, Sequence[Decimal | str]] = {
    Listening.POWER: [Decimal(n) / 4 for n in range(-80, 81)],
    Listening.AXIS: [Decimal(n) for n in range(181)],
    Listening.LENGTH: [Decimal(n) * HUNDREDTH * 5 for n in range(0, 1601)],
    Listening.CHECK_NUMBER: [f"{n:02d}" for n in range(100)],
}


@pytest.fixture(scope="module")
def phonemes() -> Callable[[str, str], str]:
    """What the library makes of a text in a language's voice."""
    loader = pytest.importorskip("espeakng_loader")
    library = ctypes.CDLL(loader.get_library_path())
    library.espeak_TextToPhonemes.restype = ctypes.c_char_p
    assert library.espeak_Initialize(RETRIEVAL, 0, loader.get_data_path().encode(), 0) > 0

    def of(text: str, language: str) -> str:
        assert library.espeak_SetVoiceByName(VOICES[language].encode()) == 0
        rest, found = ctypes.c_char_p(text.encode()), []
        while rest.value:
            found.append(library.espeak_TextToPhonemes(ctypes.byref(rest), UTF8, 0).decode())
        return " ".join(found)

    return of


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("kind", VALUES)
def test_no_two_values_sound_the_same(
    language: str, kind: Listening, phonemes: Callable[[str, str], str]
) -> None:
    said: dict[str, Decimal | str] = {}
    for value in VALUES[kind]:
        sound = phonemes(spell_number(value, kind, language), language)
        assert sound.strip(), f"{value} makes no sound"
        assert sound not in said, f"{value} sounds like {said[sound]}: {sound}"
        said[sound] = value


def test_the_check_would_find_a_lost_sign(phonemes: Callable[[str, str], str]) -> None:
    """The fault it guards against is still there in the library, so the check above can fail."""
    lost = [language for language in LANGUAGES if phonemes("-1,75", language) == phonemes("1,75", language)]
    assert lost, "the library reads signs now; the spelling in words may be reconsidered"
