"""What a voice is made of on this machine: caches, recognisers, recordings, all under one home folder."""

from collections.abc import Callable
from pathlib import Path

from assistant.language.lexicon_file import LanguageError
from assistant.speech.clips import Clips
from assistant.speech.enrolment_game import CLIPS
from assistant.speech.errors import SpeechError, Trouble
from assistant.speech.kaldi_binary import ModelFormatError
from assistant.speech.model_folder import model_dir
from assistant.speech.other_models import Make, in_use, make_of
from assistant.speech.pack import Pack
from assistant.speech.recogniser import Recognisers, Source
from assistant.speech.runtime_grammar import runtime_grammar
from assistant.speech.synth import Synthesiser
from assistant.speech.understanding import Asked
from assistant.speech.voice import Parts


def helper_folder(home: Path, helper: str, language: str) -> Path:
    """Where a helper's enrolment in a language lies: the recordings, and the model fitted to them."""
    return home / "helpers" / helper / language


def helper_model(home: Path, helper: str, language: str) -> Path | None:
    """The model fitted to a helper by enrolment; None where there is none."""
    folder = helper_folder(home, helper, language)
    return folder if (folder / "am" / "final.mdl").is_file() else None


Who = Callable[[], str | None]
"""The helper at the bench just now; None for somebody without a name."""


def recognisers(home: Path, helper: str | Who | None = None, given: Path | None = None) -> Recognisers:
    """Recognisers for whatever is asked, loaded when needed: with the model folder `given`, else a helper's own
    where there is one, else the model chosen for the language, else the language's own."""

    def source_of(asked: Asked) -> Source:
        language, context, digits = asked.language, asked.listening, asked.grammar_digits
        try:
            name = _now(helper)
            own = None if name is None else helper_model(home, name, language)
            model = given or own or in_use(home, language)
            if model is not None and make_of(model) is Make.RUN_TIME:
                return Source(model, runtime_grammar(context, language, digits))
            return Source(model_dir(language, context, home / "cache" / "graphs", digits, model))
        except (ModelFormatError, LanguageError) as error:
            raise SpeechError(Trouble.MODEL_MISSING, str(error)) from error
        except OSError as error:  # a full disk: the graph of a step cannot be laid down
            why = f"the number model cannot be made ready in {home / 'cache'}: {error.strerror or error}"
            raise SpeechError(Trouble.MODEL_MISSING, why) from error

    return Recognisers(source_of)


def _now(helper: str | Who | None) -> str | None:
    return helper() if callable(helper) else helper


def synthesiser(home: Path) -> Synthesiser:
    return Synthesiser(home / "cache" / "speech")


def parts(home: Path, record_folder: Path | None, helper: str | Who | None = None) -> Parts:
    """Everything a `Voice` needs. `record_folder`: recordings of entries are kept in it; None keeps none.

    `helper` as a function is asked before each utterance: another helper may come to the bench.
    """

    def takes(language: str) -> Path | None:
        name = _now(helper)
        return None if name is None else helper_folder(home, name, language) / CLIPS

    return Parts(
        synthesiser(home),
        recognisers(home, helper),
        Pack(home / "recordings", takes),
        None if record_folder is None else Clips(record_folder),
    )
