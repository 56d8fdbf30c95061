"""What a voice is made of on this machine: caches, recognisers, recordings, all under one home folder."""

from pathlib import Path

from assistant.speech.clips import Clips
from assistant.speech.errors import SpeechError, Trouble
from assistant.speech.kaldi_binary import ModelFormatError
from assistant.speech.model_folder import model_dir
from assistant.speech.pack import Pack
from assistant.speech.recogniser import Recognisers
from assistant.speech.synth import Synthesiser
from assistant.speech.understanding import Asked
from assistant.speech.voice import Parts


def helper_model(home: Path, helper: str, language: str) -> Path | None:
    """The model fitted to a helper by enrolment; None where there is none."""
    folder = home / "helpers" / helper / language
    return folder if (folder / "am" / "final.mdl").is_file() else None


def recognisers(home: Path, helper: str | None = None) -> Recognisers:
    """Recognisers for whatever is asked, loaded when needed; a helper's own model where there is one."""

    def folder_of(asked: Asked) -> Path:
        own = None if helper is None else helper_model(home, helper, asked.language)
        try:
            return model_dir(
                asked.language, asked.listening, home / "cache" / "graphs", asked.grammar_digits, own
            )
        except ModelFormatError as error:
            raise SpeechError(Trouble.MODEL_MISSING, str(error)) from error

    return Recognisers(folder_of)


def synthesiser(home: Path) -> Synthesiser:
    return Synthesiser(home / "cache" / "speech")


def parts(home: Path, record_folder: Path | None, helper: str | None = None) -> Parts:
    """Everything a `Voice` needs. `record_folder`: recordings of entries are kept in it; None keeps none."""
    return Parts(
        synthesiser(home),
        recognisers(home, helper),
        Pack(home / "recordings"),
        None if record_folder is None else Clips(record_folder),
    )
