"""A helper's own model: compared with the shared one, fitted to all recordings, and kept only if it is not worse."""

import shutil
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from assistant.speech.comparison import Base, Compared, Told, compare, folds
from assistant.speech.enrolment import Clip, Fit, fit

USUAL = Fit()
LAST = "am/final.mdl"
"""A folder without it is no model: it goes first and comes last."""


@dataclass(frozen=True, slots=True)
class Outcome:
    """What came of it."""

    compared: Compared
    recordings: int
    own: Path

    @property
    def kept(self) -> bool:
        return not self.compared.worse

    @property
    def sentence(self) -> str:
        """For the supervisor."""
        shared, fitted = self.compared.shared, self.compared.fitted
        counts = (
            f"of {fitted.of} answers held back, the shared model understood {shared.right}"
            f" ({shared.wrong} wrong ones would have passed),"
            f" the fitted one {fitted.right} ({fitted.wrong})"
        )
        if not self.kept:
            return f"{counts}; it is worse and was not kept"
        better = "better" if self.compared.better else "as good"
        return f"{counts}; it is {better} and is kept, fitted to {self.recordings} recordings: {self.own}"


def enrol(
    base: Base, language: str, clips: Sequence[Clip], own: Path, told: Told, how: Fit = USUAL
) -> Outcome:
    """Fit, compare, keep. Raises ValueError for too few recordings, SpeechError, ModelFormatError, OSError."""
    compared = compare(base, language, clips, how, told)
    outcome = Outcome(compared, len(clips), own)
    before = len(folds(clips)) * how.rounds
    if outcome.kept:
        own.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(dir=own.parent, prefix=".fit-") as name:
            draft, shared = Path(name) / "model", base(clips, Path(name) / "base")
            fit(shared, clips, draft, how, lambda done, rounds, _: told(before + done, before + rounds))
            put_in_place(draft, own)
    return outcome


def put_in_place(draft: Path, own: Path) -> None:
    """Move a model's files into a folder that may hold an older one. Broken off half way there is none."""
    (own / LAST).unlink(missing_ok=True)
    files = [path.relative_to(draft) for path in sorted(draft.rglob("*")) if path.is_file()]
    for name in sorted(files, key=lambda name: name.as_posix() == LAST):
        (own / name).parent.mkdir(parents=True, exist_ok=True)
        shutil.move(draft / name, own / name)
