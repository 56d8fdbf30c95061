"""What is said or listened for: the kinds of value that have words."""

from decimal import Decimal
from enum import StrEnum

Value = Decimal | str
"""A number for axis, power, length, acuity and count; text for digits; an id for yes-no and commands."""

Words = tuple[str, ...]


class Listening(StrEnum):
    DIGITS = "digits"
    """A case number or a supervisor's code, digit by digit."""
    DIGIT = "digit"
    AXIS = "axis"
    """Degrees, 0 to 180."""
    POWER = "power"
    """Signed dioptres. The sign is always said."""
    CYLINDER = "cylinder"
    """Said and heard as a power."""
    LENGTH = "length"
    """Millimetres."""
    CHECK_NUMBER = "check-number"
    """Two digits, kept as text."""
    ACUITY = "acuity"
    """The lower number of a six-metre chart line."""
    COUNT = "count"
    """How many. Said by the program, not listened for."""
    YES_NO = "yes-no"
    COMMANDS = "commands"


CONTEXTS = tuple(kind for kind in Listening if kind is not Listening.COUNT)
"""The contexts that have a grammar to listen with."""

TEXT_KINDS = frozenset(
    {Listening.DIGITS, Listening.DIGIT, Listening.CHECK_NUMBER, Listening.YES_NO, Listening.COMMANDS}
)
"""Kinds whose value is text: leading zeros count, or it is an id."""
