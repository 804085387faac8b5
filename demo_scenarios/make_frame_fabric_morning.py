"""Writes mornings/frame_fabric_2026_09_22.yaml: what could be told of the frame-fabric demo shop before work that day.

    python make_frame_fabric_morning.py

The invented shop is simulated from its opening after the works holiday to that Tuesday in the show season, the day
after a public holiday, and what somebody who walks through it could tell is written down: open orders and where their
pieces are, rolls, who is ill.
"""

from __future__ import annotations

from datetime import date
from pathlib import Path

from shopsim.clock import minute_of
from shopsim.floor.read_today import morning_at
from shopsim.shop.shop_file import load_shop
from shopsim.shop.today_file import dump_today

HERE = Path(__file__).resolve().parent
MORNING = "2026-09-22"
CLOCK_MIN = 5 * 60 + 45
HEAD = f"""\
# yaml-language-server: $schema=../today.schema.json
#
# Weir Lane Frame Fabrics, Kelmwick, on the morning of {MORNING}, before the first people come: what the order desk
# knows when customers ring. make_frame_fabric_morning.py wrote it from a simulated shop; a real one is written by hand
# from the job tickets, or comes from the status column of the order book. Everything left out has its usual value:
# pieces not told of have not been started, whoever is not named is there, machines run. What is still to come is in no
# order book: frame_fabric_forecast.yaml has orders come as forecast.

"""


def morning_text() -> str:
    """The file's text."""
    shop = load_shop(HERE / "frame_fabric_shop.yaml")
    until = minute_of(date.fromisoformat(MORNING), shop.scenario.shop.starts, CLOCK_MIN)
    return HEAD + dump_today(morning_at(shop.scenario, shop.order_lines, until))


if __name__ == "__main__":
    name = f"frame_fabric_{MORNING.replace('-', '_')}.yaml"
    (HERE / "mornings" / name).write_text(morning_text(), encoding="utf-8")
