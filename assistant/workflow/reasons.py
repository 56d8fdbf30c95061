"""Every reason a plan can give, by code, with its English: the one list that prompts are checked against.

Prompt ids are `reason-<code>` with the underscores as they stand.
"""

from typing import Final

from assistant.optics.questions import QUESTIONS, Severity
from assistant.workflow.plan import Reason

_PLANNING: Final[dict[str, tuple[Severity, str]]] = {
    "order_impossible": (Severity.RETURN, "the order cannot be made: {why}"),
    "no_lens": (Severity.RETURN, "no lens in stock is near enough for the {eye} eye ({needed})"),
    "no_frame": (
        Severity.RETURN,
        "no frame is left in any size by the book; a case filled up since begins a new record, packed anew",
    ),
    "prism_too_great": (
        Severity.RETURN,
        "no frame size holds the prism: {size:g} mm is the best and gives {horizontal:.2f} horizontal and"
        " {vertical:.2f} vertical; allowed are {allowed}",
    ),
    "rounding_too_great": (
        Severity.ASK,
        "the {eye} eye's axis will be {off:.1f} degrees off, by the protractor's steps of {step:g};"
        " allowed are {window:g}",
    ),
    "substitute": (
        Severity.ASK,
        "the {eye} eye needs {needed}; the nearest lens is {lens}, leaving a blur of {blur:.2f} D",
    ),
}

_ALL: Final = {**QUESTIONS, **_PLANNING}
REASONS: Final[dict[str, str]] = {code: template for code, (_, template) in _ALL.items()}
SEVERITIES: Final[dict[str, Severity]] = {code: severity for code, (severity, _) in _ALL.items()}


def reason(code: str, **figures: object) -> Reason:
    """A reason with its figures filled in. Raises `KeyError` for an unknown code or a figure left out."""
    return Reason(code, REASONS[code].format(**figures))
