from pathlib import Path

import pytest

from assistant.kit.fields import KitError
from assistant.kit.load import demo_orders, load_orders
from assistant.kit.orders_file import read_orders
from assistant.optics.order import EyeKind, Purpose

DEMO = Path(__file__).parents[2] / "assistant" / "kit" / "demo" / "orders.toml"


def test_demo_orders_are_kept_as_written() -> None:
    orders = {order.case: order for order in demo_orders()}
    assert demo_orders() == load_orders(DEMO)
    assert str(orders["104"].right.power) == "+0.25/+1.25x95"
    assert orders["102"].purpose is Purpose.NEAR
    assert orders["105"].left.kind is EyeKind.BALANCE
    assert orders["103"].refraction_vertex_mm == 13.0


@pytest.mark.parametrize(
    ("line", "message"),
    [
        ('right = "-2.25/-1.50"', "line 3, orders[1].right: cylinder -1.50 D has no axis"),
        ('right = "-2.25x"', "line 3, orders[1].right: power '-2.25x' cannot be read"),
        ("right = -2.25", "line 3, orders[1].right: is -2.25; allowed is a power such as"),
        ("pd_mm = 620", "line 3, orders[1].pd_mm: is 620; allowed is 30 to 90"),
        ('purpose = "close"', "line 3, orders[1].purpose: is 'close'; allowed are far, near"),
        ('child = "yes"', "line 3, orders[1].child: is 'yes'; allowed are true and false"),
        ('name = "A. Person"', "line 3, orders[1].name: is not known; allowed are case"),
        ('case = "A. Person"', "line 3, orders[1].case: is 'A. Person'; allowed is a case number"),
    ],
)
def test_refusals_name_line_and_field(line: str, message: str) -> None:
    key = line.split(" =")[0]
    others = {"case": '"7"', "right": '"-1.00"', "left": '"none"', "pd_mm": "60"}
    rest = "\n".join(f"{name} = {value}" for name, value in others.items() if name != key)
    with pytest.raises(KitError) as refused:
        read_orders("orders.toml", f"# one\n[[orders]]\n{line}\n{rest}\n")
    assert message in str(refused.value)


def test_a_case_comes_once() -> None:
    one = '[[orders]]\ncase = "7"\nright = "none"\nleft = "-1.00"\npd_mm = 60\n'
    with pytest.raises(KitError, match="more than once"):
        read_orders("orders.toml", one + one)


def test_a_missing_orders_file_is_named(tmp_path: Path) -> None:
    with pytest.raises(KitError, match=r"today\.toml: is not there$"):
        load_orders(tmp_path / "today.toml")
