"""How long a moment stays while a session plays by itself. Pure."""

from typing import Final

from assistant.replay.moments import Moment

SPEEDS: Final = (0.5, 1.0, 2.0, 5.0, 10.0, 20.0)
USUAL_SPEED: Final = 5.0
LEAST_WAIT_S: Final = 0.05
"""Two events of one moment are still shown one after the other."""
LONGEST_WAIT_S: Final = 8.0
"""A power cut or a long wait for the supervisor is passed over; the time that went by is shown."""


def speed_of(text: str) -> float:
    """A speed from its figure. Raises `ValueError` for one that is not between the slowest and the fastest."""
    allowed = f"allowed is a number from {SPEEDS[0]:g} to {SPEEDS[-1]:g}"
    try:
        speed = float(text)
    except ValueError as error:
        raise ValueError(f"speed {text!r} is no number; {allowed}") from error
    if not SPEEDS[0] <= speed <= SPEEDS[-1]:
        raise ValueError(f"speed {text} is too slow or too fast; {allowed}")
    return speed


def faster(speed: float) -> float:
    """The next speed of the row; the fastest stays."""
    return next((one for one in SPEEDS if one > speed), SPEEDS[-1])


def slower(speed: float) -> float:
    return next((one for one in reversed(SPEEDS) if one < speed), SPEEDS[0])


def wait_s(now: Moment, following: Moment, speed: float) -> float:
    """Seconds until the following moment is shown; the least where the bench's clock was set back."""
    return min(LONGEST_WAIT_S, max(LEAST_WAIT_S, (following.at - now.at) / speed))
