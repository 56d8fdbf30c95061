"""The start of the day finds out whether the helper is understood; the outcome is in the record, old records hold."""

import pytest
from hands import Hands, hands_on

from assistant.kit.load import demo_kit
from assistant.workflow.agenda import trail
from assistant.workflow.effects import Effect, Listen, Say, Show, Signal, Tone
from assistant.workflow.entry import NOT_HEARD
from assistant.workflow.events import Answered, Room, Source, TakenBack, VoiceTried
from assistant.workflow.pictures import VoicePicture
from assistant.workflow.steps import FieldKind

NUMBERS = ("74", "38", "62", "95")


def asked(room: Room | None = Room.GOOD, numbers: tuple[str, ...] = NUMBERS) -> Hands:
    """A bench whose helper hears the sound and is asked to say four numbers."""
    hands = hands_on(demo_kit())
    hands.until("zero")
    hands.send(VoiceTried(at=hands.tick(), numbers=numbers, room=room, noise_db=-55.0, clipped=0.0))
    return hands


def say(hands: Hands, text: str, source: Source = Source.VOICE) -> tuple[Effect, ...]:
    wanted = hands.listening()
    event = Answered(
        at=hands.tick(), step="voice", field=wanted.field, text=text, source=source, heard="said"
    )
    return hands.send(event)


def shown(effects: tuple[Effect, ...]) -> VoicePicture:
    picture = next(effect.picture for effect in effects if isinstance(effect, Show))
    assert isinstance(picture, VoicePicture)
    return picture


def said(effects: tuple[Effect, ...]) -> list[str]:
    return [effect.text_id for effect in effects if isinstance(effect, Say)]


def test_each_number_is_shown_said_and_listened_for() -> None:
    hands = asked()
    for count, number in enumerate(NUMBERS):
        effects = hands.effects[-1]
        assert shown(effects) == VoicePicture(number, Room.GOOD, count, 4)
        naming = [e for e in effects if isinstance(e, Say) and e.text_id.startswith("field-")]
        assert [getattr(e.args["number"], "value", None) for e in naming] == [number]
        assert hands.listening().kind is FieldKind.SAID
        say(hands, number)
    assert hands.bench.current.step == "zero"


@pytest.mark.parametrize(
    ("heard", "understood"),
    [
        (NUMBERS, True),
        (("74", "38", "62", "55"), True),
        (("74", "33", "62", "55"), False),
        (("-", "-", "-", "-"), False),
    ],
)
def test_three_of_four_make_a_helper_who_is_understood(heard: tuple[str, ...], understood: bool) -> None:
    hands = asked()
    for text in heard:
        effects = say(hands, text)
    assert hands.bench.the_day.voice is understood
    assert hands.bench.current.step == "zero"
    assert ("voice-understood" if understood else "voice-keypad-first") in said(effects)
    assert (Signal(Tone.RIGHT) if understood else Signal(Tone.WAIT)) in effects


@pytest.mark.parametrize(
    ("heard", "understood"),
    [
        (("?", "?", "?", "?"), None),
        (("74", "38", "?", "-"), None),
        (("74", "?", "62", "95"), True),
        (("74", "-", "?", "-"), False),
    ],
)
def test_numbers_that_could_not_be_listened_to_tell_nothing_of_the_helper(
    heard: tuple[str, ...], understood: bool | None
) -> None:
    hands = asked()
    for text in heard:
        effects = say(hands, text)
    day = hands.bench.the_day
    assert (day.voice, bool(day.numbers)) == (understood, understood is not None)
    assert hands.bench.current.step == "zero"
    assert ("voice-asked-later" in said(effects)) is (understood is None)


def test_what_could_not_be_told_is_asked_again_before_the_next_pair_and_no_sooner() -> None:
    hands = asked()
    for _ in range(4):
        say(hands, NOT_HEARD)
    for until in ("fetch", "hand_over"):
        hands.until(until)
        before = hands.bench
        hands.send(VoiceTried(at=hands.tick(), numbers=NUMBERS))
        assert hands.bench is before, "never in the middle of a pair"
    hands.key("")
    assert hands.bench.current.step == "order"
    again = ("12", "34", "56", "78")
    hands.send(VoiceTried(at=hands.tick(), numbers=again))
    for number in again:
        assert hands.bench.current.step == "voice"
        say(hands, number)
    assert hands.bench.the_day.voice is True
    assert hands.bench.current.step == "order"
    before = hands.bench
    hands.send(VoiceTried(at=hands.tick(), numbers=NUMBERS))
    assert hands.bench is before, "who is understood is not asked again"


def test_who_keys_the_numbers_gets_the_keypad() -> None:
    hands = asked()
    for number in NUMBERS:
        say(hands, number, Source.KEYPAD)
    assert hands.bench.the_day.voice is False


def test_a_room_that_is_too_loud_asks_for_nothing_but_enter() -> None:
    hands = asked(Room.BAD)
    assert shown(hands.effects[-1]) == VoicePicture(None, Room.BAD, 0, 4)
    assert hands.listening() == Listen("voice", "done", FieldKind.DONE)
    hands.key("")
    assert (hands.bench.the_day.voice, hands.bench.the_day.room) == (False, Room.BAD)
    assert hands.bench.current.step == "zero"


def test_the_job_goes_on_whatever_came_of_it() -> None:
    for room in (Room.BAD, None):
        hands = asked(room)
        hands.until("hand_over")
        hands.key("")
        assert [done.outcome for done in hands.bench.closed] == ["handed_over"]


def test_a_day_without_it_is_as_it_always_was() -> None:
    hands = hands_on(demo_kit())
    hands.until("order")
    assert hands.bench.the_day.voice is None
    assert "voice" not in {event.step for event in hands.events if isinstance(event, Answered)}


def test_back_takes_a_number_back_and_then_the_whole_check() -> None:
    hands = asked()
    say(hands, "74")
    hands.send(TakenBack(at=hands.tick()))
    assert shown(hands.effects[-1]).said == 0
    hands.send(TakenBack(at=hands.tick()))
    assert hands.bench.current.step == "sound"
    assert hands.bench.the_day.numbers == ()


@pytest.mark.parametrize("numbers", [(), ("74",), ("74", "38", "62", "9"), ("74", "38", "62", "9x")])
def test_numbers_that_cannot_be_said_change_nothing(numbers: tuple[str, ...]) -> None:
    hands = asked(numbers=numbers)
    assert hands.bench.current.step == "zero"
    assert said(hands.effects[-1]) == ["refused-not_asked", "step-zero"]


def test_it_comes_once_a_day_after_sound_and_never_amid_an_entry() -> None:
    hands = asked()
    for number in NUMBERS:
        say(hands, number)
    for until in ("reference", "fetch"):
        hands.until(until)
        before = hands.bench
        hands.send(VoiceTried(at=hands.tick(), numbers=NUMBERS))
        assert hands.bench is before
    silent = hands_on(demo_kit())
    silent.until("sound")
    silent.key("-")
    silent.send(VoiceTried(at=silent.tick(), numbers=NUMBERS))
    assert silent.bench.current.step == "zero"


def test_the_trail_shows_it_between_sound_and_the_focimeter() -> None:
    way, place = trail(asked().bench)
    assert [item.step for item in way[place - 1 : place + 2]] == ["sound", "voice", "zero"]
