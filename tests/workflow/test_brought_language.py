"""A language without sentences, brought to a bench: chosen by its number, heard in it, spoken to in another."""

import pytest
from hands import Hands, hands_on

from assistant.journal.codec import FIRST_PREVIOUS
from assistant.journal.events import EVENTS
from assistant.kit.load import demo_kit
from assistant.language.lexicon import LANGUAGES
from assistant.workflow.checks_day import MOST_BROUGHT
from assistant.workflow.effects import Show
from assistant.workflow.events import DayOpened, TakenBack
from assistant.workflow.pictures import LanguagePicture

BROUGHT = {"tq": "sw", "aa": "fr"}


def opened(brought: dict[str, str] = BROUGHT) -> Hands:
    """At the choice of a language."""
    hands = hands_on(demo_kit())
    hands.send(DayOpened(at=hands.tick(), date="2026-11-03", brought=brought))
    hands.key("1")
    assert hands.bench.current.step == "language"
    return hands


def spoken_and_heard(hands: Hands) -> tuple[str, str]:
    day = hands.bench.the_day
    return day.language, day.heard


@pytest.mark.parametrize(
    ("number", "spoken", "heard"),
    [("4", "sw", "sw"), ("5", "sw", "tq"), ("6", "fr", "aa"), ("1", "en", "en")],
)
def test_the_number_of_a_language_chooses_what_is_spoken_and_what_is_heard(
    number: str, spoken: str, heard: str
) -> None:
    hands = opened()
    shown = [effect.picture for effect in hands.effects[-1] if isinstance(effect, Show)]
    assert shown == [LanguagePicture((*LANGUAGES, "tq", "aa"))]
    hands.key(number)
    assert spoken_and_heard(hands) == (spoken, heard)


def test_a_number_that_no_language_has_is_refused() -> None:
    hands = opened({"tq": "sw"})
    hands.key("6")
    assert hands.bench.current.step == "language"
    assert hands.bench.refusal is not None


def test_the_language_of_yesterday_holds_until_another_is_chosen() -> None:
    hands = opened()
    hands.key("5")
    hands.send(DayOpened(at=hands.tick(), date="2026-11-04", brought={"tq": "pt"}))
    assert spoken_and_heard(hands) == ("pt", "tq")
    hands.send(DayOpened(at=hands.tick(), date="2026-11-05"))
    assert spoken_and_heard(hands) == ("pt", "pt")


@pytest.mark.parametrize(
    "brought",
    [{"en": "sw"}, {"tq": "qq"}, {"tq": "tq"}, {f"l{n}": "en" for n in range(MOST_BROUGHT + 1)}],
)
def test_languages_that_no_bench_would_bring_are_passed_over(brought: dict[str, str]) -> None:
    hands = opened(brought)
    assert hands.bench.the_day.languages == LANGUAGES


def test_a_day_without_such_a_language_is_written_as_ever_and_one_with_it_reads_back() -> None:
    plain = DayOpened(at=1.0, date="2026-11-02")
    line = EVENTS.encode(plain, seq=1, bench="heron", previous=FIRST_PREVIOUS)
    assert b'"event":{"kind":"day_opened","date":"2026-11-02","at":1.0}' in line
    with_it = DayOpened(at=1.0, date="2026-11-02", brought=BROUGHT)
    line = EVENTS.encode(with_it, seq=1, bench="heron", previous=FIRST_PREVIOUS)
    event = EVENTS.decode(line, 1, FIRST_PREVIOUS).event
    assert isinstance(event, DayOpened)
    assert list(event.brought.items()) == list(BROUGHT.items())


def test_taking_the_choice_back_brings_the_language_back() -> None:
    hands = opened()
    before = hands.bench.the_day
    hands.key("5")
    assert hands.bench.the_day != before
    hands.send(TakenBack(at=hands.tick()))
    assert hands.bench.the_day == before
