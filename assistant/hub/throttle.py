"""Secrets at the door: a code to pair with, tokens, and a wait after wrong ones. Time comes from outside."""

import hashlib
import hmac
import secrets
from typing import Final

from assistant.hub.protocol import PAIRING_DIGITS

MOST_WRONG: Final = 5
WAIT_S: Final = 60.0


def token_hash(token: str) -> str:
    """What is kept of a token. It is 256 random bits, so a plain hash cannot be guessed back."""
    return hashlib.sha256(token.encode()).hexdigest()


def new_token() -> str:
    return secrets.token_urlsafe(32)


def new_code() -> str:
    return f"{secrets.randbelow(10**PAIRING_DIGITS):0{PAIRING_DIGITS}d}"


def same(given: str, wanted: str) -> bool:
    """Compared in a time that tells nothing."""
    return hmac.compare_digest(given.encode(), wanted.encode())


class Throttle:
    """Five wrong ones, from wherever they come, and nobody is listened to for a minute."""

    def __init__(self) -> None:
        self._wrong = 0
        self._until = 0.0

    def waits(self, now: float) -> float:
        """Seconds still to wait; 0 when a code may be tried. A clock that was set back makes it no longer."""
        self._until = min(self._until, now + WAIT_S)
        return max(0.0, self._until - now)

    def wrong(self, now: float) -> bool:
        """Count one wrong code; true when the wait begins with it."""
        self._wrong += 1
        if self._wrong < MOST_WRONG:
            return False
        self._wrong, self._until = 0, now + WAIT_S
        return True

    def right(self) -> None:
        self._wrong = 0
