"""Recognitions to entries: what passes, what is asked again, in every language."""

from decimal import Decimal

import pytest

from assistant.language.lexicon import LANGUAGES
from assistant.language.listening import Listening
from assistant.language.parse import Unheard
from assistant.language.spell import spell_number
from assistant.speech.understanding import Alternative, Asked, Recognition, complete, understand


def heard(*texts: str, confidences: tuple[float, ...] | None = None) -> Recognition:
    given = confidences or tuple(0.9 / 10**k for k in range(len(texts)))
    ways = tuple(Alternative(tuple(text.split()), c) for text, c in zip(texts, given, strict=True))
    return Recognition(ways, 1.0, 0.01)


AXIS = Asked(Listening.AXIS, "en", low=0, high=180)


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("axis", [0, 1, 99, 175, 180])
def test_an_axis_said_digit_by_digit_is_understood(language: str, axis: int) -> None:
    asked = Asked(Listening.AXIS, language, low=0, high=180)
    understood = understand(heard(spell_number(str(axis), Listening.DIGITS, language)), asked)
    assert (understood.value, understood.accepted) == (Decimal(axis), True)


def test_an_unknown_word_refuses_the_whole_clip_even_with_a_good_second() -> None:
    understood = understand(heard("one seven [unk]", "one seven five"), AXIS)
    assert (understood.accepted, understood.reason) == (False, Unheard.NOT_UNDERSTOOD)
    assert understood.words == "one seven [unk]"


def test_the_next_alternative_is_taken_where_the_first_does_not_parse() -> None:
    understood = understand(heard("two hundred", "one hundred"), AXIS)
    assert understood.value == Decimal(100)
    assert understood.words == "one hundred"


def test_what_was_denied_is_not_offered_again() -> None:
    recognition = heard("one seven five", "one seven nine")
    assert understand(recognition, AXIS, {Decimal(175)}).value == Decimal(179)
    assert understand(heard("one seven five"), AXIS, {Decimal(175)}).accepted is False


def test_a_confusable_value_is_not_accepted_though_it_is_known() -> None:
    understood = understand(heard("fifteen", "one five"), AXIS)
    assert (understood.accepted, understood.reason) == (False, Unheard.CONFUSABLE)


@pytest.mark.parametrize(
    ("words", "asked", "reason"),
    [
        ("", AXIS, Unheard.NOTHING_HEARD),
        ("one two", Asked(Listening.DIGITS, "en", digits=3), Unheard.WRONG_LENGTH),
        ("one seven five", Asked(Listening.AXIS, "en", low=0, high=90), Unheard.OUT_OF_RANGE),
        ("two point five", Asked(Listening.POWER, "en"), Unheard.NEEDS_SIGN),
    ],
)
def test_reasons(words: str, asked: Asked, reason: Unheard) -> None:
    understood = understand(heard(words), asked)
    assert (understood.accepted, understood.reason) == (False, reason)


def test_a_yes_must_be_sure_since_nothing_reads_it_back() -> None:
    asked = Asked(Listening.YES_NO, "en")
    assert understand(heard("yes", "no", confidences=(0.9, 0.1)), asked).accepted
    assert not understand(heard("yes", "no", confidences=(0.4, 0.35)), asked).accepted


@pytest.mark.parametrize(
    ("words", "asked", "whole"),
    [
        ("one seven five", AXIS, True),
        ("one seven", AXIS, False),
        ("one seventy", AXIS, False),
        ("minus two point two five", Asked(Listening.POWER, "en"), True),
        ("minus two", Asked(Listening.POWER, "en"), False),
        ("seven four", Asked(Listening.CHECK_NUMBER, "en"), True),
        ("seven", Asked(Listening.CHECK_NUMBER, "en"), False),
        ("one two three", Asked(Listening.DIGITS, "en", digits=3), True),
        ("one two three", Asked(Listening.DIGITS, "en"), False),
        ("yes", Asked(Listening.YES_NO, "en"), True),
        ("five yes", AXIS, False),
        ("", AXIS, False),
    ],
)
def test_complete_means_that_nothing_can_follow(words: str, asked: Asked, whole: bool) -> None:
    assert complete(words, asked) is whole


def test_a_number_that_is_not_likely_enough_is_asked_again() -> None:
    """Its value is told, so that it can be measured; it does not go to read-back."""
    unsure = understand(heard("one seven five", "one five five", confidences=(0.6, 0.4)), AXIS)
    assert (unsure.value, unsure.accepted) == (Decimal(175), False)
    assert unsure.reason is Unheard.NOT_UNDERSTOOD
    assert understand(heard("one seven five", "one five five", confidences=(0.9, 0.1)), AXIS).accepted
