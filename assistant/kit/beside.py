"""Which pockets lie beside which, and what is in them: where a hand may slip to."""

import numpy as np

from assistant.kit.profile import Kit, Tray
from assistant.optics.power import Power


def pockets_beside(tray: Tray, pocket: int) -> tuple[int, ...]:
    """Pocket numbers left, right, above and below in the same tray."""
    place = (pocket - 1) % (tray.columns * tray.rows)
    row, column = divmod(place, tray.columns)
    moves = (
        (-1, column > 0),
        (1, column < tray.columns - 1),
        (-tray.columns, row > 0),
        (tray.columns, row < tray.rows - 1),
    )
    return tuple(pocket + step for step, possible in moves if possible)


def neighbours_of(kit: Kit, pocket: int) -> tuple[Power, ...]:
    """Powers in the pockets beside one, each once, lying at 180."""
    rows = np.flatnonzero(np.isin(kit.bank.pocket, pockets_beside(kit.tray, pocket)))
    return tuple(
        Power(float(kit.bank.sphere[row]), float(kit.bank.cylinder[row]), 180.0) for row in rows.tolist()
    )


def nearest_pocket(kit: Kit, power: Power) -> int:
    """The pocket whose lens is nearest in both principal meridians."""
    want, bank = power.minus_form, kit.bank
    across = bank.sphere + bank.cylinder - want.meridians[1]
    return int(bank.pocket[int(np.argmin((bank.sphere - want.sphere) ** 2 + across**2))])
