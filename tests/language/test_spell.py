"""Values in words: nothing but words, and the same numbers as an independent library says."""

import re
from decimal import Decimal

import pytest
from num2words import num2words

from assistant.language.lexicon import LANGUAGES, ways
from assistant.language.lexicon_file import LanguageError
from assistant.language.listening import Listening
from assistant.language.spell import spell_number

WORDS = re.compile(r"[^\W\d_]+(?: [^\W\d_]+)*")
TELLING = [
    0,
    1,
    -1,
    0.05,
    -0.25,
    0.5,
    1.25,
    -2.25,
    12,
    17.75,
    20,
    -20,
    61.5,
    70,
    71,
    80,
    81,
    99.9,
    100,
    175,
    180,
]


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("kind", [Listening.POWER, Listening.CYLINDER, Listening.AXIS, Listening.LENGTH])
def test_only_words_and_spaces(kind: Listening, language: str) -> None:
    for value in TELLING:
        assert WORDS.fullmatch(spell_number(value, kind, language)), (value, language)


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_whole_number_has_words_of_its_own(language: str) -> None:
    said = [spell_number(n, Listening.COUNT, language) for n in range(10_000)]
    assert len(set(said)) == 10_000
    assert all(WORDS.fullmatch(words) for words in said)


# num2words is an independent library; each of its regional forms must be one of the ways we know.
# It has no Swahili.
@pytest.mark.parametrize(
    ("language", "region"),
    [("en", "en"), ("pt", "pt"), ("pt", "pt_BR"), ("fr", "fr"), ("fr", "fr_BE"), ("fr", "fr_CH")],
)
def test_whole_numbers_agree_with_num2words(language: str, region: str) -> None:
    for n in range(1000):
        theirs = (
            num2words(n, lang=region).replace("-", " ").replace("vingts", "vingt").replace("cents", "cent")
        )
        assert tuple(theirs.split()) in ways(language, n), (n, theirs)


# from memory: no library on PyPI that we know says Swahili numbers
@pytest.mark.parametrize(
    ("number", "words"),
    [
        (7, "saba"),
        (15, "kumi na tano"),
        (42, "arobaini na mbili"),
        (90, "tisini"),
        (100, "mia moja"),
        (105, "mia moja na tano"),
        (175, "mia moja sabini na tano"),
        (417, "mia nne na kumi na saba"),
    ],
)
def test_swahili_whole_numbers(number: int, words: str) -> None:
    assert spell_number(number, Listening.COUNT, "sw") == words


@pytest.mark.parametrize(
    ("value", "kind", "language", "words"),
    [
        (Decimal("-2.25"), Listening.POWER, "en", "minus two point two five"),
        ("-2.25", Listening.POWER, "pt", "menos dois vírgula dois cinco"),
        (-2.25, Listening.POWER, "fr", "moins deux virgule deux cinq"),
        (-2.25, Listening.POWER, "sw", "hasi mbili nukta mbili tano"),
        (3.0, Listening.POWER, "en", "plus three"),
        (0.0, Listening.POWER, "en", "zero"),
        (-0.0, Listening.POWER, "en", "zero"),
        (0.8, Listening.LENGTH, "en", "zero point eight"),
        (0.9 - 0.2, Listening.LENGTH, "en", "zero point seven"),
        (-25.0, Listening.LENGTH, "en", "minus twenty five"),
        (175.0, Listening.AXIS, "en", "one hundred seventy five"),
        (12.5, Listening.AXIS, "en", "twelve point five"),
        ("07", Listening.CHECK_NUMBER, "en", "zero seven"),
        (417, Listening.DIGITS, "en", "four one seven"),
        (3.0, Listening.DIGIT, "en", "three"),
        ("yes", Listening.YES_NO, "sw", "ndiyo"),
        ("stop", Listening.COMMANDS, "pt", "parar"),
    ],
)
def test_spelt(value: Decimal | float | str, kind: Listening, language: str, words: str) -> None:
    assert spell_number(value, kind, language) == words


@pytest.mark.parametrize(
    ("value", "kind", "named"),
    [
        ("4x", Listening.DIGITS, "'4x'"),
        (1.5, Listening.DIGIT, "1.5"),
        (2.5, Listening.COUNT, "2.5"),
        (10_000, Listening.COUNT, "10000"),
        (float("nan"), Listening.LENGTH, "nan"),
        ("maybe", Listening.YES_NO, "maybe"),
    ],
)
def test_what_cannot_be_said_is_named(value: float | str, kind: Listening, named: str) -> None:
    with pytest.raises(LanguageError, match=re.escape(named)):
        spell_number(value, kind, "en")


def test_an_unknown_language_names_those_there_are() -> None:
    with pytest.raises(LanguageError, match=r"'xx'.*en, pt, fr, sw"):
        spell_number(1, Listening.COUNT, "xx")
