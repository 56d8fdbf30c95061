"""A kit from its folder: `kit.toml` and `bank.csv`, each field checked, and the fields against each other."""

from collections.abc import Collection
from contextlib import AbstractContextManager
from importlib.resources import as_file, files
from pathlib import Path
from typing import Final

from assistant.kit.bank_file import read_bank
from assistant.kit.fields import Document, KitError, Section
from assistant.kit.orders_file import read_orders
from assistant.kit.profile import Kit, Pin, Slot
from assistant.kit.sections import (
    read_focimeter,
    read_frames,
    read_lens,
    read_limits,
    read_pin,
    read_protractor,
    read_slot,
    read_supervisor_codes,
    read_time_budget,
    read_tray,
)
from assistant.optics.order import Order
from assistant.optics.power import OpticsError, Power
from assistant.optics.thickness import edge_thickness_mm
from assistant.optics.tolerance import FOR_MOUNTED_LENSES

KIT_FILE: Final = "kit.toml"
BANK_FILE: Final = "bank.csv"
ORDERS_FILE: Final = "orders.toml"
SECTIONS: Final = (
    "kit",
    "lens",
    "frames",
    "pin",
    "slot",
    "protractor",
    "focimeter",
    "limits",
    "tray",
    "time_budget_s",
    "supervisor",
)

__all__ = ["KitError", "demo_folder", "demo_kit", "demo_orders", "load_kit", "load_orders"]


def load_kit(folder: Path, steps: Collection[str] | None = None) -> Kit:
    """The kit in `folder`. `steps`, where given, are the step ids a time budget may name.

    Raises `KitError` naming file, line, field and what is allowed.
    """
    document = Document.read(KIT_FILE, _text(folder, KIT_FILE))
    document.refuse_others(SECTIONS)
    head = document.section("kit")
    head.refuse_others(("name", "standard", "fitted_vertex_mm"))
    lens, limits, tray = read_lens(document), read_limits(document), read_tray(document)
    pin, slot = read_pin(document, lens), read_slot(document)
    _require_fit(document, pin, slot)
    kit = Kit(
        name=head.text("name"),
        lens=lens,
        fitted_vertex_mm=head.number("fitted_vertex_mm", 0, 30),
        frames=read_frames(document),
        pin=pin,
        slot=slot,
        protractor=read_protractor(document),
        focimeter=read_focimeter(document),
        limits=limits,
        tray=tray,
        standard=_standard(head),
        time_budget_s=read_time_budget(document, steps),
        supervisor_codes=read_supervisor_codes(document),
        bank=read_bank(BANK_FILE, _text(folder, BANK_FILE), limits, tray),
    )
    _require_makeable(document, kit)
    return kit


def demo_kit(steps: Collection[str] | None = None) -> Kit:
    """The invented kit of the Tamarind Coast boat clinic, shipped with the program."""
    with demo_folder() as folder:
        return load_kit(folder, steps)


def demo_folder() -> AbstractContextManager[Path]:
    """Where the demonstration kit lies, for as long as it is used."""
    return as_file(files("assistant.kit") / "demo")


def load_orders(path: Path) -> tuple[Order, ...]:
    """Orders handed over as a file. Raises `KitError` naming file, line, field and what is allowed."""
    return read_orders(path.name, _text(path.parent, path.name))


def demo_orders() -> tuple[Order, ...]:
    """The invented orders that come with the demonstration kit."""
    with demo_folder() as folder:
        return load_orders(folder / ORDERS_FILE)


def _text(folder: Path, name: str) -> str:
    try:
        return (folder / name).read_text(encoding="utf-8-sig")
    except FileNotFoundError as error:
        advice = (
            f"; a kit is a folder with {KIT_FILE} and {BANK_FILE}" if name in (KIT_FILE, BANK_FILE) else ""
        )
        raise KitError(str(folder / name), None, "", f"is not there{advice}") from error
    except OSError as error:
        raise KitError(str(folder / name), None, "", f"cannot be read: {error.strerror}") from error
    except UnicodeDecodeError as error:
        raise KitError(str(folder / name), None, "", "is not UTF-8 text") from error


def _standard(head: Section) -> str:
    return head.one_of("standard", FOR_MOUNTED_LENSES)


def _require_fit(document: Document, pin: Pin, slot: Slot) -> None:
    """The pin goes into the slot, and the shallowest slot allowed still holds it."""
    s = document.section("slot")
    if slot.width_mm <= pin.diameter_mm:
        raise s.error(
            "width_mm", f"is {slot.width_mm:g}; allowed is more than the pin's diameter, {pin.diameter_mm:g}"
        )
    needed = pin.clearance_mm + pin.least_engagement_mm
    if slot.least_depth_mm < needed - 1e-9:
        raise s.error(
            "least_depth_mm",
            f"is {slot.least_depth_mm:g}; allowed is at least the pin's clearance and least engagement,"
            f" {needed:g}",
        )


def _require_makeable(document: Document, kit: Kit) -> None:
    """The strongest lenses of the bank can be made at this diameter, so every lens between them can."""
    s, bank, lens = document.section("lens"), kit.bank, kit.lens
    across = bank.sphere + bank.cylinder
    for row in {int(bank.sphere.argmax()), int(across.argmin()), int(bank.cylinder.argmin())}:
        power = Power(float(bank.sphere[row]), float(bank.cylinder[row]), 180.0)
        try:
            for bearing in (90.0, 180.0):
                edge_thickness_mm(
                    power,
                    bearing,
                    lens.diameter_mm,
                    lens.refractive_index,
                    lens.front_power_d,
                    lens.least_centre_mm,
                    lens.least_edge_mm,
                )
        except OpticsError as error:
            raise s.error("diameter_mm", f"is {lens.diameter_mm:g}; no lens of {power}: {error}") from error
