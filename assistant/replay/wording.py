"""A moment in a trainer's plain English, and in the words that the helper heard. Pure."""

from collections.abc import Iterable
from functools import singledispatch

from assistant.hub.words import ASKING, CAUSES, DOING, HELPER_SIGNS
from assistant.language.lexicon_file import LanguageError
from assistant.language.prompts import say
from assistant.replay.mistakes import Mistake, MistakeKind
from assistant.replay.moments import Moment
from assistant.workflow.effects import Ask, Effect, Listen, Say
from assistant.workflow.events import (
    Answered,
    AskedAgain,
    BankShared,
    DayOpened,
    Event,
    HelpAsked,
    OrderHandedOver,
    Source,
    StockCounted,
    SupervisorAnswered,
    TakenBack,
    VoiceTried,
)
from assistant.workflow.present import spoken_args
from assistant.workflow.state import Bench, Item

SECRET = "supervisor"
"""Step whose code is not written out again."""


def doing(item: Item) -> str:
    """The step and the eye it is done for."""
    words = DOING.get(item.step, item.step.replace("_", " "))
    return words if item.eye is None else f"{words}, {item.eye.value} eye"


def helper_sign(number: int | None) -> str:
    """A helper by their picture."""
    if number is None:
        return "nobody yet"
    known = 1 <= number <= len(HELPER_SIGNS)
    return f"{HELPER_SIGNS[number - 1]} ({number})" if known else f"helper {number}"


@singledispatch
def happened(event: Event) -> str:
    """What was entered, asked or answered."""
    raise TypeError(f"no words for {type(event).__name__}")


@happened.register
def _(event: Answered) -> str:
    name = event.field.replace("_", " ")
    text = "****" if (event.step, event.field) == (SECRET, "code") else event.text or "Enter"
    if event.source is Source.VOICE:
        clip = "" if event.clip is None else f" (clip {event.clip})"
        return f"{name}: said “{event.heard or ''}”, taken as {text}{clip}"
    return f"{name}: keyed {text}"


@happened.register
def _(event: DayOpened) -> str:
    besides = ", ".join(f"{code} (spoken to in {spoken})" for code, spoken in event.brought.items())
    return f"the day is opened: {event.date}" + (f"; languages besides: {besides}" if besides else "")


@happened.register
def _(event: OrderHandedOver) -> str:
    return f"order {event.order.case} is handed over"


@happened.register
def _(event: VoiceTried) -> str:
    room = "" if event.room is None else f"; the room is {event.room.value.replace('_', ' ')}"
    return f"the helper is to say {', '.join(event.numbers)}{room}"


@happened.register
def _(event: TakenBack) -> str:
    return "the last entry is taken back"


@happened.register
def _(event: AskedAgain) -> str:
    return "asked to hear it again"


@happened.register
def _(event: HelpAsked) -> str:
    return "called for help"


@happened.register
def _(event: SupervisorAnswered) -> str:
    reason = f": {event.reason}" if event.reason else ""
    return f"the supervisor answers {'yes' if event.yes else 'no'}{reason}"


@happened.register
def _(event: StockCounted) -> str:
    return f"pocket {event.pocket} was counted: {event.count}"


@happened.register
def _(event: BankShared) -> str:
    return "the board told what the other benches hold"


def mistake_words(found: Mistake, after: Bench) -> str:
    """What went wrong, in a sentence."""
    where = "" if found.eye is None else f", {found.eye.value} eye"
    match found.kind:
        case MistakeKind.REFUSED:
            args = {} if after.refusal is None else after.refusal.args
            return f"not accepted{where}: {said(Say(f'refused-{found.code}', spoken_args(args)), 'en')}"
        case MistakeKind.FAILED:
            return f"did not pass{where}: {CAUSES.get(found.code, found.code)}"
        case MistakeKind.TAKEN_BACK:
            return f"entered by mistake and taken back{where}"
        case MistakeKind.BROKEN:
            return f"lens broken{where}"
        case MistakeKind.SET_ASIDE:
            return f"lens set aside{where}"


def mistakes_words(moment: Moment) -> tuple[str, ...]:
    return tuple(mistake_words(found, moment.after) for found in moment.mistakes)


def said(effect: Say, language: str) -> str:
    """The sentence of a prompt. One that cannot be put in words is named: an old or odd record may hold it."""
    try:
        return say(effect.text_id, language, **effect.args)
    except LanguageError as error:
        return f"({effect.text_id}: {error})"


def all_said(effects: Iterable[Effect], language: str) -> tuple[str, ...]:
    """Everything that was said after the event, in turn."""
    return tuple(said(effect, language) for effect in effects if isinstance(effect, Say))


def asked_of_supervisor(effects: Iterable[Effect]) -> tuple[str, ...]:
    """Questions that the event opened."""
    return tuple(
        ASKING[effect.question].title if effect.question in ASKING else effect.question
        for effect in effects
        if isinstance(effect, Ask)
    )


def waited_for(effects: Iterable[Effect]) -> str:
    """The entry that was wanted next; empty for none."""
    wanted = next((effect for effect in effects if isinstance(effect, Listen)), None)
    return "" if wanted is None else wanted.field.replace("_", " ")


def lasting(seconds: float) -> str:
    """9.4 s; 24 s; 4 min 05 s; 2 h 03 min."""
    if seconds < 59.5:
        return f"{seconds:.{0 if seconds >= 9.95 else 1}f} s"
    minutes, rest = divmod(round(seconds), 60)
    return f"{minutes} min {rest:02d} s" if minutes < 60 else f"{minutes // 60} h {minutes % 60:02d} min"
