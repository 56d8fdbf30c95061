"""Write a language's units.txt and lexicon.tsv from its vocabulary, pronounced by espeak-ng's canonical voice.

    python -m models.training.lexicons --language en

One pronunciation a word: the network learns to hear every accent as the canonical one.
"""

from __future__ import annotations

import argparse
from collections.abc import Iterable
from pathlib import Path

from assistant.language.phrases import vocabulary
from assistant.speech.lexicon import BLANK, GARBAGE, split_phones
from models.training.espeak import Espeak
from models.training.voices import CANONICAL

MODELS = Path(__file__).parent.parent


def pronounce(language: str, words: Iterable[str]) -> dict[str, tuple[str, ...]]:
    """The canonical phones of each word."""
    espeak = Espeak()
    espeak.choose(CANONICAL[language])
    return {word: split_phones(espeak.phonemes(word)) for word in words}


def write_lexicon(language: str, folder: Path) -> None:
    """Both files."""
    words = pronounce(language, sorted(vocabulary(language)))
    units = [BLANK, GARBAGE, *sorted({phone for phones in words.values() for phone in phones})]
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "units.txt").write_text("\n".join(units) + "\n", "utf-8")
    lines = (f"{word}\t{' '.join(phones)}\n" for word, phones in words.items())
    (folder / "lexicon.tsv").write_text("".join(lines), "utf-8")


def main() -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--language", required=True, choices=tuple(CANONICAL))
    language: str = parser.parse_args().language
    write_lexicon(language, MODELS / language)


if __name__ == "__main__":
    main()
