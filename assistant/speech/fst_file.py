"""The binary form of a weighted graph (OpenFst's VectorFst of tropical weights): written and looked through."""

from __future__ import annotations

import struct
from dataclasses import dataclass, field

from assistant.speech.kaldi_binary import ModelFormatError

MAGIC = 2125659606
EXPANDED_MUTABLE = 3  # the properties that a VectorFst always has
NEVER = float("inf")
ARC = struct.Struct("<iifi")
STATE = struct.Struct("<fq")


@dataclass
class Graph:
    """States by number; the first is the start. An arc is (input label, output label, cost, target)."""

    arcs: list[list[tuple[int, int, float, int]]] = field(default_factory=list)
    final: dict[int, float] = field(default_factory=dict)

    def add_state(self) -> int:
        self.arcs.append([])
        return len(self.arcs) - 1

    def add_arc(self, source: int, label: int, output: int, cost: float, target: int) -> None:
        self.arcs[source].append((label, output, cost, target))


def write(graph: Graph) -> bytes:
    """The bytes of the .fst file."""
    arc_count = sum(map(len, graph.arcs))
    parts = [
        struct.pack("<i", MAGIC),
        *(struct.pack("<i", len(word)) + word for word in (b"vector", b"standard")),
        struct.pack("<iiQqqq", 2, 0, EXPANDED_MUTABLE, 0, len(graph.arcs), arc_count),
    ]
    for state, arcs in enumerate(graph.arcs):
        parts.append(STATE.pack(graph.final.get(state, NEVER), len(arcs)))
        parts.extend(ARC.pack(*arc) for arc in arcs)
    return b"".join(parts)


def kind(data: bytes, name: str) -> str:
    """'vector', 'const', ...: how the file stores its graph. Raises ModelFormatError when it is no graph."""
    if len(data) < 8 or struct.unpack_from("<i", data)[0] != MAGIC:
        raise ModelFormatError(f"{name}: not a binary graph of OpenFst")
    length = struct.unpack_from("<i", data, 4)[0]
    return data[8 : 8 + length].decode("ascii", "replace")


def read(data: bytes, name: str) -> Graph:
    """The graph in `data`. Raises ModelFormatError when it is cut short, is not a VectorFst of standard arcs, or
    has an arc to a state that does not exist."""
    if kind(data, name) != "vector":
        raise ModelFormatError(f"{name}: only a vector graph can be read, this one is {kind(data, name)}")
    header = 4 + 4 + len("vector") + 4 + len("standard")
    try:
        states = struct.unpack_from("<iiQqqq", data, header)[4]
        place = header + struct.calcsize("<iiQqqq")
        graph = Graph()
        for state in range(states):
            graph.add_state()
            cost, count = STATE.unpack_from(data, place)
            place += STATE.size
            if cost != NEVER:
                graph.final[state] = cost
            graph.arcs[state] = [ARC.unpack_from(data, place + i * ARC.size) for i in range(count)]
            place += count * ARC.size
    except struct.error:
        raise ModelFormatError(f"{name}: the graph is cut short at {len(data)} bytes") from None
    for arcs in graph.arcs:
        for arc in arcs:
            if not 0 <= arc[3] < states:
                raise ModelFormatError(f"{name}: an arc leads to state {arc[3]}, but there are {states}")
    return graph
