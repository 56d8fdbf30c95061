"""Recordings of what was said, kept beside the record so that a mishearing can be listened to."""

from pathlib import Path

from assistant.speech.errors import SpeechError
from assistant.speech.sound import Sound, write_sound

FOLDER = "clips"


class Clips:
    """Writes clips as FLAC, numbered. After one that cannot be written (a full disk) it keeps no more."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder / FOLDER
        self.trouble = ""
        """Why no clips are kept any more, in a sentence; empty while all is well."""

    def keep(self, sound: Sound) -> str | None:
        """Keep a clip; its file name, or None when it could not be kept. Never raises: the pair goes on."""
        if self.trouble:
            return None
        try:
            self._folder.mkdir(parents=True, exist_ok=True)
            path = self._folder / f"{self._next():06d}.flac"
            write_sound(path, sound)
        except (OSError, SpeechError) as error:
            self.trouble = f"recordings are not kept any more: {error}"
            return None
        return path.name

    def _next(self) -> int:
        taken = (int(path.stem) for path in self._folder.glob("*.flac") if path.stem.isdigit())
        return max(taken, default=0) + 1
