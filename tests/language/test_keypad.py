"""A spoken value as it would have been keyed."""

from decimal import Decimal

import pytest

from assistant.language.keypad import keyed
from assistant.language.listening import Listening, Value


@pytest.mark.parametrize(
    ("value", "listening", "text"),
    [
        (Decimal("-2.25"), Listening.POWER, "-2.25"),
        (Decimal("3.00"), Listening.POWER, "+3"),
        (Decimal("20"), Listening.CYLINDER, "+20"),
        (Decimal("0.00"), Listening.POWER, "0"),
        (Decimal("0.80"), Listening.LENGTH, "0.8"),
        (Decimal("100"), Listening.AXIS, "100"),
        ("07", Listening.CHECK_NUMBER, "07"),
        ("yes", Listening.YES_NO, "+"),
        ("no", Listening.YES_NO, "-"),
        ("again", Listening.COMMANDS, "again"),
    ],
)
def test_keyed(value: Value, listening: Listening, text: str) -> None:
    assert keyed(value, listening) == text
