"""Codes in a supervisor's plain English. Every code the workflow can give has its words here; a test says so."""

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final, NamedTuple

DOING: Final[Mapping[str, str]] = MappingProxyType(
    {
        "closed": "day not opened",
        "helper": "who works here",
        "language": "choosing the language",
        "sound": "trying the sound",
        "voice": "trying the voice",
        "zero": "focimeter: zero",
        "reference": "focimeter: test lens",
        "index": "protractor: test line",
        "cutter": "trying the cutter",
        "order": "choosing an order",
        "key_order": "keying an order",
        "plan": "taking the frame",
        "fetch": "fetching the lens",
        "read": "reading the lens",
        "dot": "dotting the lens",
        "mark": "marking the lens",
        "cut": "cutting the slot",
        "trim": "trimming the pin",
        "fit": "fitting the lens",
        "side": "which side is out",
        "check": "reading the finished lens",
        "distance": "measuring the pair",
        "verdict": "looking at the result",
        "wearer": "fitting the wearer",
        "hand_over": "handing over",
        "account": "where a lens went",
        "supervisor": "waits for the supervisor",
    }
)
"""Step id to what a helper is doing."""

TRIED: Final[Mapping[str, str]] = MappingProxyType({"verdict": "the finished pair's check"})
"""Step id to what went right or wrong there, where that is not what the helper was doing."""

CAUSES: Final[Mapping[str, str]] = MappingProxyType(
    {
        "slot_on_centre_line": "slot cut on the centre line, not at the pin",
        "cut_for_other_eye": "slot cut for the other eye",
        "lenses_swapped": "the two lenses are in each other's rims",
        "face_down": "lens marked or fitted face down",
        "plus_axis_dotted": "dotted along the wrong line, 90 degrees off",
        "scale_misread_ten": "scale read ten too high or too low",
        "digits_confused": "a number taken for one that sounds like it",
        "digits_swapped": "two digits changed places",
        "sphere_sign": "plus and minus mixed up",
        "neighbour_pocket": "lens from the pocket beside",
        "turned_in_rim": "lens turned in its rim, the pin does not hold it",
        "unknown": "no known mistake explains it",
        "wrong_frame": "another frame size than planned",
        "distance_wrong": "distance between the centres is wrong",
        "height_wrong": "one lens sits higher than the other",
        "prism_too_large": "too much prism for these eyes",
        "not_comfortable": "the spectacles do not sit well",
        "acuity_low": "the wearer does not see well enough",
    }
)
"""Cause and wearer codes to what went wrong."""


class Asking(NamedTuple):
    """A question in words, and what each answer does."""

    title: str
    yes: str
    no: str


ASKING: Final[Mapping[str, Asking]] = MappingProxyType(
    {
        "plan": Asking(
            "May this pair be made as planned?", "make it as planned", "send the order back to the clinician"
        ),
        "help": Asking("The helper calls for help", "go on with the step", "give this pair up"),
        "wearer": Asking("The wearer is not served well", "hand it over all the same", "give this pair up"),
        "stuck": Asking("This pair keeps failing its check", "let the helper try again", "give this pair up"),
    }
)
"""Question code to its words."""

ROWS: Final[Mapping[str, tuple[str, str]]] = MappingProxyType(
    {
        "power": ("sphere", " D"),
        "cylinder": ("cylinder", " D"),
        "axis": ("axis", "°"),
        "horizontal_imbalance": ("prism across", " Δ"),
        "vertical_imbalance": ("prism up and down", " Δ"),
        "centre_thickness": ("thickness", " mm"),
    }
)
"""Kind of a tolerance row to its name and unit."""

HELPER_SIGNS: Final = ("sun", "fish", "boat", "tree", "moon", "house", "star", "cup", "drum")
"""The helpers' pictures in words, in the order of their numbers (`ui.pictures.signs.SIGNS`)."""


def helper_sign(helper: int | None) -> str:
    """The picture's word and number; the bench's helpers know it by the picture."""
    if helper is None:
        return "no helper yet"
    known = helper <= len(HELPER_SIGNS)
    return f"{HELPER_SIGNS[helper - 1]} ({helper})" if known else f"helper {helper}"
