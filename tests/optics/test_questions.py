"""Each question of the list is asked when it should be, and not a hair before."""

import pytest

from assistant.optics.order import EyeKind, EyeOrder, Order, Purpose
from assistant.optics.power import Power, parse_power
from assistant.optics.questions import QUESTIONS, BankRange, Severity, questions

RANGE = BankRange((-12.0, 12.0), -3.0)


def eye(written: str) -> EyeOrder:
    return (
        EyeOrder(None, EyeKind(written)) if written in ("none", "balance") else EyeOrder(parse_power(written))
    )


def asked(
    right: str = "-2.00/-0.50x10", left: str = "-2.00/-0.50x170", pd: float = 62.0, **more: object
) -> list[str]:
    repeated = bool(more.pop("repeated", False))
    order = Order(eye(right), eye(left), pd_mm=pd, **more)  # type: ignore[arg-type]
    needed = (order.right.power, order.left.power)
    return [q.code for q in questions(order, needed, RANGE, repeated=repeated)]


def test_a_usual_order_raises_no_question() -> None:
    assert asked() == []
    assert asked("+1.00/-0.75x90", "balance") == []
    assert asked("none", "-4.00") == []


@pytest.mark.parametrize(
    ("order", "codes"),
    [
        ({"right": "-2.30"}, ["sphere_not_quarter"]),
        ({"right": "-2.12/-0.50x10"}, ["sphere_not_quarter"]),
        ({"left": "-2.00/-0.40x10"}, ["cylinder_not_quarter"]),
        ({"left": "-2.00/-0.50x0.5"}, ["axis_out_of_range"]),
        ({"left": "-2.00/-0.50x0"}, []),  # 0 is read as 180
        ({"right": "-0.25", "left": "+0.25"}, ["sphere_signs_differ"]),
        ({"right": "0", "left": "+0.25"}, []),
        ({"right": "+0.50/-1.00x90", "left": "-0.50/+1.00x180"}, []),  # the same lens in two forms
        ({"right": "-1.00", "left": "-3.00"}, []),
        ({"right": "-1.00", "left": "-3.25"}, ["unequal_powers"]),
        ({"right": "-2.00/-1.00x20", "left": "-2.00/-1.00x20"}, []),
        ({"right": "-2.00/-1.00x20", "left": "-2.00/-1.00x160"}, []),
        ({"right": "-2.00/-1.00x20", "left": "-2.00/-1.00x90"}, ["axes_unlike"]),
        ({"right": "-2.00/-0.75x20", "left": "-2.00/-2.00x90"}, []),
        ({"right": "-2.00/-1.00x175", "left": "-2.00/-1.00x10"}, []),
        ({"pd": 48.0}, []),
        ({"pd": 78.0}, []),
        ({"pd": 47.5}, ["pd_unusual"]),
        ({"pd": 78.5}, ["pd_unusual"]),
        ({"pd": 47.5, "child": True}, []),
        ({"pd": 39.0, "child": True}, ["pd_unusual"]),
        ({"right_pd_mm": 33.0, "left_pd_mm": 29.0}, []),
        ({"right_pd_mm": 33.5, "left_pd_mm": 28.5}, ["pd_halves_differ"]),
        ({"right_pd_mm": 32.0, "left_pd_mm": 32.0}, ["pd_halves_sum"]),
        ({"purpose": Purpose.NEAR, "near_pd_mm": 58.0}, []),
        ({"purpose": Purpose.NEAR, "near_pd_mm": 63.0}, ["near_pd_greater"]),
        ({"right": "-12.25", "left": "-12.00"}, ["beyond_bank"]),
        ({"right": "-2.00/-3.25x10", "left": "-2.00/-3.00x170"}, ["beyond_bank"]),
        ({"repeated": True}, ["repeated"]),
        ({"right": "none", "left": "none"}, ["nothing_to_make"]),
        ({"right": "none", "left": "balance"}, ["balance_alone"]),
        ({"right": "balance", "left": "balance"}, ["balance_alone"]),
    ],
)
def test_questions(order: dict[str, object], codes: list[str]) -> None:
    assert asked(**order) == codes  # type: ignore[arg-type]


def test_the_gravest_comes_first_and_says_return() -> None:
    order = Order(eye("none"), eye("none"), pd_mm=20.0)
    found = questions(order, (None, None), RANGE)
    assert [q.severity for q in found] == [Severity.RETURN, Severity.ASK]


def test_texts_carry_the_figures() -> None:
    order = Order(eye("-2.00/-3.25x10"), eye("+1.00"), pd_mm=80.0)
    found = {q.code: q.text for q in questions(order, (order.right.power, order.left.power), RANGE)}
    assert found["beyond_bank"] == (
        "right power -2.00/-3.25x10 is beyond the bank: spheres -12.00 to +12.00 D, cylinders to -3.00 D"
    )
    assert "80 mm is outside 48 to 78 mm" in found["pd_unusual"]
    assert all("{" not in text for text in found.values())


def test_the_bank_is_compared_with_what_is_needed_not_with_what_was_written() -> None:
    order = Order(eye("-12.50"), eye("-12.50"), pd_mm=60.0, refraction_vertex_mm=20.0)
    assert [q.code for q in questions(order, (Power(-11.5), Power(-11.5)), RANGE)] == []


def test_codes_are_snake_case() -> None:
    assert all(code.replace("_", "").isalpha() and code.islower() for code in QUESTIONS)
