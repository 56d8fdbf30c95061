"""The lens bank as arrays: one row a pocket, minus-cylinder lenses whose axis is set by the cut."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from assistant.optics.power import Floats

Ints = npt.NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False, repr=False)
class Bank:
    """Parallel arrays, shape (pockets,). Sphere and cylinder (<= 0) in dioptres."""

    sphere: Floats
    cylinder: Floats
    count: Ints
    """As the case was packed; what is there now is `Stock`."""
    pocket: Ints
    check_number: tuple[str, ...]
    """Two digits printed on the pocket, read back to prove that the right pocket was opened."""

    def row_of(self, pocket: int) -> int:
        """Index of a pocket number. Raises `KeyError` naming the pocket."""
        rows = np.flatnonzero(self.pocket == pocket)
        if rows.size != 1:
            raise KeyError(f"pocket {pocket} is not in the bank")
        return int(rows[0])

    def __len__(self) -> int:
        return int(self.pocket.size)
