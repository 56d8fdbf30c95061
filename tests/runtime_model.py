"""A small model that takes its phrases at run time, as Vosk's official small ones do: made of a number model."""

import shutil
from collections.abc import Set
from pathlib import Path

from assistant.speech import fst_file
from assistant.speech.decoding_graph import GARBAGE_UNIT, UNKNOWN, Builder, word_labels
from assistant.speech.fst_file import Graph
from assistant.speech.model_folder import SHARED_FILES, number_model, pronunciations
from assistant.speech.transitions import entering


def runtime_model(folder: Path, language: str, without: Set[str] = frozenset()) -> Path:
    """The words of `language` but those in `without`, in any order, as graph/HCLr.fst and graph/Gr.fst."""
    source = number_model(language)
    words = {word: units for word, units in pronunciations(language, source).items() if word not in without}
    labels = word_labels(words)
    for name in SHARED_FILES:
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        shutil.copyfile(source / name, folder / name)
    graph = folder / "graph"
    graph.mkdir()
    (graph / "HCLr.fst").write_bytes(fst_file.write(_units_to_words(words, labels)))
    (graph / "Gr.fst").write_bytes(fst_file.write(_any_order(labels)))
    (graph / "disambig_tid.int").write_text("")
    (graph / "words.txt").write_text(
        "".join(f"{word} {number}\n" for word, number in labels.items()), "utf-8"
    )
    return folder


def _units_to_words(words: dict[str, tuple[int, ...]], labels: dict[str, int]) -> Graph:
    builder = Builder(words, labels, Graph(), {})
    start = builder.graph.add_state()
    ended, ready = builder.boundary()
    builder.graph.add_arc(start, 0, 0, 0.0, ended)
    for word in words:
        builder.word(ready, word, ended, word, 0.0)
    garbage = builder.chain((GARBAGE_UNIT,), ended)
    builder.graph.add_arc(ready, entering(GARBAGE_UNIT), labels[UNKNOWN], 0.0, garbage)
    builder.graph.final[ready] = 0.0
    for arcs in builder.graph.arcs:
        arcs.sort(key=lambda arc: arc[1])  # composition looks the words up
    return builder.graph


def _any_order(labels: dict[str, int]) -> Graph:
    graph = Graph()
    state = graph.add_state()
    for label in sorted(labels.values())[1:]:
        graph.add_arc(state, label, label, 1.0, state)
    graph.final[state] = 0.0
    return graph
