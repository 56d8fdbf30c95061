"""What the helper hears, as text under the picture."""

from collections.abc import Iterable
from dataclasses import dataclass, replace

from assistant.language.prompts import say
from assistant.workflow.effects import Effect, Leave, Listen, Say, Show, Signal
from assistant.workflow.pictures import Outcome, Picture
from assistant.workflow.state import Bench


def caption(effect: Say, language: str) -> str:
    """The sentence of a `Say`, numbers spelt in words."""
    return say(effect.text_id, language, **effect.args)


def named(bench: Bench, listening: Listen) -> str:
    """The plain-mode prompt line: step, eye and field by their ids, the same in every language."""
    eye = bench.current.eye
    return " ".join(part for part in (listening.step, eye.value if eye else "", listening.field, ">") if part)


def language_of(bench: Bench) -> str:
    """What is spoken to the helper at this bench, once that is known."""
    return bench.day.language if bench.day is not None else "en"


def own_language(bench: Bench) -> str:
    """What the helper speaks, where it is another language than the bench's; else empty."""
    return bench.day.own if bench.day is not None else ""


@dataclass(frozen=True, slots=True)
class Summary:
    """What effects ask of a screen, all in all."""

    outcome: Outcome | None = None
    picture: Picture | None = None
    said: tuple[str, ...] = ()
    """Captions, in order."""
    listening: Listen | None = None
    leave: bool = False


def summed_up(effects: Iterable[Effect], language: str) -> Summary:
    told = Summary()
    for effect in effects:
        match effect:
            case Signal(tone):
                told = replace(told, outcome=Outcome(tone.value))
            case Show(picture):
                told = replace(told, picture=picture)
            case Say():
                told = replace(told, said=(*told.said, caption(effect, language)))
            case Listen():
                told = replace(told, listening=effect)
            case Leave():
                told = replace(told, leave=True)
    return told
