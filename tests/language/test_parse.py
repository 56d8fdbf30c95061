"""Words to values: what the program says it understands, what people say too, and what is asked again."""

from collections.abc import Iterator
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.language.grammar import ACUITIES, EIGHTHS, phrases
from assistant.language.lexicon import LANGUAGES, digit_ways, lexicon
from assistant.language.lexicon_file import COMMAND_IDS
from assistant.language.listening import CONTEXTS, Listening, Value
from assistant.language.parse import Heard, Unheard, parse
from assistant.language.phrases import vocabulary
from assistant.language.spell import spell_number


def values(listening: Listening) -> Iterator[Value]:
    """Every value that a step of this kind can take."""
    match listening:
        case Listening.POWER | Listening.CYLINDER:
            sizes = {Decimal(w) + Decimal(h) / 100 for w in range(21) for h in EIGHTHS}
            yield from sorted({s * size for size in sizes if size <= 20 for s in (1, -1)})
        case Listening.AXIS:
            yield from map(Decimal, range(181))
        case Listening.LENGTH:
            yield from (Decimal(n) / 20 for n in range(30 * 20 + 1))
            yield from (Decimal(n) / 10 for n in range(300, 901))
        case Listening.CHECK_NUMBER:
            yield from (f"{n:02d}" for n in range(100))
        case Listening.DIGIT:
            yield from "0123456789"
        case Listening.DIGITS:
            yield from (f"{n:04d}" for n in range(0, 10_000, 37))
        case Listening.ACUITY:
            yield from map(Decimal, ACUITIES)
        case Listening.YES_NO:
            yield from ("yes", "no")
        case Listening.COMMANDS:
            yield from COMMAND_IDS
        case Listening.COUNT:
            raise ValueError("counts are not listened for")


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("listening", CONTEXTS)
def test_what_is_spelt_is_understood(listening: Listening, language: str) -> None:
    for value in values(listening):
        said = spell_number(value, listening, language)
        assert parse(said, listening, language).value == value, said


# The ways people say them: common practice, no source.
SPOKEN = [
    ("en", Listening.AXIS, "one seven five", "175"),
    ("en", Listening.AXIS, "one hundred seventy-five", "175"),
    ("en", Listening.AXIS, "hundred and seventy five", "175"),
    ("en", Listening.AXIS, "One seventy-five.", "175"),
    ("en", Listening.AXIS, "oh four five", "45"),
    ("en", Listening.AXIS, "one oh five", "105"),
    ("en", Listening.POWER, "minus two point two five", "-2.25"),
    ("en", Listening.POWER, "minus two twenty-five", "-2.25"),
    ("en", Listening.POWER, "minus two and a quarter", "-2.25"),
    ("en", Listening.POWER, "plus three", "3"),
    ("en", Listening.POWER, "plus one and three quarters", "1.75"),
    ("en", Listening.POWER, "minus point five", "-0.5"),
    ("en", Listening.POWER, "minus point five oh", "-0.5"),
    ("en", Listening.POWER, "minus seventy five", "-0.75"),
    ("en", Listening.POWER, "negative one zero point five", "-10.5"),
    ("en", Listening.POWER, "minus one thirty-seven", "-1.37"),
    ("en", Listening.POWER, "plano", "0"),
    ("en", Listening.LENGTH, "point eight", "0.8"),
    ("en", Listening.LENGTH, "sixty one and a half", "61.5"),
    ("en", Listening.LENGTH, "six one point five", "61.5"),
    ("en", Listening.LENGTH, "one point oh five", "1.05"),
    ("en", Listening.ACUITY, "six nine", "9"),
    ("pt", Listening.POWER, "menos dois e vinte e cinco", "-2.25"),
    ("pt", Listening.POWER, "menos dois vírgula vinte e cinco", "-2.25"),
    ("pt", Listening.POWER, "mais dois e meio", "2.5"),
    ("pt", Listening.POWER, "menos três quartos", "-0.75"),
    ("pt", Listening.AXIS, "cento e setenta e cinco", "175"),
    ("pt", Listening.AXIS, "um meia zero", "160"),
    ("pt", Listening.LENGTH, "sessenta e um virgula cinco", "61.5"),
    ("fr", Listening.POWER, "moins deux vingt-cinq", "-2.25"),
    ("fr", Listening.POWER, "moins deux virgule vingt-cinq", "-2.25"),
    ("fr", Listening.POWER, "moins quatre vingt-cinq", "-4.25"),
    ("fr", Listening.POWER, "plus un et demi", "1.5"),
    ("fr", Listening.POWER, "moins deux trois quarts", "-2.75"),
    ("fr", Listening.AXIS, "cent soixante-quinze", "175"),
    ("fr", Listening.AXIS, "cent septante-cinq", "175"),
    ("fr", Listening.AXIS, "quatre-vingts", "80"),
    ("fr", Listening.LENGTH, "soixante et onze virgule cinq", "71.5"),
    ("sw", Listening.POWER, "hasi mbili nukta mbili tano", "-2.25"),
    ("sw", Listening.POWER, "kasoro mbili na robo", "-2.25"),
    ("sw", Listening.POWER, "toa mbili na robo tatu", "-2.75"),
    ("sw", Listening.POWER, "chanya nusu", "0.5"),
    ("sw", Listening.AXIS, "mia moja sabini na tano", "175"),
    ("sw", Listening.AXIS, "mia na kumi", "110"),
    ("sw", Listening.LENGTH, "sufuri nukta nane", "0.8"),
]


@pytest.mark.parametrize(("language", "listening", "said", "value"), SPOKEN)
def test_the_ways_people_say_them(language: str, listening: Listening, said: str, value: str) -> None:
    heard = parse(said, listening, language)
    assert heard.value == Decimal(value)
    assert heard.reason in (None, Unheard.CONFUSABLE)


@pytest.mark.parametrize(
    ("language", "listening", "said", "value"),
    [
        ("en", Listening.AXIS, "fifteen", "15"),
        ("en", Listening.AXIS, "fifty", "50"),
        ("en", Listening.AXIS, "one hundred and thirteen", "113"),
        ("pt", Listening.AXIS, "sessenta", "60"),
        ("fr", Listening.AXIS, "soixante-six", "66"),
        ("fr", Listening.AXIS, "cent dix", "110"),
        ("sw", Listening.AXIS, "sitini na tano", "65"),
        ("pt", Listening.AXIS, "cento e setenta e cinco", "175"),
    ],
)
def test_what_sounds_like_another_is_asked_again(
    language: str, listening: Listening, said: str, value: str
) -> None:
    assert parse(said, listening, language) == Heard(Decimal(value), True, Unheard.CONFUSABLE)


def test_no_doubt_where_the_other_number_is_not_possible() -> None:
    assert parse("fifteen", Listening.LENGTH, "en", low=0, high=20).accepted
    assert not parse("fifteen", Listening.LENGTH, "en", low=0, high=60).accepted
    assert parse("minus two fifty", Listening.POWER, "en").accepted
    assert not parse("minus fifty", Listening.POWER, "en").accepted  # or minus fifteen


@pytest.mark.parametrize("language", LANGUAGES)
def test_digit_by_digit_ends_the_doubt(language: str) -> None:
    for n in range(181):
        for said in digit_ways(language, str(n)):
            assert parse(said, Listening.AXIS, language) == Heard(Decimal(n)), said


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_confusable_pair_is_of_words_that_are_listened_for(language: str) -> None:
    for pair in lexicon(language).confusable:
        assert {word for phrase in pair for word in phrase} <= vocabulary(language)


@pytest.mark.parametrize("language", LANGUAGES)
def test_a_power_without_its_sign_is_never_accepted(language: str) -> None:
    signs = {word for said in lexicon(language).signs.values() for word in said}
    for words, meanings in phrases(Listening.POWER, language).items():
        if words[0] not in signs and meanings != {Decimal(0)}:
            heard = parse(words, Listening.POWER, language)
            assert heard == Heard(None, True, Unheard.NEEDS_SIGN), words


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("listening", [c for c in CONTEXTS if c is not Listening.DIGITS])
def test_every_phrase_means_one_value_or_is_asked_again(listening: Listening, language: str) -> None:
    for words, meanings in phrases(listening, language).items():
        heard = parse(words, listening, language)
        assert heard.ambiguous or {heard.value} == meanings, words


@pytest.mark.parametrize(
    ("said", "listening", "reason"),
    [
        ("", Listening.AXIS, Unheard.NOTHING_HEARD),
        (" - ", Listening.AXIS, Unheard.NOTHING_HEARD),
        ("[unk] one", Listening.AXIS, Unheard.NOT_UNDERSTOOD),
        ("one nine nine", Listening.AXIS, Unheard.NOT_UNDERSTOOD),
        ("minus two two five", Listening.POWER, Unheard.NOT_UNDERSTOOD),
        ("minus minus two", Listening.POWER, Unheard.NOT_UNDERSTOOD),
        ("yes", Listening.AXIS, Unheard.NOT_UNDERSTOOD),
        ("seven", Listening.CHECK_NUMBER, Unheard.NOT_UNDERSTOOD),
    ],
)
def test_not_understood(said: str, listening: Listening, reason: Unheard) -> None:
    assert parse(said, listening, "en") == Heard(None, reason=reason)


def test_bounds_and_length_of_the_step_hold() -> None:
    assert parse("sixty", Listening.LENGTH, "en", low=0, high=10).reason is Unheard.OUT_OF_RANGE
    assert parse("minus one", Listening.POWER, "en", low=-1.0, high=1.0).accepted
    assert parse("one two", Listening.DIGITS, "en", digits=3).reason is Unheard.WRONG_LENGTH
    assert parse("one two three", Listening.DIGITS, "en", digits=3) == Heard("123")
    assert parse("oh oh seven", Listening.DIGITS, "en") == Heard("007")


@given(st.sampled_from(LANGUAGES), st.sampled_from(CONTEXTS), st.data())
def test_no_words_whatever_raise(language: str, listening: Listening, data: st.DataObject) -> None:
    known = st.sampled_from(sorted(vocabulary(language)))
    words = data.draw(st.lists(known | st.text(max_size=5), max_size=9))
    heard = parse(words, listening, language, low=-5, high=100)
    assert heard.accepted is (heard.reason is None)
