"""The transition model at the head of `am/final.mdl`, as Kaldi stores it.

Each unit of the net's output is a phone of one emitting state; unit p has the transition id 2p+2 on entering and
2p+1 while it lasts.
"""

import math

import numpy as np

from assistant.speech.kaldi_binary import HEADER, Reader, Writer


def entering(unit: int) -> int:
    """The transition id with which `unit` begins."""
    return 2 * unit + 2


def lasting(unit: int) -> int:
    """The transition id with which `unit` goes on."""
    return 2 * unit + 1


def transition_ids(units: int) -> int:
    """The greatest transition id of a model with so many units."""
    return 2 * units


def write_transitions(out: Writer, units: int) -> None:
    """The transition model of so many units."""
    out.token("<TransitionModel>", "<Topology>")
    out.integers(np.arange(1, units + 1, dtype=np.int32))
    out.integers(np.array([-1] + [0] * units, dtype=np.int32))
    out.integer(1)  # one shape shared by all phones: an emitting state and the end
    out.integer(2)
    out.integer(0)
    out.integer(2)
    for target in (0, 1):
        out.integer(target)
        out.real(0.5)
    out.integer(-1)
    out.integer(0)
    out.token("</Topology>", "<Triples>")
    out.integer(units)
    for unit in range(units):
        for value in (unit + 1, 0, unit):
            out.integer(value)
    out.token("</Triples>", "<LogProbs>")
    out.vector(np.array([0.0] + [math.log(0.5)] * (2 * units), dtype=np.float32))
    out.token("</LogProbs>", "</TransitionModel>")


def count_transitions(data: bytes, name: str) -> int:
    """The greatest transition id that a graph may use with this final.mdl, from whatever source."""
    return read_transitions(Reader(data, name))


def read_transitions(reader: Reader) -> int:
    """Go past the head of final.mdl and its transition model, whoever wrote them; the greatest transition id."""
    if reader.raw(2) != HEADER:
        raise reader.fail("not a binary Kaldi file")
    reader.expect("<TransitionModel>", "<Topology>")
    reader.integers()
    reader.integers()
    _skip_topology(reader)
    reader.expect("</Topology>")
    _skip_triples(reader)
    reader.expect("<LogProbs>")
    count = len(reader.vector()) - 1
    reader.expect("</LogProbs>", "</TransitionModel>")
    return count


def _skip_topology(reader: Reader) -> None:
    entries = reader.integer()
    has_two_classes = entries == -1  # chain models give a self-loop its own class
    if has_two_classes:
        entries = reader.integer()
    for _ in range(entries):
        for _ in range(reader.integer()):
            reader.integer()
            if has_two_classes:
                reader.integer()
            for _ in range(reader.integer()):
                reader.integer()
                reader.real()


def _skip_triples(reader: Reader) -> None:
    kind = reader.token()
    width = {"<Triples>": 3, "<Tuples>": 4}.get(kind)
    if width is None:
        raise reader.fail(f"<Triples> or <Tuples> expected, {kind} found")
    for _ in range(width * reader.integer()):
        reader.integer()
    reader.expect(kind.replace("<", "</"))
