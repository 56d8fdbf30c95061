"""`assistant plan`: the whole plan of a pair, for scripts and supervisors."""

import argparse
import json
import re
import sys
from pathlib import Path
from typing import Any

from assistant.kit.load import demo_kit, load_kit
from assistant.kit.orders_file import parse_eye
from assistant.kit.profile import Kit
from assistant.kit.stock import Stock
from assistant.optics.eye import Eye
from assistant.optics.frame import pupils
from assistant.optics.order import EyeOrder, Order, Purpose
from assistant.optics.power import OpticsError, Power, require_range
from assistant.optics.tolerance import STANDARDS
from assistant.optics.vertex import LEAST_VERTEX_MM, MOST_VERTEX_MM
from assistant.workflow.plan import EyePlan, FramePlan, Plan, Verdict
from assistant.workflow.planning import plan_pair
from assistant.workflow.steps import BY_ID

_NUMBER = re.compile(r"[+-]?(\d+([.,]\d*)?|[.,]\d+)", re.ASCII)
_UNVERIFIED = "some rows from memory, to be checked against the bought standard"
_EYE_HELP = 'power of the %s eye in either cylinder form, "-2.25/-1.50x10", or balance, or none'


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--kit", type=Path, metavar="DIR", help="folder of the kit (the demonstration kit)")
    parser.add_argument(
        "--right", type=eye_argument, required=True, metavar="POWER", help=_EYE_HELP % "right"
    )
    parser.add_argument("--left", type=eye_argument, required=True, metavar="POWER", help=_EYE_HELP % "left")
    parser.add_argument(
        "--pd",
        type=millimetres_argument,
        required=True,
        metavar="MM",
        help="distance between the pupils, far",
    )
    parser.add_argument(
        "--right-pd", type=millimetres_argument, metavar="MM", help="right half of it, from the nose"
    )
    parser.add_argument("--left-pd", type=millimetres_argument, metavar="MM", help="left half of it")
    parser.add_argument("--near", action="store_true", help="a pair for near work")
    parser.add_argument(
        "--near-pd", type=millimetres_argument, metavar="MM", help="near distance, if it was measured"
    )
    parser.add_argument(
        "--refraction-vertex",
        type=millimetres_argument,
        metavar="MM",
        help="vertex distance of the refraction",
    )
    parser.add_argument("--child", action="store_true", help="the wearer is a child")
    parser.add_argument("--json", action="store_true", help="print JSON")


def run(args: argparse.Namespace) -> int:
    """Print the plan. Status 0 to make, 1 to ask or return; raises for unusable input."""
    kit = kit_argument(args.kit)
    order = _order(args)
    # measurements no person has are unusable input here; the same figures at a bench are a returned order
    pupils(order, kit.limits.near_working_distance_mm)
    if order.near_pd_mm is not None and not args.near:
        raise OpticsError("a near distance is given for a far pair; allowed is --near-pd with --near only")
    if order.refraction_vertex_mm is not None:
        require_range(
            "refraction vertex distance", order.refraction_vertex_mm, LEAST_VERTEX_MM, MOST_VERTEX_MM, " mm"
        )
    plan = plan_pair(order, kit, Stock.packed(kit.bank))
    sys.stdout.write(json.dumps(as_json(plan), indent=2) + "\n" if args.json else as_text(plan))
    return 0 if plan.verdict is Verdict.MAKE else 1


def kit_argument(folder: Path | None) -> Kit:
    """The kit named on the command line, the demonstration kit where none is. Raises `KitError`."""
    return demo_kit(BY_ID) if folder is None else load_kit(folder, BY_ID)


def eye_argument(written: str) -> EyeOrder:
    """One eye of the command line, for argparse."""
    try:
        return parse_eye(written)
    except OpticsError as error:
        raise argparse.ArgumentTypeError(str(error)) from error


def millimetres_argument(written: str) -> float:
    """A length of the command line in mm, for argparse; its range is judged where it is used."""
    if not _NUMBER.fullmatch(written):
        raise argparse.ArgumentTypeError(
            f"length {written!r} cannot be read; write millimetres as 61 or 30.5"
        )
    return float(written.replace(",", "."))


def _order(args: argparse.Namespace) -> Order:
    return Order(
        right=args.right,
        left=args.left,
        pd_mm=args.pd,
        right_pd_mm=args.right_pd,
        left_pd_mm=args.left_pd,
        refraction_vertex_mm=args.refraction_vertex,
        purpose=Purpose.NEAR if args.near else Purpose.FAR,
        near_pd_mm=args.near_pd,
        child=args.child,
    )


def as_json(plan: Plan) -> dict[str, Any]:
    """The plan as plain values; powers in dioptres, lengths in mm, angles in degrees, nothing rounded."""
    return {
        "verdict": plan.verdict.value,
        "reasons": [{"code": reason.code, "text": reason.text} for reason in plan.reasons],
        "frame": _frame_json(plan.frame),
        "eyes": {eye.value: _eye_json(plan.eye(eye)) for eye in Eye},
        "standard": plan.standard,
        "standard_unverified": STANDARDS[plan.standard].unverified,
    }


def _frame_json(frame: FramePlan | None) -> dict[str, Any] | None:
    if frame is None:
        return None
    return {
        "centre_distance_mm": frame.centre_distance_mm,
        "horizontal_imbalance": frame.horizontal_imbalance,
        "base": frame.base,
        "vertical_imbalance": frame.vertical_imbalance,
        "within": frame.within,
    }


def _eye_json(eye: EyePlan) -> dict[str, Any]:
    lens = eye.lens
    return {
        "ordered": power_json(eye.ordered),
        "needed": power_json(eye.needed),
        "lens": None
        if lens is None
        else {
            "sphere": lens.sphere,
            "cylinder": lens.cylinder,
            "pocket": lens.pocket,
            "check_number": lens.check_number,
        },
        "grade": eye.grade.value,
        "error": {"mean": eye.mean_error_d, "blur": eye.blur_d},
        "slot_bearing_deg": eye.slot_bearing_deg,
        "scale_setting_deg": eye.scale_setting_deg,
        "setting_rounding_deg": eye.setting_rounding_deg,
        "axis_window_deg": eye.axis_window_deg,
        "edge_thickness_mm": eye.edge_thickness_mm,
        "stands_proud": eye.stands_proud,
        "balance": eye.balance,
    }


def power_json(power: Power | None) -> dict[str, float | None] | None:
    """A power as it stands, in the form it is in; axis null without a cylinder."""
    if power is None:
        return None
    return {"sphere": power.sphere + 0.0, "cylinder": power.cylinder + 0.0, "axis": power.axis}


def as_text(plan: Plan) -> str:
    """The plan as a table for people, then every reason."""
    rows = [("", "right eye", "left eye"), *zip(_LABELS, _cells(plan.right), _cells(plan.left), strict=True)]
    widths = [max(len(row[column]) for row in rows) for column in range(3)]
    table = ("  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)) for row in rows)
    standard = STANDARDS[plan.standard]
    head = {Verdict.MAKE: "make it", Verdict.ASK: "ask the supervisor", Verdict.RETURN: "send it back"}
    lines = [
        f"verdict: {plan.verdict.value} ({head[plan.verdict]})",
        *(f"  - {reason.text} [{reason.code}]" for reason in plan.reasons),
        _frame_line(plan.frame),
        "",
        *(line.rstrip() for line in table),
        "",
        f"tolerances: {standard.title}{', ' + _UNVERIFIED if standard.unverified else ''}",
    ]
    return "\n".join(lines) + "\n"


_LABELS = (
    "ordered",
    "needed",
    "lens",
    "pocket (check number)",
    "grade",
    "mean error, blur",
    "slot bearing",
    "scale setting",
    "axis window",
    "edge at the slot",
)


def _cells(eye: EyePlan) -> tuple[str, ...]:
    lens = eye.lens
    proud = ", stands proud" if eye.stands_proud else ""
    anywhere = "-" if lens is None else "anywhere"
    return (
        "balance" if eye.balance else _shown(eye.ordered, ""),
        _shown(eye.needed, ""),
        "-" if lens is None else f"{lens.sphere:+.2f}/{lens.cylinder:+.2f}",
        "-" if lens is None else f"{lens.pocket} ({lens.check_number})",
        eye.grade.value,
        "-" if lens is None else f"{_shown(eye.mean_error_d, '+.2f')} D, {_shown(eye.blur_d, '.2f')} D",
        f"{eye.slot_bearing_deg:.1f}°",
        anywhere if eye.scale_setting_deg is None else f"{eye.scale_setting_deg:g}°",
        "-" if eye.axis_window_deg is None else f"±{eye.axis_window_deg:g}°",
        "-" if eye.edge_thickness_mm is None else f"{eye.edge_thickness_mm:.1f} mm{proud}",
    )


def _shown(value: object, form: str) -> str:
    return "-" if value is None else format(value, form)


def _frame_line(frame: FramePlan | None) -> str:
    if frame is None:
        return "frame: none"
    base = f" base {frame.base}" if frame.base else ""
    return (
        f"frame: {frame.centre_distance_mm:g} mm between centres; imbalance"
        f" {frame.horizontal_imbalance:.2f} horizontal{base}, {frame.vertical_imbalance:.2f} vertical,"
        f" {'within' if frame.within else 'beyond'} the standard"
    )
