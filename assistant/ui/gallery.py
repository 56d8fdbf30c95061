"""Every picture, with figures that show it well: `python -m assistant.ui.gallery [mode] [columns] [rows]`.

For whoever changes a picture and for trainers; the figures are nobody's order and no kit's.
"""

import os
import sys

from assistant.kit.profile import NasalIndex
from assistant.optics.eye import Eye
from assistant.ui.canvas import draw
from assistant.ui.glyphs import Glyphs, detect
from assistant.ui.pictures import scene
from assistant.workflow import pictures as p
from assistant.workflow.events import Room
from assistant.workflow.plan import Verdict

_READ = (("sphere", -2.25), ("cylinder", -1.5))


def gallery() -> dict[str, p.Picture]:
    """A picture of every kind, both eyes where it matters, by a name that sorts in the order of the job."""
    return {**_day(), **_making(), **_results()}


def _day() -> dict[str, p.Picture]:
    return {
        "01-closed": p.ClosedPicture(),
        "02-helper": p.HelperPicture(6),
        "03-language": p.LanguagePicture(("en", "pt", "fr", "sw")),
        "04-sound": p.SoundPicture(),
        "04-voice": p.VoicePicture("74", Room.GOOD, 1, 4),
        "04-voice-middling": p.VoicePicture("38", Room.MIDDLING, 3, 4),
        "04-voice-too-loud": p.VoicePicture(None, Room.BAD, 0, 4),
        "05-zero": p.ZeroPicture(),
        "06-reference-axis": p.ReferencePicture("axis", _READ),
        "07-index-pin": p.IndexPicture(NasalIndex.AT_PIN, 5.7),
        "07-index-line": p.IndexPicture(NasalIndex.ON_CENTRE_LINE, 5.7),
        "08-cutter": p.CutterPicture(),
        "10-order": p.OrderPicture(
            (p.WaitingOrder(1, "104"), p.WaitingOrder(2, "105", near=True), p.WaitingOrder(3, "107"))
        ),
        "11-key-case": p.KeyOrderPicture("case"),
        "11-key-purpose": p.KeyOrderPicture("purpose"),
        "11-key-kind": p.KeyOrderPicture("right_kind", Eye.RIGHT),
        "11-key-cylinder": p.KeyOrderPicture("left_cylinder", Eye.LEFT),
        "11-key-axis": p.KeyOrderPicture("left_axis", Eye.LEFT),
        "11-key-pd": p.KeyOrderPicture("pd"),
        "11-key-vertex": p.KeyOrderPicture("vertex"),
        "11-key-read-back": p.KeyOrderPicture("read_back"),
        "12-plan-make": p.PlanPicture(Verdict.MAKE, 62.0, 417, 88),
        "12-plan-ask": p.PlanPicture(Verdict.ASK, 58.0, 417, None),
        "12-plan-return": p.PlanPicture(Verdict.RETURN, None, None, None),
    }


def _making() -> dict[str, p.Picture]:
    return {
        "20-tray-right": p.TrayPicture(Eye.RIGHT, 417, 20, 12),
        "20-tray-left": p.TrayPicture(Eye.LEFT, 9, 8, 6),
        "21-read-sphere": p.FocimeterPicture(Eye.RIGHT, "sphere"),
        "21-read-cylinder": p.FocimeterPicture(Eye.LEFT, "cylinder", _READ[:1]),
        "22-dot": p.DotPicture(Eye.RIGHT),
        "23-mark-right": p.ProtractorPicture(Eye.RIGHT, 35.0, False, 4.1),
        "23-mark-left": p.ProtractorPicture(Eye.LEFT, 110.0, True, 5.7),
        "23-mark-any": p.ProtractorPicture(Eye.LEFT, None, False, 5.7),
        "24-slot-to-cut": p.SlotPicture(Eye.RIGHT, None, 1.6, 1.9, 2.2, 1.1, 1.0),
        "24-slot-shallow": p.SlotPicture(Eye.RIGHT, 1.2, 1.6, 1.9, 2.2, 1.1, 1.0),
        "24-slot-good": p.SlotPicture(Eye.LEFT, 1.9, 1.6, 1.9, 2.2, 1.1, 1.0),
        "25-pin-to-trim": p.PinPicture(Eye.LEFT, 1.9, 1.7, None, 1.0, 0.2),
        "25-pin-long": p.PinPicture(Eye.RIGHT, 1.9, 1.7, 2.3, 1.0, 0.2),
        "26-fit": p.FitPicture(Eye.RIGHT, 355.9),
        "26-fit-left": p.FitPicture(Eye.LEFT, 184.1),
        "27-check-axis": p.FocimeterPicture(Eye.RIGHT, "axis", _READ, in_rim=True),
    }


def _results() -> dict[str, p.Picture]:
    good = p.EyeResult(Eye.RIGHT, True, 1.0, 3.0, 0.06, 0.12)
    turned = p.EyeResult(
        Eye.LEFT, False, 5.7, 3.0, 0.0, 0.12, "slot_on_centre_line", "second_slot", turn_deg=-60.0
    )
    doubtful = p.EyeResult(
        Eye.LEFT,
        False,
        11.0,
        3.0,
        0.0,
        0.12,
        "cut_for_other_eye",
        "second_slot",
        turn_deg=-11.0,
        rival="scale_misread_ten",
    )
    far = p.EyeResult(Eye.RIGHT, False, -40.0, 3.0, -0.5, 0.12, "lenses_swapped", "swap_lenses")
    lost = p.EyeResult(Eye.LEFT, False, None, None, 0.25, 0.12, "neighbour_pocket", "set_aside")
    return {
        "30-centres": p.DistancePicture("centres"),
        "30-height": p.DistancePicture("height", (("centres", 62.0),)),
        "31-verdict-one-wrong": p.VerdictPicture(False, good, turned),
        "31-verdict-both-wrong": p.VerdictPicture(
            False, far, lost, False, False, ("wrong_frame", "height_wrong", "prism_too_large")
        ),
        "31-verdict-two-causes": p.VerdictPicture(False, good, doubtful),
        "31-verdict-right": p.VerdictPicture(True, good, None),
        "32-rescue-left": p.RescuePicture(Eye.LEFT, 250.0, 184.1, 140.0),
        "32-rescue-right": p.RescuePicture(Eye.RIGHT, 80.0, 355.9, 20.0),
        "33-wearer": p.WearerPicture("comfortable"),
        "33-acuity": p.WearerPicture("acuity"),
        "34-hand-over": p.HandOverPicture("104"),
        "34-side": p.SidePicture(Eye.RIGHT),
        "35-account": p.AccountPicture(Eye.LEFT, 417),
        "36-supervisor-plan": p.SupervisorPicture("plan"),
        "36-supervisor-help": p.SupervisorPicture("help"),
        "36-supervisor-stuck": p.SupervisorPicture("stuck"),
        "36-supervisor-wearer": p.SupervisorPicture("wearer"),
        "40-right": p.OutcomePicture(p.Outcome.RIGHT),
        "40-wrong": p.OutcomePicture(p.Outcome.WRONG),
        "40-wait": p.OutcomePicture(p.Outcome.WAIT),
    }


def main(arguments: list[str]) -> None:
    """Print every picture in a mode (this terminal's by default) and a size."""
    glyphs = Glyphs(arguments[0]) if arguments else detect(os.environ, sys.stdout.encoding)
    columns, rows = (int(a) for a in arguments[1:3]) if len(arguments) > 2 else (78, 16)
    for name, picture in gallery().items():
        cells = draw(scene(picture), columns, rows, glyphs)
        print(name)
        print("\n".join("".join(cell.char for cell in row) for row in cells))


if __name__ == "__main__":
    main(sys.argv[1:])
