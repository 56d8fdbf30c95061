"""The hand at the trays: which pocket it opens, and which lens lies there."""

import numpy as np

from assistant.optics.eye import Eye
from assistant.practice.bench import BenchThings
from assistant.practice.hands import Hands
from assistant.practice.slips import Slip
from assistant.workflow import pictures as p


class Fetching:
    """Opens the pocket that the picture names, or one beside it; a lens may have strayed into the right one."""

    def __init__(self, things: BenchThings, hands: Hands) -> None:
        self.things, self.hands = things, hands
        self.reads_label: set[Eye] = set()
        """Eyes whose lens is read off its label, not on the focimeter."""

    def answer(self, picture: p.TrayPicture) -> str:
        """The number printed in the pocket that was opened."""
        eye, hands, pocket = picture.eye, self.hands, picture.pocket
        beside = [n for n in _beside(picture) if self.things.has_pocket(n)]
        if beside and hands.slips(Slip.WRONG_POCKET, eye):
            pocket = hands.chance.choice(beside)
        elif beside and hands.slips(Slip.STRAY_LENS, eye):
            self._strayed(picture.pocket, beside)
        elif beside and hands.slips(Slip.NEIGHBOUR_POCKET, eye):
            self._strayed(picture.pocket, beside)
            self.reads_label.add(eye)
        elif (twin := self._other_sign(picture.pocket)) is not None and hands.slips(Slip.SPHERE_SIGN, eye):
            self.things.strays.setdefault(picture.pocket, []).append(twin)
            self.reads_label.add(eye)
        self.things.opened = pocket
        if pocket == picture.pocket:
            self.things.take_lens(eye, pocket)
        return self.things.printed(pocket)

    def label(self, pocket: int) -> tuple[float, float]:
        """Sphere and cylinder (D) that the bank gives for a pocket."""
        bank = self.things.kit.bank
        row = bank.row_of(pocket)
        return float(bank.sphere[row]), float(bank.cylinder[row])

    def _strayed(self, pocket: int, beside: list[int]) -> None:
        unlike = [n for n in beside if self.label(n) != self.label(pocket)] or beside
        self.things.strays.setdefault(pocket, []).append(self.hands.chance.choice(unlike))

    def _other_sign(self, pocket: int) -> int | None:
        sphere, cylinder = self.label(pocket)
        bank = self.things.kit.bank
        rows = np.flatnonzero((bank.sphere == -sphere) & (bank.cylinder == cylinder))
        return int(bank.pocket[rows[0]]) if sphere and rows.size else None


def _beside(tray: p.TrayPicture) -> tuple[int, ...]:
    """Pockets that a hand may slip to: left, right, above, below, in the same tray."""
    place = (tray.pocket - 1) % (tray.columns * tray.rows)
    row, column = divmod(place, tray.columns)
    steps = [(column > 0, -1), (column < tray.columns - 1, 1)]
    steps += [(row > 0, -tray.columns), (row < tray.rows - 1, tray.columns)]
    return tuple(tray.pocket + step for possible, step in steps if possible)
