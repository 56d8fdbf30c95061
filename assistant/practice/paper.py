"""An order on a slip of paper, as it is keyed in field by field."""

from assistant.kit.profile import Kit
from assistant.optics.order import EyeKind, EyeOrder, Order, Purpose

_KINDS = {EyeKind.POWER: "1", EyeKind.BALANCE: "2", EyeKind.NONE: "3"}


def keyed_from_paper(order: Order, field: str, kit: Kit) -> str:
    """What is keyed for a field of the `key_order` step."""
    match field:
        case "case":
            return order.case
        case "purpose":
            return "2" if order.purpose is Purpose.NEAR else "1"
        case "pd":
            return f"{order.pd_mm:g}"
        case "vertex":
            return f"{order.refraction_vertex_mm or kit.fitted_vertex_mm:g}"
        case "read_back":
            return "+"
        case _:
            eye, _, figure = field.partition("_")
            return _keyed_eye(order.right if eye == "right" else order.left, figure)


def _keyed_eye(eye: EyeOrder, figure: str) -> str:
    if figure == "kind":
        return _KINDS[eye.kind]
    if eye.power is None:
        raise ValueError(f"an eye without a power has no {figure} to key")
    match figure:
        case "sphere":
            return f"{eye.power.sphere:+.2f}"
        case "cylinder":
            return f"{eye.power.cylinder:+.2f}"
        case _:
            return f"{eye.power.axis or 180:g}"
