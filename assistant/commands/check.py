"""`assistant check`: a finished lens judged, the likeliest mistake named, and the way back."""

import argparse
import json
import sys
from pathlib import Path
from typing import Any

from assistant.commands.plan import kit_argument, power_json
from assistant.kit.beside import nearest_pocket, neighbours_of
from assistant.optics.diagnosis import Cause
from assistant.optics.eye import Eye
from assistant.optics.power import OpticsError, Power, parse_power
from assistant.optics.rescue import Rescue
from assistant.workflow.lens_check import EyeCheck, check_eye


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--kit", type=Path, metavar="DIR", help="folder of the kit (the demonstration kit)")
    parser.add_argument(
        "--eye", choices=[eye.value for eye in Eye], required=True, help="which rim the lens is in"
    )
    _add_power(parser, "--ordered", 'what it must read, in either cylinder form, "-2.25/-1.50x10"', True)
    _add_power(parser, "--measured", "what it reads, in either cylinder form", True)
    _add_power(parser, "--other-eye", "what the other eye's lens must read; were the two swapped?", False)
    parser.add_argument("--json", action="store_true", help="print JSON")


def _add_power(parser: argparse.ArgumentParser, option: str, what: str, required: bool) -> None:
    parser.add_argument(option, type=power_argument, metavar="POWER", required=required, help=what)


def run(args: argparse.Namespace) -> int:
    """Print the verdict. Status 0 for a pass, 1 for a failure; raises for unusable input."""
    kit = kit_argument(args.kit)
    check = check_eye(
        args.ordered,
        args.measured,
        Eye(args.eye),
        kit,
        other_eye=args.other_eye,
        neighbours=neighbours_of(kit, nearest_pocket(kit, args.ordered)),
    )
    shown = json.dumps(as_json(check, kit.standard), indent=2) + "\n" if args.json else as_text(check)
    sys.stdout.write(shown)
    return 0 if check.passed else 1


def power_argument(written: str) -> Power:
    """A power of the command line, for argparse."""
    try:
        return parse_power(written)
    except OpticsError as error:
        raise argparse.ArgumentTypeError(str(error)) from error


def as_json(check: EyeCheck, standard: str) -> dict[str, Any]:
    """The check as plain values, nothing rounded; errors are measured minus ordered."""
    judgement = check.judgement
    return {
        "pass": check.passed,
        "standard": standard,
        "row": judgement.row,
        "unverified": judgement.unverified,
        "error": {
            "sphere": judgement.sphere_error,
            "cylinder": judgement.cylinder_error,
            "axis": judgement.axis_error_deg,
            "blur": judgement.blur,
        },
        "causes": [_cause_json(cause) for cause in check.causes],
        "rescue": _rescue_json(check.rescue),
    }


def _cause_json(cause: Cause) -> dict[str, Any]:
    return {
        "code": cause.code.value,
        "predicted": power_json(cause.predicted),
        "distance": cause.distance,
        "ask": cause.ask,
    }


def _rescue_json(rescue: Rescue) -> dict[str, Any]:
    return {
        "kind": rescue.kind.value,
        "turn_from_old_slot_deg": rescue.turn_from_old_slot_deg,
        "scale_setting_deg": rescue.scale_setting_deg,
        "reason": rescue.reason,
    }


def as_text(check: EyeCheck) -> str:
    """The check for people: verdict, row, errors, causes, rescue."""
    judgement = check.judgement
    axis = "-" if judgement.axis_error_deg is None else f"{judgement.axis_error_deg:+.1f}°"
    lines = [
        f"verdict: {'pass' if check.passed else 'fail'}",
        f"row: {judgement.row}",
        f"error: sphere {judgement.sphere_error:+.2f} D, cylinder {judgement.cylinder_error:+.2f} D,"
        f" axis {axis}, blur {judgement.blur:.2f} D",
        *(line for cause in check.causes for line in _cause_lines(cause)),
        f"rescue: {check.rescue.kind.value}: {check.rescue.reason}",
    ]
    if judgement.unverified:
        lines.append("note: a row used is from memory; check it against the bought standard")
    return "\n".join(lines) + "\n"


def _cause_lines(cause: Cause) -> tuple[str, str]:
    gives = "" if cause.predicted is None else f", which would read {cause.predicted}"
    return (f"cause: {cause.code.value}{gives} ({cause.distance:.2f} D away)", f"  ask: {cause.ask}")
