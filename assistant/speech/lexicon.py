"""`lexicon.tsv` and `units.txt`: how each word is pronounced in the model's own units.

`units.txt` names the network's outputs in order: the blank, the garbage unit, then the phones. `lexicon.tsv` has a
word, a tab and its phones a line. A new number word is added to it by `models.training.lexicons` and needs no new
model as long as its phones are known; until then it is refused by name.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from assistant.speech.kaldi_binary import ModelFormatError

BLANK = "<blank>"
GARBAGE = "<garbage>"
STRESS = re.compile("[ˈˌ.\u200d|_]")
PAIRS = ("aɪ", "eɪ", "ɔɪ", "oʊ", "aʊ", "əʊ", "tʃ", "dʒ")
ONE_PHONE = re.compile("(?:" + "|".join(PAIRS) + "|[a-zæœøçðŋɐ-ʯβθχᵻ])[ːʲʰ\u0303\u0329]*")


def split_phones(ipa: str) -> tuple[str, ...]:
    """The phones of a word in the International Phonetic Alphabet, without stress; a vowel keeps its length and
    nasal marks, and the pairs above count as one. Raises ValueError for a sign that is no phone."""
    plain = STRESS.sub("", ipa).replace(" ", "").replace("-", "")
    phones = tuple(ONE_PHONE.findall(plain))
    if "".join(phones) != plain:
        raise ValueError(f"{ipa!r} holds a sign that is not a phone of the alphabet")
    return phones


@dataclass(frozen=True)
class Lexicon:
    """The units in order and the pronunciation of each listed word as unit numbers."""

    units: tuple[str, ...]
    words: Mapping[str, tuple[int, ...]]

    def number(self, word: str, phones: Sequence[str]) -> tuple[int, ...]:
        """`phones` as unit numbers. Raises ModelFormatError when the model has no such unit."""
        unknown = [phone for phone in phones if phone not in self.units]
        if unknown:
            raise ModelFormatError(
                f"the word {word!r} needs the sounds {' '.join(unknown)}, which this model was not trained on"
            )
        return tuple(self.units.index(phone) for phone in phones)


def read_lexicon(folder: Path) -> Lexicon:
    """The lexicon of a language's model folder. Raises ModelFormatError naming the file and line at fault."""
    units = tuple((folder / "units.txt").read_text("utf-8").split())
    if units[:2] != (BLANK, GARBAGE):
        raise ModelFormatError(f"{folder / 'units.txt'}: the first two units must be {BLANK} and {GARBAGE}")
    listed = Lexicon(units, {})
    words: dict[str, tuple[int, ...]] = {}
    path = folder / "lexicon.tsv"
    for number, line in enumerate(path.read_text("utf-8").splitlines(), start=1):
        word, tab, phones = line.partition("\t")
        if not tab or not word or not phones.split():
            raise ModelFormatError(f"{path}, line {number}: a word, a tab and its phones are expected")
        words[word] = listed.number(word, phones.split())
    return Lexicon(units, words)
