"""A record goes on with the kit it was begun with: folded under another, old plans change and old entries misfit."""

from pathlib import Path

from assistant.bench.session import RECORD
from assistant.hub.protocol import kit_mark
from assistant.kit.kept import keep_beside, kept_beside
from assistant.kit.load import KitError, load_kit
from assistant.kit.profile import Kit
from assistant.workflow.steps import BY_ID


class OwnKitError(Exception):
    """A record that cannot go on with the kit given; one sentence."""


def goes_on(folder: Path, kit: Kit) -> bool:
    """Whether the record in `folder` can go on with `kit`, also because it has no line or no kit was kept beside it.

    Nothing is written. Raises `OwnKitError` where the kit that was kept cannot be read.
    """
    record = folder / RECORD
    return not record.exists() or record.stat().st_size == 0 or is_kept(folder, kit)


def is_kept(folder: Path, kit: Kit) -> bool:
    """Whether `kit` is the one kept in `folder`, or none is. Raises `OwnKitError` where that cannot be read."""
    kept = kept_beside(folder)
    if kept is None:
        return True
    try:
        begun_with = load_kit(kept, BY_ID)
    except KitError as error:
        raise OwnKitError(
            f"the kit kept in {kept} cannot be read: {error}; if the kit given now is the same, move that folder away"
        ) from error
    return kit_mark(begun_with) == kit_mark(kit)


def require_own(folder: Path, kit: Kit) -> None:
    """Raises `OwnKitError` where the record in `folder` was begun with another kit than `kit`."""
    if not goes_on(folder, kit):
        kept = kept_beside(folder)
        raise OwnKitError(
            f"{folder.name}'s record goes on with the kit it was begun with (--kit {kept}), and the one given is"
            " another; a new kit, or a case packed anew, begins a new record: give another --name"
        )


def kept(folder: Path, kit_folder: Path | None) -> str:
    """Keep the kit beside the record for the next start and for a replay; why it could not be, in a sentence."""
    try:
        folder.mkdir(exist_ok=True)
        keep_beside(folder, kit_folder)
    except OSError as error:
        return f"the kit could not be kept in {folder}: {error.strerror or error}"
    return ""
