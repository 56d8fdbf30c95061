"""What the helper hears, as text under the picture."""

from assistant.language.prompts import say
from assistant.workflow.effects import Listen, Say
from assistant.workflow.state import Bench


def caption(effect: Say, language: str) -> str:
    """The sentence of a `Say`, numbers spelt in words."""
    return say(effect.text_id, language, **effect.args)


def named(bench: Bench, listening: Listen) -> str:
    """The plain-mode prompt line: step, eye and field by their ids, the same in every language."""
    eye = bench.current.eye
    return " ".join(part for part in (listening.step, eye.value if eye else "", listening.field, ">") if part)
