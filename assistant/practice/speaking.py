"""What a helper says instead of keying: the words of an entry, as the language spells it."""

from decimal import Decimal
from typing import Final

from assistant.language.listening import TEXT_KINDS, Listening
from assistant.language.parse import parse
from assistant.language.spell import spell_number
from assistant.workflow.effects import Listen
from assistant.workflow.steps import FieldKind

KEYED_ONLY: Final = frozenset({"helper", "language", "sound", "supervisor"})
"""Steps that a helper in a recorded session keys whatever else is said."""
_YES_OR_NO: Final = {"+": "yes", "": "yes", "-": "no"}


def words_for(text: str, wanted: Listen, language: str) -> str | None:
    """The words for what would be keyed; digit by digit where the number could be taken for another.

    None where nobody listens for such words, as for a hundredth of a millimetre: the helper keys it.
    """
    if wanted.kind in (FieldKind.DONE, FieldKind.YES_NO):
        return spell_number(_YES_OR_NO[text], Listening.COMMANDS, language)
    if wanted.kind is FieldKind.SAID:
        return spell_number(text, Listening.CHECK_NUMBER, language) if text else None
    listening = Listening[wanted.kind.name]
    if listening in TEXT_KINDS:
        return spell_number(text, listening, language)
    ways = [spell_number(Decimal(text), listening, language)]
    if text.isdigit():
        ways.append(spell_number(text, Listening.DIGITS, language))
    return next((words for words in ways if parse(words, listening, language).accepted), None)
