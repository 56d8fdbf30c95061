"""Trouble with sound, as a code (for the prompts and the face on the screen) and one plain sentence."""

from enum import StrEnum


class Trouble(StrEnum):
    NO_PORTAUDIO = "no_portaudio"
    MICROPHONE_MISSING = "microphone_missing"
    MICROPHONE_GONE = "microphone_gone"
    SPEAKER_MISSING = "speaker_missing"
    SPEAKER_GONE = "speaker_gone"
    NO_SYNTHESISER = "no_synthesiser"
    VOICE_MISSING = "voice_missing"
    NO_RECOGNISER = "no_recogniser"
    MODEL_MISSING = "model_missing"
    MODEL_DAMAGED = "model_damaged"
    LISTENING_FAILED = "listening_failed"
    SPEAKING_FAILED = "speaking_failed"
    DISK_FULL = "disk_full"
    NOT_WORDS = "not_words"
    NOT_A_SOUND = "not_a_sound"


class SpeechError(Exception):
    """Something about sound that cannot be had. The bench goes on by keypad."""

    def __init__(self, code: Trouble, sentence: str) -> None:
        super().__init__(sentence)
        self.code = code


def unforeseen(code: Trouble, what: str, error: Exception) -> SpeechError:
    """A fault that no part of sound announces, in a sentence; the thread it struck goes on."""
    return SpeechError(code, f"{what} failed in a way nobody foresaw ({type(error).__name__}: {error})")
