"""A spoken value as the keypad would have keyed it, so that one reader serves both."""

from decimal import Decimal

from assistant.language.listening import Listening, Value

_KEYS = {"yes": "+", "no": "-"}


def keyed(value: Value, listening: Listening) -> str:
    """ "-2.25", "+3", "175", "07"; `+` for yes and `-` for no. A command keeps its id."""
    if isinstance(value, str):
        return _KEYS.get(value, value) if listening is Listening.YES_NO else value
    if listening in (Listening.POWER, Listening.CYLINDER) and value:
        return f"{value.normalize():+f}"
    return f"{Decimal(0) if not value else value.normalize():f}"
