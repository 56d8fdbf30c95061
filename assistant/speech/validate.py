"""Checks a model folder before vosk sees it: vosk says little about what it lacks, and crashes on a bad graph."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from pathlib import Path

from assistant.speech import acoustic_file, fst_file
from assistant.speech.kaldi_binary import ModelFormatError
from assistant.speech.transitions import count_transitions

ALWAYS = ("am/final.mdl", "conf/mfcc.conf", "conf/model.conf")
EXACT = ("graph/HCLG.fst", "graph/words.txt")
CHANGEABLE = ("graph/HCLr.fst", "graph/Gr.fst", "graph/disambig_tid.int")
OPTION = re.compile(r"--([a-z0-9.-]+)=(\S+)")
OPTIONS = {
    "conf/mfcc.conf": re.compile(
        "sample-frequency|use-energy|num-mel-bins|num-ceps|low-freq|high-freq|dither|allow-downsample"
        "|allow-upsample|frame-length|frame-shift|snip-edges|window-type|cepstral-lifter|preemphasis-coefficient"
    ),
    "conf/model.conf": re.compile(
        "min-active|max-active|beam|lattice-beam|acoustic-scale|frame-subsampling-factor|endpoint[.]silence-phones"
        r"|endpoint[.]rule[1-5][.](min-trailing-silence|must-contain-nonsilence|min-utterance-length"
        "|max-relative-cost)"
    ),
}


def check_folder(folder: Path) -> None:
    """Raises ModelFormatError, one sentence naming the file and the fault, unless vosk can load `folder`.

    Checked: the files that must be there; every option of conf/ known; the acoustic model readable to its end with
    as many inputs as cepstra; every label of the graph within the model and within words.txt. A model from
    elsewhere, of kinds that this project does not write, is checked as far as its transition model.
    """
    _check_files(folder)
    options = {name: dict(_options(folder / name, known)) for name, known in OPTIONS.items()}
    data = (folder / "am/final.mdl").read_bytes()
    count = count_transitions(data, "am/final.mdl")
    if (folder / "graph/HCLG.fst").is_file():
        _check_network(data, options["conf/mfcc.conf"])
        _check_graph(folder, count)


def _check_files(folder: Path) -> None:
    wanted = ALWAYS + (CHANGEABLE if (folder / "graph/HCLr.fst").exists() else EXACT)
    for name in wanted:
        if not (folder / name).is_file():
            raise ModelFormatError(f"the model in {folder} has no file {name}")


def _options(path: Path, known: re.Pattern[str]) -> Iterator[tuple[str, str]]:
    for number, line in enumerate(path.read_text("utf-8").splitlines(), start=1):
        if not (text := line.partition("#")[0].strip()):
            continue
        match = OPTION.fullmatch(text)
        if not match or not known.fullmatch(match[1]):
            raise ModelFormatError(f"{path}, line {number}: {text!r} is not an option that vosk knows")
        yield match[1], match[2]


def _check_network(data: bytes, mfcc: Mapping[str, str]) -> None:
    try:
        model = acoustic_file.read(data, "am/final.mdl")
    except ModelFormatError as error:
        if "does not write" in str(error):
            return
        raise
    inputs = f"input-node name=input dim={mfcc.get('num-ceps', '13')}"
    if inputs not in model.config:
        raise ModelFormatError(
            f"am/final.mdl takes {model.config[0].rpartition('=')[2]} values a frame, "
            f"but conf/mfcc.conf makes {mfcc.get('num-ceps', '13')}"
        )


def _check_graph(folder: Path, transitions: int) -> None:
    data = (folder / "graph/HCLG.fst").read_bytes()
    if fst_file.kind(data, "graph/HCLG.fst") != "vector":
        return
    graph = fst_file.read(data, "graph/HCLG.fst")
    words = {int(line.split()[1]) for line in (folder / "graph/words.txt").read_text("utf-8").splitlines()}
    if not graph.final:
        raise ModelFormatError("graph/HCLG.fst: no phrase ever ends")
    for label, output, _cost, _target in (arc for arcs in graph.arcs for arc in arcs):
        if not 0 <= label <= transitions:
            raise ModelFormatError(f"graph/HCLG.fst uses transition {label}, but the model has {transitions}")
        if output not in words:
            raise ModelFormatError(
                f"graph/HCLG.fst prints word {output}, which graph/words.txt does not list"
            )
