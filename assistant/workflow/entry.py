"""One entry: the keyed text, read for the field that is listened for."""

import re
from decimal import Decimal
from typing import Final

from assistant.workflow.effects import Listen
from assistant.workflow.events import Source
from assistant.workflow.state import Refusal, Value
from assistant.workflow.steps import FieldKind

NOT_THERE: Final = "-"
"""Keyed for a check number: the pocket is empty."""
NOT_SAID: Final = "-"
"""What counts for a number that was to be said and was keyed, or not understood."""
NOT_HEARD: Final = "?"
"""What counts for a number for which nothing could be listened to: it tells nothing of the helper."""
LEAVE: Final = "0"
"""Keyed for the supervisor's decision: leave the program."""
YES, NO = "+", "-"
MOST_CASE_DIGITS: Final = 8

_NUMBER: Final = re.compile(r"[+-]?(\d{1,3}(\.\d{0,3})?|\.\d{1,3})")
"""Three places: there are focimeters with steps of 0.125 D."""
_WHOLE_KINDS: Final = (FieldKind.DIGIT, FieldKind.AXIS, FieldKind.ACUITY)


def read_entry(text: str, wanted: Listen, source: Source = Source.KEYPAD) -> Value | Refusal:
    """The value of `text`, or why it cannot be accepted; nothing is clipped or rounded."""
    match wanted.kind:
        case FieldKind.DONE:
            return True if text == "" else Refusal("only_enter")
        case FieldKind.YES_NO:
            return _yes_no(text, wanted)
        case FieldKind.SAID:
            return text if source is Source.VOICE else NOT_SAID
        case FieldKind.CHECK_NUMBER if text == NOT_THERE:
            return NOT_THERE
        case FieldKind.CHECK_NUMBER | FieldKind.DIGITS:
            return _kept_text(text, wanted)
        case _:
            return _number(text, wanted)


def _yes_no(text: str, wanted: Listen) -> Value | Refusal:
    if wanted.step == "supervisor" and text == LEAVE:
        return LEAVE
    if text in (YES, NO):
        return text == YES
    return Refusal("yes_or_no")


def _kept_text(text: str, wanted: Listen) -> Value | Refusal:
    """Digits that are a name, not a number: leading zeros count."""
    if not (text.isascii() and text.isdigit()):
        return Refusal("not_a_number")
    most = wanted.digits or MOST_CASE_DIGITS
    if len(text) > most or (wanted.digits is not None and len(text) < wanted.digits):
        return Refusal("wrong_length", {"count": float(most)})
    return text


def _number(text: str, wanted: Listen) -> Value | Refusal:
    if _NUMBER.fullmatch(text) is None:
        return Refusal("not_a_number")
    value = Decimal(text)
    if wanted.kind is FieldKind.POWER and value and text[0] not in "+-":
        return Refusal("needs_sign")
    if wanted.kind is FieldKind.CYLINDER and value and text[0] not in "+-":
        return Refusal("needs_sign")
    if wanted.kind in _WHOLE_KINDS and value != value.to_integral_value():
        return Refusal("not_whole")
    low, high = wanted.low, wanted.high
    if low is not None and high is not None and not low <= value <= high:
        return Refusal("out_of_range", {"low": low, "high": high})
    return float(value)
