"""The talk about one entry, as a fold: heard, read back, confirmed. No sound, no clock; effects are data.

Rules
- A number is an answer only after it was read back and confirmed, by "yes" or by Enter. What is read back is
  what was heard and nothing else, so that a blind reading stays blind.
- "No" clears it, and the same value is not offered again for this entry.
- Yes and no themselves, and "yes" where only the end of hand work is told, are answers at once.
- After two refusals in a row the keypad is offered; listening goes on beside it.
- Again, back, help and stop are commands at any moment, except that "again" during a read-back repeats it.
"""

from dataclasses import dataclass, field, replace

from assistant.language.keypad import keyed
from assistant.language.listening import Listening, Value
from assistant.language.parse import Unheard
from assistant.language.prompts import NONE, Spoken
from assistant.speech.heard import HeardEntry, HeardKind
from assistant.speech.tones import Chime
from assistant.speech.understanding import NOT_READ_BACK, Asked, Understanding

REFUSALS_BEFORE_KEYPAD = 2
CONFIRM = "yes"
EMPTY = "-"
"""What the keypad would have keyed for a pocket with nothing in it."""


@dataclass(frozen=True, slots=True)
class Candidate:
    """A value that waits for its yes."""

    value: Value
    heard: str
    clip: str | None


@dataclass(frozen=True, slots=True)
class Talk:
    """Where the talk about one entry stands."""

    asked: Asked
    candidate: Candidate | None = None
    denied: frozenset[Value] = frozenset()
    refusals: int = 0
    over: bool = False
    """The entry has its answer."""

    @property
    def listening(self) -> Asked:
        """What is listened for now: the entry, or the yes to what was read back."""
        return self.asked if self.candidate is None else Asked(Listening.YES_NO, self.asked.language)


@dataclass(frozen=True, slots=True)
class Speak:
    text_id: str
    args: dict[str, Spoken | str] = field(default_factory=dict)


Effect = Speak | Chime | HeardEntry
Told = tuple[Talk, tuple[Effect, ...]]


def heard(talk: Talk, understanding: Understanding, clip: str | None = None) -> Told:
    """An utterance came in, understood as what `talk.listening` asks for."""
    if not understanding.accepted or understanding.value is None:
        return _refused(talk, understanding)
    if talk.candidate is not None:
        return confirmed(talk, understanding.value == CONFIRM)
    candidate = Candidate(understanding.value, understanding.words, clip)
    if talk.asked.listening is Listening.COMMANDS:
        return _done(talk, candidate) if candidate.value == CONFIRM else command(talk, str(candidate.value))
    if talk.asked.listening in NOT_READ_BACK or not talk.asked.read_back:
        return _answered(talk, candidate)
    return _waiting(talk, candidate)


def _waiting(talk: Talk, candidate: Candidate) -> Told:
    """Read back; it waits for its yes."""
    return replace(talk, candidate=candidate, refusals=0), (
        Chime.HEARD,
        HeardEntry(HeardKind.READ_BACK, _keyed(talk, candidate), candidate.heard, candidate.clip),
        _read_back(talk, candidate),
    )


def confirmed(talk: Talk, yes: bool) -> Told:
    """Yes or no to what was read back, said or keyed. Without anything read back it changes nothing."""
    if talk.candidate is None:
        return talk, ()
    if yes:
        return _answered(talk, talk.candidate)
    denied = talk.denied | {talk.candidate.value}
    asked_again = replace(talk, candidate=None, denied=denied)
    return _refused(asked_again, Understanding(talk.candidate.heard, 0.0), said="say-again")


def means_empty(talk: Talk, name: str) -> bool:
    """Whether a command says that there is nothing in the pocket."""
    free = talk.candidate is None and EMPTY not in talk.denied
    return name == "no" and talk.asked.may_be_empty and free


def command(talk: Talk, name: str, clip: str | None = None) -> Told:
    """A command was said instead of an answer."""
    if name == "again" and talk.candidate is not None:
        return talk, (_read_back(talk, talk.candidate),)
    if means_empty(talk, name):
        return _waiting(talk, Candidate(EMPTY, name, clip))
    if name == "no" and talk.candidate is None:
        return _refused(talk, Understanding(name, 0.0, reason=Unheard.NOT_UNDERSTOOD))
    return replace(talk, candidate=None), (Chime.HEARD, HeardEntry(HeardKind.COMMAND, name, name))


def _refused(talk: Talk, understanding: Understanding, said: str = "") -> Told:
    refusals = talk.refusals + 1
    told = HeardEntry(HeardKind.REFUSED, understanding.reason or "", understanding.words)
    talk = replace(talk, refusals=refusals)
    if refusals == REFUSALS_BEFORE_KEYPAD:
        return talk, (Chime.KEYPAD, told, HeardEntry(HeardKind.KEYPAD), Speak("keypad-offered"))
    if talk.candidate is not None:
        return talk, (Chime.REFUSED, told, _read_back(talk, talk.candidate))
    return talk, (Chime.REFUSED, told, Speak(said or f"refused-{understanding.reason}", _limits(talk.asked)))


def _answered(talk: Talk, candidate: Candidate) -> Told:
    entry = HeardEntry(HeardKind.ANSWER, _keyed(talk, candidate), candidate.heard, candidate.clip)
    return replace(talk, candidate=None, over=True), (entry,)


def _done(talk: Talk, candidate: Candidate) -> Told:
    """Enter alone: the hand work is finished."""
    return replace(talk, over=True), (HeardEntry(HeardKind.ANSWER, "", candidate.heard, candidate.clip),)


def _read_back(talk: Talk, candidate: Candidate) -> Speak:
    if candidate.value == EMPTY:
        return Speak("read-back-empty")
    return Speak("read-back", {"value": Spoken(talk.asked.listening, candidate.value)})


def _keyed(talk: Talk, candidate: Candidate) -> str:
    return keyed(candidate.value, talk.asked.listening)


def _limits(asked: Asked) -> dict[str, Spoken | str]:
    """The figures that a refusal may name; a prompt takes those that it has a place for."""
    limits: dict[str, Spoken | str] = {"low": NONE, "high": NONE}
    if asked.low is not None and asked.high is not None:
        limits = {"low": Spoken(asked.listening, asked.low), "high": Spoken(asked.listening, asked.high)}
    if asked.digits is not None:
        limits["count"] = Spoken(Listening.COUNT, asked.digits)
    return limits
