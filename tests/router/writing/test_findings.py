"""What findings say: devices by their names, one as one."""

from __future__ import annotations

from plain_shells import on_wall, plain_shell, project

from ribway.models.plan.plan import Plan
from ribway.router.planner import plan_on


def plan_of_two_sources() -> Plan:
    """A charger and a battery in one bay, one circuit between them that both ends can feed."""
    wanted = project(
        {"bat": on_wall(0.2, 0.5), "chg": on_wall(0.8, 0.5)},
        [{"id": "link", "name": "Charger to battery", "from": "chg", "to": ["bat"], "load_can_feed": True}],
        devices={
            "bat": {"name": "House battery", "kind": "source"},
            "chg": {"name": "Charger", "kind": "source", "amps": 12.0},
        },
    )
    return plan_on(wanted, plain_shell(2.0, 1.5, ()))


def test_devices_are_called_by_their_names() -> None:
    found = {one.code: one for one in plan_of_two_sources().findings}
    assert found["both-ends-live"].remedy == "a fuse of 1 A at Charger and another at House battery, each close to it"
    assert found["unconfirmed-amps"].about == "chg"
    assert found["unconfirmed-amps"].message.endswith("nobody has confirmed: Charger 12 A")
