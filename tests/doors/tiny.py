"""A shop small enough to follow by hand, as files: nothing in it is random.

Flags of 1 m x 1 m on a web 1 m wide, printed at 1 m a minute. Monday: the plate warms up 07:00-07:20, the roll is
mounted 07:20-07:40, 20 flags of order A print until 08:00, 10 of order B until 08:10; after 3 m of tail they are off at
08:03 and 08:13. Sewing takes 3 minutes a flag: A 08:03-09:03, B until 09:33. Packing takes 1 minute: A until 09:23,
B 09:33-09:43. Order D comes at 10:00: 100 flags print until 11:40, off at 11:43, sewn 11:43-12:00, 12:30-15:00 and
Tuesday 07:00-09:13, packed until 10:53. The van comes at 15:00: A and B leave on Monday, as due; D, due on Monday too,
leaves on Tuesday.
"""

from pathlib import Path

SHOP = """\
shop: {name: Tiny shop, starts: 2026-01-05}
fabrics:
  - {id: knit, family: other, roll_width_m: 1.0, roll_length_m: 300, shrink_along_pct: 0, shrink_across_pct: 0}
supplies: {gap_m: 0, edge_margin_m: 0}
printers:
  - id: p1
    print_width_m: 1.0
    modes: [{id: std, area_rate_m2_per_h: 60, rated_width_m: 1.0, achieved_share: 1.0}]
    fixation: {kind: inline, plate_m: 0.8, tail_m: 3, warm_up_min: 20}
    roll_change: {full_min: 20, leader_m: 4, needs_lift: false}
    nozzle_check: null
    first_article: null
    minor_stops: null
    breakdowns: null
    attention_pct: 0
    care: {daily_min: 0, weekly_min: 0, service_every_days: null}
    money: {price: 0}
work_centres:
  - {id: sewing_table, kind: sewing}
  - {id: bench, kind: packing}
shifts:
  - {id: day, weeks: [{blocks: [{days: [mon, tue, wed, thu, fri], hours: "07:00-15:00"}]}]}
  - id: day_with_break
    weeks: [{blocks: [{days: [mon, tue, wed, thu, fri], hours: "07:00-15:00", breaks: ["12:00-12:30"]}]}]
crews:
  - {id: operator, skills: {printing: 3}, shift: day, wage_per_h: 30}
  - {id: sewer, name: Sewer, skills: {sewing: 3}, shift: day_with_break, wage_per_h: 20}
  - {id: packer, skills: {packing: 3}, shift: day, wage_per_h: 20}
products:
  - id: flag
    fabric: knit
    sizes: [{width_m: 1.0, height_m: 1.0}]
    bundle_pieces: 1000
    price_per_m2: 20
    route:
      - {op: print, mode: std, edge_extra_m: 0}
      - {op: work, at: sewing_table, minutes: 3}
      - {op: pack, at: bench, minutes: 1}
demand:
  order_book: {file: orders.csv}
policies:
  printing: {gang_max_web_m: 500}
  quality: {print_fault_pct: 0, cut_loss_pct: 0, sewing_fault_pct: 0}
  dispatch: {cut_off: "15:00", courier_days: 1}
money: {packing_and_freight_per_order: 10}
study: {weeks: 1, opening: empty, replications: 3, seed: 1, on_time_target_pct: 90}
"""
ORDERS = """\
order_id,received,due,product,pieces
A,2026-01-05 07:00,2026-01-05,flag,20
B,2026-01-05 07:50,2026-01-05,flag,10
D,2026-01-05 10:00,2026-01-05,flag,100
"""


def write_shop(folder: Path, shop: str = SHOP, orders: str = ORDERS) -> Path:
    """Write the shop and its order book into a folder; the scenario's path."""
    (folder / "orders.csv").write_text(orders, encoding="utf-8")
    path = folder / "tiny.yaml"
    path.write_text(shop, encoding="utf-8")
    return path
