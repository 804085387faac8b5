"""What one owner alone holds, written in its place (rolls, bands, portions, what a customer ordered); who and where."""

from __future__ import annotations

from struct import Struct

from shopsim.floor.gangs import Band, Portion
from shopsim.floor.interrupts import Stretch
from shopsim.floor.order_table import LineDraw, OrderDraw
from shopsim.floor.people import Person
from shopsim.floor.record import COLUMNS
from shopsim.floor.rooms import RoomWait
from shopsim.floor.snapshot.kinds import NUMBER, TEXT, TRUTH, WHOLE, Fields, Maybe, Part, Row, Several, Thing, Together
from shopsim.floor.stations import Station
from shopsim.floor.web import Roll

_ROW = Struct(f"{len(COLUMNS['operations'])}d")

PERSON = Part(Person, "a person")
STATION = Part(Station, "a place")
OWNERS = Several(Together(Thing("jobs"), WHOLE))
PORTION = Fields(Portion, run=WHOLE, started=NUMBER, owners=OWNERS, web_m=NUMBER)
ROLL = Fields(Roll, fabric=WHOLE, lot=WHOLE, left_m=NUMBER)
BAND = Fields(Band, {"printed_m": NUMBER}, length_m=NUMBER, owners=OWNERS, pieces_m2=NUMBER)
STRETCH = Fields(
    Stretch, row=Row(_ROW.pack, _ROW.unpack), end=NUMBER, hours=Several(Together(NUMBER, NUMBER)), worked_min=NUMBER,
    pace=NUMBER, standard_min=NUMBER, family_before=WHOLE,
)  # fmt: skip
LINE = Fields(LineDraw, product=WHOLE, pieces=WHOLE, width_m=NUMBER, height_m=NUMBER, first_row=WHOLE)
ORDER = Fields(
    OrderDraw, received=NUMBER, due=NUMBER, rush=TRUTH, repeat=TRUTH, artwork_min=NUMBER, cancel_at=NUMBER,
    check_min=NUMBER, courier_days=NUMBER, check_order_min=NUMBER, lines=Several(LINE), approved=NUMBER, name=TEXT,
    priority=WHOLE, outside=TEXT,
)  # fmt: skip
TASK = Thing("tasks")
ROOM_WAIT = Fields(RoomWait, since=NUMBER, on=Maybe(TASK))
