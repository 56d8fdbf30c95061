"""Keyed figures as they are read."""

import pytest

from assistant.workflow.effects import Listen
from assistant.workflow.entry import read_entry
from assistant.workflow.state import Refusal
from assistant.workflow.steps import FieldKind

POWER = Listen("check", "sphere", FieldKind.POWER, -25.0, 25.0)


@pytest.mark.parametrize(
    ("keyed", "value"), [("+0.125", 0.125), ("-2.375", -2.375), ("-.5", -0.5), ("0", 0.0)]
)
def test_eighths_of_a_dioptre_can_be_keyed(keyed: str, value: float) -> None:
    assert read_entry(keyed, POWER) == value


@pytest.mark.parametrize("keyed", ["-2.3755", "1.5", "-", "", "2..5", "-26"])
def test_what_is_no_power_is_refused(keyed: str) -> None:
    assert isinstance(read_entry(keyed, POWER), Refusal)
