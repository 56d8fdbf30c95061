"""`assistant kit --left-in`: a kit's folder with what a record says is left, to be corrected by counting."""

from collections.abc import Iterator
from contextlib import nullcontext
from pathlib import Path

from assistant.bench.session import RECORD
from assistant.commands.own_kit import OwnKitError, goes_on
from assistant.kit.kept import kept_beside
from assistant.kit.load import BANK_FILE, KIT_FILE, demo_folder, load_kit
from assistant.kit.packing import bank_with_counts, kit_with_frames, less_frames
from assistant.kit.profile import Kit
from assistant.replay.opening import open_session
from assistant.workflow.lenses import frames_left
from assistant.workflow.state import Bench
from assistant.workflow.steps import BY_ID


class LeftError(Exception):
    """What is left cannot be said, or not be written there; one sentence."""


def written(record_folder: Path, own_kit: Path | None, to: Path) -> tuple[Kit, tuple[str, ...]]:
    """Write the kit in `to`: it, and what whoever packs must know. Nothing is written over.

    `own_kit`: the kit that the record was made with, where none is kept beside it. Raises `LeftError`, `OwnKitError`,
    `KitError`, `RecordError` and `OSError`.
    """
    for name in (KIT_FILE, BANK_FILE):
        if (to / name).exists():
            raise LeftError(f"{to / name} is there already; give a folder without a kit")
    folder = own_kit or kept_beside(record_folder)
    with demo_folder() if folder is None else nullcontext(folder) as source:
        kit = load_kit(source, BY_ID)
        if not goes_on(record_folder, kit):
            raise OwnKitError(
                f"{record_folder.name}'s record was begun with another kit, {kept_beside(record_folder)}"
            )
        bench = _at_its_end(record_folder, source)
        there = bench.stock.less(bench.elsewhere).there
        counts = dict(zip(kit.bank.pocket.tolist(), there.tolist(), strict=True))
        left = frames_left(bench)
        sizes = tuple(less_frames(size, left[size.centre_distance_mm]) for size in kit.frames)
        bank = bank_with_counts((source / BANK_FILE).read_text("utf-8-sig"), counts)
        profile = kit_with_frames((source / KIT_FILE).read_text("utf-8-sig"), sizes)
    to.mkdir(parents=True, exist_ok=True)
    (to / BANK_FILE).write_text(bank, "utf-8")
    (to / KIT_FILE).write_text(profile, "utf-8")
    return load_kit(to, BY_ID), tuple(_told(bench))


def _at_its_end(record_folder: Path, kit_folder: Path) -> Bench:
    """The bench as its record leaves it, with every lens and frame accounted for. Raises `LeftError`."""
    opened = open_session(record_folder / RECORD, kit_folder)
    if opened.troubles:
        raise LeftError(f"{opened.path}: {opened.troubles[0]}")
    bench = opened.timeline[-1].after
    if bench.pair is not None:
        raise LeftError(
            f"case {bench.pair.order.case} is in the making at {record_folder.name}; finish it or give it up"
            " first, so that its lenses and its frame are accounted for"
        )
    return bench


def _told(bench: Bench) -> Iterator[str]:
    yield "the record counts frames by size alone: which colours went it does not know, so count them"
    if bench.flagged:
        yield f"found with a wrong lens in them: pockets {', '.join(map(str, sorted(bench.flagged)))}; count them"
    if bench.elsewhere:
        yield (
            "lenses that other benches held, as this one last knew, are taken off; of their frames it does not know:"
            " count both"
        )
