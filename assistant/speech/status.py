"""What of sound works, for the face on the screen and for `assistant doctor`."""

from dataclasses import dataclass, field, replace
from enum import StrEnum

from assistant.speech.errors import Trouble


class State(StrEnum):
    OK = "ok"
    MISSING = "missing"
    """It was never there."""
    FAILED = "failed"
    """It worked, or ought to."""


@dataclass(frozen=True, slots=True)
class Part:
    state: State = State.OK
    code: Trouble | None = None
    why: str = ""
    """One sentence, with what to do where that is known."""


@dataclass(frozen=True, slots=True)
class Status:
    microphone: Part = field(default_factory=Part)
    speaker: Part = field(default_factory=Part)
    model: Part = field(default_factory=Part)
    voice: Part = field(default_factory=Part)
    clips: Part = field(default_factory=Part)

    @property
    def can_listen(self) -> bool:
        return self.microphone.state is State.OK and self.model.state is State.OK

    @property
    def can_speak(self) -> bool:
        return self.speaker.state is State.OK and self.voice.state is State.OK

    def troubled(self, code: Trouble, why: str, device: str = "microphone") -> "Status":
        """The status after this trouble. `device`: the one that was wanted, where the trouble does not say which.

        A speaker that cannot be had says nothing of the microphone: that may be no device of this machine.
        """
        state = State.FAILED if code in _FAILED else State.MISSING
        return replace(self, **{_PART_OF.get(code, device): Part(state, code, why)})

    def well(self, *names: str) -> "Status":
        """The status after these parts were seen to work."""
        return replace(self, **{name: Part() for name in names})


_PART_OF = {
    Trouble.MICROPHONE_MISSING: "microphone",
    Trouble.MICROPHONE_GONE: "microphone",
    Trouble.SPEAKER_MISSING: "speaker",
    Trouble.SPEAKER_GONE: "speaker",
    Trouble.NO_SYNTHESISER: "voice",
    Trouble.VOICE_MISSING: "voice",
    Trouble.NOT_WORDS: "voice",
    Trouble.NOT_A_SOUND: "voice",
    Trouble.NO_RECOGNISER: "model",
    Trouble.MODEL_MISSING: "model",
    Trouble.MODEL_DAMAGED: "model",
    Trouble.LISTENING_FAILED: "model",
    Trouble.SPEAKING_FAILED: "voice",
    Trouble.DISK_FULL: "clips",
}
_FAILED = frozenset(
    {
        Trouble.MICROPHONE_GONE,
        Trouble.SPEAKER_GONE,
        Trouble.MODEL_DAMAGED,
        Trouble.LISTENING_FAILED,
        Trouble.SPEAKING_FAILED,
        Trouble.DISK_FULL,
        Trouble.NOT_WORDS,
        Trouble.NOT_A_SOUND,
    }
)
