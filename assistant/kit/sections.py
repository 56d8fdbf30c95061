"""The sections of `kit.toml`, one function a section: ranges of each field, and fields against each other."""

from collections.abc import Collection, Mapping
from dataclasses import fields
from types import MappingProxyType

from assistant.kit.fields import Document, Section
from assistant.kit.profile import (
    Focimeter,
    FrameSize,
    LensBlank,
    Limits,
    NasalIndex,
    Pin,
    Protractor,
    Slot,
    Tray,
)
from assistant.optics.power import OpticsError, Power, parse_power
from assistant.optics.thickness import LEAST_THICKNESS_MM


def names(section: type) -> tuple[str, ...]:
    """The keys a section may have: the fields of its dataclass."""
    return tuple(field.name for field in fields(section))


def read_lens(document: Document) -> LensBlank:
    s = document.section("lens")
    s.refuse_others(names(LensBlank))
    return LensBlank(
        diameter_mm=s.number("diameter_mm", 20, 90),
        refractive_index=s.number("refractive_index", 1.4, 2.0),
        front_power_d=s.number("front_power_d", 0, 20),
        least_centre_mm=s.number("least_centre_mm", LEAST_THICKNESS_MM, 10),
        least_edge_mm=s.number("least_edge_mm", LEAST_THICKNESS_MM, 10),
        rim_depth_mm=s.number("rim_depth_mm", 0.5, 20),
    )


def read_frames(document: Document) -> tuple[FrameSize, ...]:
    frames: list[FrameSize] = []
    for s in document.sections("frames"):
        s.refuse_others(names(FrameSize))
        size = s.number("centre_distance_mm", 30, 90)
        if size in {frame.centre_distance_mm for frame in frames}:
            raise s.error("centre_distance_mm", f"is {size:g} a second time; allowed is each size once")
        frames.append(FrameSize(size, _colours(s)))
    return tuple(frames)


def _colours(s: Section) -> Mapping[str, int]:
    allowed = "colours with counts, { blue = 30 }"
    colours = s.value("colours", allowed)
    if not isinstance(colours, dict) or not colours:
        raise s.error("colours", f"is {colours!r}; allowed are {allowed}")
    counts = Section(s.document, f"{s.name}.colours", colours)
    for colour, count in colours.items():
        if type(count) is not int or not 0 <= count <= 100_000:
            raise s.error("colours", f"has {colour} = {count!r}; allowed is a whole number, 0 or more")
    return MappingProxyType({colour: counts.whole(colour, 0, 100_000) for colour in colours})


def read_pin(document: Document, lens: LensBlank) -> Pin:
    s = document.section("pin")
    s.refuse_others(names(Pin))
    pin = Pin(
        drop_mm=s.number("drop_mm", 0, 45),
        diameter_mm=s.number("diameter_mm", 0.2, 5),
        length_mm=s.number("length_mm", 0.2, 20),
        least_engagement_mm=s.number("least_engagement_mm", 0.05, 10),
        clearance_mm=s.number("clearance_mm", 0, 5),
    )
    if pin.drop_mm >= lens.radius_mm:
        raise s.error(
            "drop_mm", f"is {pin.drop_mm:g}; allowed is less than the lens radius, {lens.radius_mm:g}"
        )
    if pin.least_engagement_mm > pin.length_mm:
        raise s.error(
            "least_engagement_mm",
            f"is {pin.least_engagement_mm:g}; allowed is at most the pin's length, {pin.length_mm:g}",
        )
    return pin


def read_slot(document: Document) -> Slot:
    s = document.section("slot")
    s.refuse_others(names(Slot))
    slot = Slot(
        width_mm=s.number("width_mm", 0.2, 10),
        least_depth_mm=s.number("least_depth_mm", 0.1, 10),
        aimed_depth_mm=s.number("aimed_depth_mm", 0.1, 10),
        most_depth_mm=s.number("most_depth_mm", 0.1, 10),
        rescue_spacing_mm=s.number("rescue_spacing_mm", 0, 20),
    )
    if not slot.least_depth_mm <= slot.aimed_depth_mm <= slot.most_depth_mm:
        raise s.error(
            "aimed_depth_mm",
            f"is {slot.aimed_depth_mm:g}; allowed is least_depth_mm to most_depth_mm,"
            f" {slot.least_depth_mm:g} to {slot.most_depth_mm:g}",
        )
    return slot


def read_protractor(document: Document) -> Protractor:
    s = document.section("protractor")
    s.refuse_others(names(Protractor))
    return Protractor(
        nasal_index=NasalIndex(s.one_of("nasal_index", [index.value for index in NasalIndex])),
        step_deg=_step(s, "step_deg"),
    )


def _step(s: Section, key: str) -> float:
    """Whole degrees, since an axis is said and keyed in whole degrees."""
    step = s.whole(key, 1, 30)
    if 180 % step:
        raise s.error(key, f"is {step:g}; allowed is a whole number of degrees that divides 180")
    return step


def read_focimeter(document: Document) -> Focimeter:
    s = document.section("focimeter")
    s.refuse_others(names(Focimeter))
    return Focimeter(
        power_step_d=s.number("power_step_d", 0.01, 0.5),
        axis_step_deg=_step(s, "axis_step_deg"),
        reference=_reference(s),
        power_tolerance_d=s.number("power_tolerance_d", 0.01, 1),
        axis_tolerance_deg=s.number("axis_tolerance_deg", 0.1, 15),
    )


def _reference(s: Section) -> Power:
    written = s.text("reference", "a power such as -3.00/-1.00x90")
    try:
        return parse_power(written)
    except OpticsError as error:
        raise s.error("reference", str(error)) from error


def read_limits(document: Document) -> Limits:
    s = document.section("limits")
    s.refuse_others(names(Limits))
    return Limits(
        substitute_blur_d=s.number("substitute_blur_d", 0, 2),
        centre_distance_tolerance_mm=s.number("centre_distance_tolerance_mm", 0.1, 10),
        height_tolerance_mm=s.number("height_tolerance_mm", 0.1, 10),
        # what a reading may be keyed as
        sphere_range_d=s.range("sphere_range_d", -25, 25),
        strongest_cylinder_d=s.number("strongest_cylinder_d", -12, 0),
        near_working_distance_mm=s.number("near_working_distance_mm", 100, 2000),
        acuity_question=s.whole("acuity_question", 3, 60),
    )


def read_tray(document: Document) -> Tray:
    s = document.section("tray")
    s.refuse_others(names(Tray))
    return Tray(columns=s.whole("columns", 1, 100), rows=s.whole("rows", 1, 100))


def read_time_budget(document: Document, steps: Collection[str] | None) -> Mapping[str, float]:
    s = document.section("time_budget_s")
    if steps is not None:
        s.refuse_others(tuple(steps))
    return MappingProxyType({step: s.number(step, 1, 3600) for step in s.values})


def read_supervisor_codes(document: Document) -> tuple[str, ...]:
    s = document.section("supervisor")
    s.refuse_others(("codes",))
    allowed = 'one code or more of 3 to 8 digits, ["4071"]'
    codes = s.value("codes", allowed)
    good = isinstance(codes, list) and all(
        isinstance(c, str) and c.isascii() and c.isdigit() and 3 <= len(c) <= 8 for c in codes
    )
    if not good or not codes:
        raise s.error("codes", f"is {codes!r}; allowed are {allowed}")
    return tuple(codes)
