"""Orders handed over as a TOML file, each `[[orders]]` one pair; checked field by field like the kit."""

from typing import Final

from assistant.kit.fields import Document, Section
from assistant.optics.order import EyeKind, EyeOrder, Order, Purpose
from assistant.optics.power import OpticsError, parse_power

KEYS: Final = (
    "case",
    "right",
    "left",
    "pd_mm",
    "right_pd_mm",
    "left_pd_mm",
    "near_pd_mm",
    "refraction_vertex_mm",
    "purpose",
    "child",
)
EYE_SHAPE: Final = "a power such as -2.25/-1.50x10, or balance, or none"


def parse_eye(written: str) -> EyeOrder:
    """One eye as written: a power in either form, "balance" or "none". Raises `OpticsError`."""
    word = written.strip().lower()
    if word in (EyeKind.BALANCE, EyeKind.NONE):
        return EyeOrder(None, EyeKind(word))
    return EyeOrder(parse_power(written))


def read_orders(file: str, text: str) -> tuple[Order, ...]:
    """Every order of the file, in its order. Raises `KitError` with file, line and field."""
    document = Document.read(file, text)
    document.refuse_others(("orders",))
    orders = tuple(_order(section) for section in document.sections("orders"))
    cases = [order.case for order in orders]
    for section, order in zip(document.sections("orders"), orders, strict=True):
        if cases.count(order.case) > 1:
            raise section.error("case", f"is {order.case!r} more than once; allowed is each case once")
    return orders


def _order(s: Section) -> Order:
    s.refuse_others(KEYS)
    case = s.text("case", "a case number of 1 to 8 digits in quotes")
    if not (case.isascii() and case.isdigit() and len(case) <= 8):
        raise s.error("case", f"is {case!r}; allowed is a case number of 1 to 8 digits, never a name")
    child = s.values.get("child", False)
    if not isinstance(child, bool):
        raise s.error("child", f"is {child!r}; allowed are true and false")
    return Order(
        right=_eye(s, "right"),
        left=_eye(s, "left"),
        pd_mm=s.number("pd_mm", 30, 90),
        right_pd_mm=_optional(s, "right_pd_mm", 10, 60),
        left_pd_mm=_optional(s, "left_pd_mm", 10, 60),
        refraction_vertex_mm=_optional(s, "refraction_vertex_mm", 0, 30),
        purpose=Purpose(s.one_of("purpose", list(Purpose)) if "purpose" in s.values else Purpose.FAR),
        near_pd_mm=_optional(s, "near_pd_mm", 25, 90),
        child=child,
        case=case,
    )


def _eye(s: Section, key: str) -> EyeOrder:
    try:
        return parse_eye(s.text(key, EYE_SHAPE))
    except OpticsError as error:
        raise s.error(key, str(error)) from error


def _optional(s: Section, key: str, low: float, high: float) -> float | None:
    return s.number(key, low, high) if key in s.values else None
