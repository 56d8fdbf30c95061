"""A lens as a thing: its power matrix in its own frame, what was drawn on it, what was cut into it.

The lens's own frame is its curved side towards the viewer, its minus axis along x. A pose is a 2x2 orthogonal
matrix from that frame to what is seen on the bench, x to the viewer's right and y up: a rotation while the
curved side looks at the viewer, a reflection while the hollow side does. Nothing else is known about lenses
here; no formula of `assistant.optics` is used.
"""

import math
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

Matrix = npt.NDArray[np.float64]
"""Shape (2, 2)."""
Vector = npt.NDArray[np.float64]
"""Shape (2,), of length 1: a direction, or a point of the edge seen from the middle."""

FACE_UP: Matrix = np.eye(2)
TURNED_OVER: Matrix = np.array([[-1.0, 0.0], [0.0, 1.0]])
"""Flipped about its own vertical: left and right change places."""
ALONG_180: Vector = np.array([-1.0, 0.0])


def rotation(turn_deg: float) -> Matrix:
    """Anticlockwise as seen."""
    c, s = math.cos(math.radians(turn_deg)), math.sin(math.radians(turn_deg))
    return np.array([[c, -s], [s, c]])


def towards(angle_deg: float) -> Vector:
    """The direction at an angle, degrees anticlockwise from the viewer's right."""
    return np.array([math.cos(math.radians(angle_deg)), math.sin(math.radians(angle_deg))])


def angle_of(direction: Vector) -> float:
    """The angle of a direction, degrees in (-180, 180]."""
    return math.degrees(math.atan2(float(direction[1]), float(direction[0])))


def pose_bringing(point: Vector, to: Vector, face: Matrix = FACE_UP) -> Matrix:
    """The pose that lays a point or direction of the lens's own frame at `to` as seen."""
    return np.asarray(rotation(angle_of(to) - angle_of(face @ point)) @ face)


@dataclass(frozen=True, slots=True)
class CutSlot:
    """A slot in the edge, its middle in the lens's own frame."""

    middle: Vector
    depth_mm: float


@dataclass(frozen=True, slots=True, eq=False)
class Lens:
    power: Matrix
    """Dioptres, in its own frame."""
    pocket: int
    """Where it was taken from; the lens itself carries no label."""
    dots: Vector | None = None
    """Direction of the dotted line, in its own frame."""
    tick: Vector | None = None
    """Where the edge is ticked for the cutter, in its own frame; None once cut."""
    slots: tuple[CutSlot, ...] = ()
    """The newest last."""
    chipped: bool = False

    def seen(self, pose: Matrix) -> Matrix:
        """The power matrix as the lens lies."""
        return np.asarray(pose @ self.power @ pose.T)

    def dotted(self, along: Vector, pose: Matrix) -> "Lens":
        """Dotted along a direction seen while it lies so."""
        return replace(self, dots=pose.T @ along)

    def ticked(self, at: Vector, pose: Matrix) -> "Lens":
        """Ticked at a point of the edge seen while it lies so."""
        return replace(self, tick=pose.T @ at)

    def cut(self, depth_mm: float, off_deg: float) -> "Lens":
        """Cut at the tick, missed by `off_deg`; without a tick, where the edge happens to be."""
        at = towards(0.0) if self.tick is None else self.tick
        slot = CutSlot(rotation(off_deg) @ at, depth_mm)
        return replace(self, tick=None, slots=(*self.slots, slot))

    def cut_deeper(self, depth_mm: float) -> "Lens":
        """The newest slot again, to a depth in all."""
        return replace(self, slots=(*self.slots[:-1], replace(self.slots[-1], depth_mm=depth_mm)))


def ground(sphere_d: float, cylinder_d: float, pocket: int) -> Lens:
    """A lens as the factory made it: sphere along its own x, sphere and cylinder across it."""
    return Lens(np.diag([sphere_d, sphere_d + cylinder_d]), pocket)


def principal(power: Matrix) -> tuple[float, float, float]:
    """What a focimeter finds: more plus power, less plus power, direction of the first in [0, 180)."""
    values, directions = np.linalg.eigh(power)
    return float(values[1]), float(values[0]), angle_of(directions[:, 1]) % 180.0
