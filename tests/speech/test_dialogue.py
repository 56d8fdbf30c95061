"""The talk about one entry, without sound."""

from decimal import Decimal

import pytest

from assistant.language.lexicon import LANGUAGES
from assistant.language.listening import Listening
from assistant.language.parse import Unheard
from assistant.language.prompts import Spoken, say
from assistant.speech import dialogue
from assistant.speech.dialogue import Effect, Speak, Talk
from assistant.speech.heard import HeardEntry, HeardKind
from assistant.speech.tones import Chime
from assistant.speech.understanding import Asked, Understanding

AXIS = Asked(Listening.AXIS, "en", low=0, high=180)


def number(value: str) -> Understanding:
    return Understanding("said", 0.9, Decimal(value), True)


def word(value: str) -> Understanding:
    return Understanding(value, 0.9, value, True)


def unheard(reason: Unheard = Unheard.NOT_UNDERSTOOD) -> Understanding:
    return Understanding("[unk]", 0.9, reason=reason)


def entries(effects: tuple[Effect, ...]) -> list[HeardEntry]:
    return [effect for effect in effects if isinstance(effect, HeardEntry)]


def spoken(effects: tuple[Effect, ...]) -> list[str]:
    return [effect.text_id for effect in effects if isinstance(effect, Speak)]


def test_a_number_is_read_back_and_is_an_answer_only_after_yes() -> None:
    talk, effects = dialogue.heard(Talk(AXIS), number("175"), "000001.flac")
    assert [entry.kind for entry in entries(effects)] == [HeardKind.READ_BACK]
    assert effects[-1] == Speak("read-back", {"value": Spoken(Listening.AXIS, Decimal(175))})
    assert talk.listening == Asked(Listening.YES_NO, "en")
    talk, effects = dialogue.heard(talk, word("yes"))
    assert entries(effects) == [HeardEntry(HeardKind.ANSWER, "175", "said", "000001.flac")]
    assert talk.over


def test_enter_confirms_like_yes_and_means_nothing_before_a_read_back() -> None:
    assert dialogue.confirmed(Talk(AXIS), True) == (Talk(AXIS), ())
    talk, _ = dialogue.heard(Talk(AXIS), number("90"))
    talk, effects = dialogue.confirmed(talk, True)
    assert talk.over
    assert entries(effects)[0].text == "90"


def test_no_clears_it_and_denies_that_value() -> None:
    talk, _ = dialogue.heard(Talk(AXIS), number("150"))
    talk, effects = dialogue.heard(talk, word("no"))
    assert talk.candidate is None
    assert talk.denied == {Decimal(150)}
    assert spoken(effects) == ["say-again"]
    assert talk.listening == AXIS


def test_the_keypad_is_offered_once_after_two_refusals_in_a_row() -> None:
    talk, effects = dialogue.heard(Talk(AXIS), unheard())
    assert (spoken(effects), effects[0]) == (["refused-not_understood"], Chime.REFUSED)
    talk, effects = dialogue.heard(talk, unheard())
    assert [entry.kind for entry in entries(effects)] == [HeardKind.REFUSED, HeardKind.KEYPAD]
    assert (spoken(effects), effects[0]) == (["keypad-offered"], Chime.KEYPAD)
    talk, effects = dialogue.heard(talk, unheard())
    assert spoken(effects) == ["refused-not_understood"]
    talk, effects = dialogue.heard(talk, number("20"))
    assert entries(effects)[0].kind is HeardKind.READ_BACK
    assert not talk.over


def test_a_heard_number_ends_the_row_of_refusals() -> None:
    talk, _ = dialogue.heard(Talk(AXIS), unheard())
    talk, _ = dialogue.heard(talk, number("20"))
    _, effects = dialogue.heard(talk, word("no"))
    assert HeardKind.KEYPAD not in [entry.kind for entry in entries(effects)]


def test_an_unclear_answer_to_the_read_back_reads_it_back_again() -> None:
    talk, _ = dialogue.heard(Talk(AXIS), number("20"))
    after, effects = dialogue.heard(talk, unheard())
    assert spoken(effects) == ["read-back"]
    assert after.candidate == talk.candidate


def test_hand_work_ends_with_yes_and_commands_are_commands() -> None:
    done = Asked(Listening.COMMANDS, "en")
    talk, effects = dialogue.heard(Talk(done), word("yes"))
    assert (talk.over, entries(effects)[0].kind, entries(effects)[0].text) == (True, HeardKind.ANSWER, "")
    talk, effects = dialogue.heard(Talk(done), word("help"))
    assert (talk.over, entries(effects)[0].kind, entries(effects)[0].text) == (
        False,
        HeardKind.COMMAND,
        "help",
    )
    talk, effects = dialogue.heard(Talk(done), word("no"))
    assert entries(effects)[0].kind is HeardKind.REFUSED


@pytest.mark.parametrize(("said", "text"), [("yes", "+"), ("no", "-")])
def test_yes_and_no_are_answers_at_once(said: str, text: str) -> None:
    talk, effects = dialogue.heard(Talk(Asked(Listening.YES_NO, "en")), word(said))
    assert (talk.over, entries(effects)[0].text) == (True, text)


def test_again_repeats_a_read_back_and_is_a_command_otherwise() -> None:
    talk, _ = dialogue.heard(Talk(AXIS), number("20"))
    assert spoken(dialogue.command(talk, "again")[1]) == ["read-back"]
    assert entries(dialogue.command(Talk(AXIS), "again")[1])[0].kind is HeardKind.COMMAND


def test_back_during_a_read_back_drops_what_was_heard() -> None:
    talk, _ = dialogue.heard(Talk(AXIS), number("20"))
    talk, effects = dialogue.command(talk, "back")
    assert talk.candidate is None
    assert entries(effects) == [HeardEntry(HeardKind.COMMAND, "back", "back")]


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("reason", Unheard)
def test_everything_it_says_is_a_prompt_of_every_language(language: str, reason: Unheard) -> None:
    bounded = Asked(Listening.LENGTH, language, low=0.0, high=10.0)
    for asked in (bounded, Asked(Listening.DIGITS, language, digits=4), Asked(Listening.YES_NO, language)):
        _, effects = dialogue.heard(Talk(asked), unheard(reason))
        for effect in effects:
            if isinstance(effect, Speak):
                assert say(effect.text_id, language, **effect.args)


def test_a_blind_reading_is_read_back_as_it_was_heard() -> None:
    """Whatever was expected, the only figure in the effects is the one that was heard."""
    _, effects = dialogue.heard(Talk(Asked(Listening.POWER, "en", low=-20, high=20)), number("-2.25"))
    said = [arg for effect in effects if isinstance(effect, Speak) for arg in effect.args.values()]
    figures = [arg.value for arg in said if isinstance(arg, Spoken)]
    assert figures == [Decimal("-2.25")]


POCKET = Asked(Listening.CHECK_NUMBER, "en", may_be_empty=True)


def test_no_says_that_the_pocket_is_empty_and_waits_for_a_yes() -> None:
    talk, effects = dialogue.command(Talk(POCKET), "no", "000007.flac")
    assert entries(effects) == [HeardEntry(HeardKind.READ_BACK, "-", "no", "000007.flac")]
    assert spoken(effects) == ["read-back-empty"]
    talk, effects = dialogue.heard(talk, word("yes"))
    assert entries(effects) == [HeardEntry(HeardKind.ANSWER, "-", "no", "000007.flac")]


def test_a_pocket_that_is_not_empty_is_not_offered_as_empty_again() -> None:
    talk, _ = dialogue.command(Talk(POCKET), "no")
    talk, _ = dialogue.heard(talk, word("no"))
    assert not talk.over
    talk, effects = dialogue.command(talk, "no")
    assert entries(effects)[0].kind is HeardKind.REFUSED


def test_elsewhere_no_is_not_an_answer() -> None:
    talk, effects = dialogue.command(Talk(AXIS), "no")
    assert [entry.kind for entry in entries(effects)] == [HeardKind.REFUSED]
    assert talk.candidate is None
