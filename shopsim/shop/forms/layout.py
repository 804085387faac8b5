"""Which fields a person edits, in which order, in which table of which part of the shop.

A field's own facts (range, unit, help) come from the models and `words`; here stand only names. Fields that no table
holds are edited elsewhere: a shift's weeks and breaks (`shift_grid`), the shares of a forecast (`forecast_rates`).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import get_args

from pydantic import BaseModel

from shopsim.shop import (
    demand,
    materials,
    money,
    people,
    policies,
    printers,
    products,
    scenario,
    work_centres,
    working_time,
)
from shopsim.shop.forms.columns import Column, column

Models = tuple[type[BaseModel], ...]
_ROUTE: Models = get_args(get_args(products.Operation)[0])


@dataclass(frozen=True, slots=True)
class Layout:
    """One table: where its rows are, and their fields by path inside a row's item.

    `place` leads to a list, a row an item, or (`single`) to a group of keys, which is the only row. With `owner` (a
    list) the place is one inside each of its items, and one item's table is shown at a time. `new` is what a new row
    holds besides a free id.
    """

    key: str
    title: str
    place: str
    models: Models
    fields: tuple[str, ...]
    single: bool = False
    owner: str = ""
    new: tuple[tuple[str, object], ...] | None = None

    @property
    def columns(self) -> tuple[Column, ...]:
        """The columns, in order."""
        return _columns(self.models, self.fields)


@dataclass(frozen=True, slots=True)
class Part:
    """The tables of one part of the shop."""

    key: str
    title: str
    tables: tuple[Layout, ...]


@cache
def _columns(models: Models, fields: tuple[str, ...]) -> tuple[Column, ...]:
    return tuple(column(models, field) for field in fields)


def _in(group: str, fields: str) -> str:
    return " ".join(f"{group}.{field}" for field in fields.split())


def _list(key: str, title: str, place: str, models: Models, fields: str, new: dict[str, object] | None = None,
          owner: str = "") -> Layout:  # fmt: skip
    made = None if new is None else tuple(new.items())
    return Layout(key, title, place, models, tuple(fields.split()), owner=owner, new=made)


def _sheet(key: str, title: str, place: str, model: type[BaseModel], fields: str) -> Layout:
    return Layout(key, title, place, (model,), tuple(fields.split()), single=True)


_POWER, _PRICE = "running_kw standby_kw off_kw", "price life_years resale_pct service_pct_per_year floor_m2"
_STOPS = "* every_running_h every_calendar_h repair_at renew_after_running_h renewal_h"
_REPAIR: dict[str, object] = {"share_pct": 10, "hours": 4}
_FABRICS, _PRINTERS = (materials.Fabric,), (printers.Printer,)
_CALENDERS, _CENTRES = (printers.Calender,), (work_centres.WorkCentre,)
_CREWS, _PRODUCTS = (people.Crew,), (products.Product,)

CLOTH = Part("cloth", "Cloth", (
    _list("fabrics", "Fabrics", "fabrics", _FABRICS,
          "id name family roll_width_m roll_length_m price_per_m2 may_turn flame_class", {"family": "front_lit"}),
    _list("fixing", "Fixing and shrinkage", "fabrics", _FABRICS,
          "id plate_c dwell_s shrink_along_pct shrink_across_pct mass_g_per_m2 ink_ml_per_m2 cut_methods"),
    _list("stock", "Stock", "fabrics", _FABRICS,
          "id " + _in("stock", "rolls reorder_at_rolls order_rolls supply_days")),
    _sheet("supplies", "Ink and supplies", "supplies", materials.Supplies,
           "ink_price_per_l remnant_keep_m edge_margin_m gap_m panel_overlap_m idle_ink_pct"),
))  # fmt: skip

PRINT_ROOM = Part("printers", "Printers", (
    _list("printers", "Printers", "printers", _PRINTERS,
          "id name print_width_m attention_pct mode_change_min unattended_running hot_overnight",
          {"modes": [{"id": "normal", "passes": 4}]}),
    _list("modes", "Print modes", "modes", (printers.Mode,),
          "id passes both_ways area_rate_m2_per_h rated_width_m achieved_share", {"passes": 4}, owner="printers"),
    _list("heads", "Heads", "printers", _PRINTERS,
          "id " + _in("head", "swath_m carriage_m_per_s return_m_per_s overscan_m turnaround_s")),
    _list("fixation", "Fixing in the printer", "printers", _PRINTERS,
          "id " + _in("fixation", "kind plate_m tail_m tail_at_cap_speed web_lift warm_up_min up_min_per_10c "
                      "down_min_per_10c calender drying_min head_to_take_up_m")),
    _list("roll_change", "Roll change", "printers", _PRINTERS,
          "id " + _in("roll_change", "full_min join_min leader_m join_waste_m seam_trouble_pct people needs_lift") + " "
          + _in("take_up", "leaves change_min full_at_m")),
    _list("nozzles", "Nozzle checks", "printers", _PRINTERS,
          "id " + _in("nozzle_check", "* at_shift_start after_roll_change every_running_h minutes fails_pct "
                      "fails_after_idle_pct idle_h test_strip_m slow_speed_share service_min")),
    _list("ladder", "Steps of cleaning", "nozzle_check.ladder", (printers.CleaningStep,),
          "name minutes ink_ml cures_pct", {"name": "clean", "minutes": 3, "ink_ml": 40, "cures_pct": 75},
          owner="printers"),
    _list("first_article", "First article", "printers", _PRINTERS,
          "id " + _in("first_article", "* share_of_runs_pct minutes strip_m passes_pct correction_min")),
    _list("minor_stops", "Minor stops", "printers", _PRINTERS,
          "id " + _in("minor_stops", "* every_running_h minutes restart_min waste_m loses_piece_pct")),
    _list("breakdowns", "Breakdowns", "printers", _PRINTERS, "id " + _in("breakdowns", _STOPS)),
    _list("repairs", "Kinds of repair", "breakdowns.repairs", (printers.RepairKind,), "share_pct hours", _REPAIR,
          owner="printers"),
    _list("care", "Care and service", "printers", _PRINTERS,
          "id " + _in("care", "daily_min weekly_min service_every_days service_h")),
    _list("printer_power", "Power and price", "printers", _PRINTERS,
          "id " + _in("power", _POWER) + " " + _in("money", _PRICE)),
))  # fmt: skip

CALENDERS = Part("calenders", "Calenders", (
    _list("calenders", "Calenders", "calenders", _CALENDERS,
          "id name count drum_m wrapped_share dwell_s warm_up_min people set_up_min waste_m_per_roll reject_pct", {}),
    _list("calender_power", "Power and price", "calenders", _CALENDERS,
          "id " + _in("power", _POWER) + " " + _in("money", _PRICE)),
))  # fmt: skip

PLACES = Part("work_centres", "Work centres", (
    _list("work_centres", "Work centres", "work_centres", _CENTRES,
          "id name kind seats skill queue_rule interrupted_by set_up_min change_over_min allowance_pct spread", {}),
    _list("handling", "Cutting, handling, room", "work_centres", _CENTRES,
          "id method eyelet_press second_person_above_m second_person_above_m2 two_person_labour_factor "
          "room_before_bundles"),
    _list("stops", "Breakdowns", "work_centres", _CENTRES, "id " + _in("stops", _STOPS)),
    _list("centre_repairs", "Kinds of repair", "stops.repairs", (printers.RepairKind,), "share_pct hours", _REPAIR,
          owner="work_centres"),
    _list("centre_price", "Power and price", "work_centres", _CENTRES, "id running_kw " + _in("money", _PRICE)),
))  # fmt: skip

PEOPLE = Part("people", "People", (
    _list("crews", "Crews", "crews", _CREWS,
          "id name count shift wage_per_h efficiency_pct pace_spread_pct at_shift_end",
          {"skills": {"general": 3}}),
    _list("away", "Sickness and learning", "crews", _CREWS,
          "id " + _in("absence", "* new_spell_pct_per_day spell_days") + " "
          + _in("learning", "* start_speed_pct weeks_to_full")),
    _list("side_work", "Side work", "crews", _CREWS, "id " + _in("side_work", "* minutes note")),
))  # fmt: skip

HOURS = Part("shifts", "Shifts", (
    _list("shifts", "Shifts", "shifts", (people.Shift,),
          "id name first_week premium_pct handover_min round_the_clock",
          {"weeks": [{"blocks": [{"days": ["mon", "tue", "wed", "thu", "fri"], "hours": "07:00-15:30",
                                  "breaks": ["12:00-12:30"]}]}]}),
    _list("closed", "Closed days", "closed", (people.Closure,), "first last note", {}),
))  # fmt: skip

SOLD = Part("products", "Products", (
    _list("products", "Products", "products", _PRODUCTS, "id name fabric may_split one_lot priority bundle_pieces",
          {"route": [{"op": "work", "at": "", "minutes": 5}]}),
    _list("prices", "Prices", "products", _PRODUCTS,
          "id price_per_m2 price_per_piece bought_in_sewing_per_m bought_in_sewing_per_piece"),
    _list("route", "Route", "route", _ROUTE,
          "op at mode printers minutes all_edges edges.top edges.bottom edges.left edges.right labels spacing_m sides "
          "share_pct way edge_extra_m name", {"op": "work", "at": "", "minutes": 5}, owner="products"),
    _list("sizes", "Sizes", "sizes", (products.Size,), "width_m height_m share", {"width_m": 1, "height_m": 1},
          owner="products"),
    _list("size_range", "Sizes drawn", "products", _PRODUCTS,
          "id " + _in("size_range", "* area_m2 width_over_height longest_side_m")),
))  # fmt: skip

RULES = Part("policies", "House rules", (
    _sheet("printing", "Printing", "policies.printing", policies.Printing,
           "gang_min_web_m gang_longest_wait_h gang_max_web_m gang_window_days queue_rule fabric_choice "
           "stay_on_fabric_h roll_change nesting reprints_first rush_first"),
    _sheet("quality", "Quality", "policies.quality", policies.Quality,
           "print_fault_pct seen_at_printer_pct cut_loss_pct sewing_fault_pct sewing_repaired_pct repair_min "
           "missed_pct"),
    _sheet("dispatch", "Dispatch", "policies.dispatch", policies.Dispatch,
           "days cut_off at_once order_check_at order_check_min courier_days"),
    _list("overtime", "Overtime", "policies.overtime", (policies.Overtime,),
          "crews when_queue_h minutes days notice_min premium_pct", {"crews": [], "when_queue_h": 8}),
    _list("bought_in", "Work bought in", "policies.bought_in", (policies.BoughtIn,),
          "at when_queue_h back_after_days price_per_piece", {"at": "", "when_queue_h": 40}),
    _sheet("other_rules", "Limits and printing bought in", "policies", policies.Policies,
           "lifts " + _in("orders_at_once", "* most when_full release_rule") + " "
           + _in("bought_in_print", "* when_queue_h back_after_days price_share_pct")),
    _sheet("working_time", "Rest and working hours", "policies", policies.Policies,
           _in("working_time", "* daily_rest_h weekly_rest_h weekly_average_h reference_weeks night_begins night_ends "
               "night_shift_from_h night_average_h night_shift_h heavy_work note")),
    _list("due_breaks", "Breaks due", "policies.working_time.breaks", (working_time.DueBreak,), "above_h least_min",
          {"above_h": 9, "least_min": 45}),
    _list("sequences", "Fixed lists of orders", "policies.sequences", (policies.OrderSequence,), "at orders",
          {"at": "", "orders": []}),
))  # fmt: skip

COSTS = Part("money", "Money and study", (
    _sheet("money", "Money", "money", money.Money,
           "currency energy_per_kwh rent_per_m2_month other_floor_m2 packing_and_freight_per_order minimum_order "
           "rush_surcharge_pct late_penalty_pct late_penalty_pct_per_day late_penalty_max_pct"),
    _sheet("study", "Study", "study", money.Study,
           "weeks opening warm_up_weeks replications seed confidence_pct on_time_target_pct"),
    _sheet("about", "The shop", "shop", scenario.About, "name starts note"),
))  # fmt: skip

ORDERS = Part("orders", "Orders", (
    _sheet("demand", "Where orders come from", "demand", demand.Demand,
           "lead_from_approval note " + _in(
               "forecast", "* orders_per_week starts lead_days rush_pct rush_lead_days lines_per_order "
               "day_to_day_dispersion evenly_spread")),
    _list("mix", "What is ordered", "demand.forecast.mix", (demand.MixLine,), "product share_pct pieces",
          {"product": "", "share_pct": 10}),
    _list("campaigns", "Roll-outs", "demand.forecast.campaigns", (demand.Campaign,),
          "product per_month pieces lead_days", {"product": ""}),
    _list("hire_fleets", "Hire fleets", "demand.hire_fleets", (demand.HireFleet,), "product pieces out_h lead_days",
          {"product": "", "pieces": 10, "out_h": 168}),
    _sheet("artwork", "Artwork", "demand", demand.Demand,
           _in("artwork", "* new_file_pct check_at check_new_min check_repeat_min set_up_min sent_back_pct "
               "corrected_after_h approval_after_h")),
    _sheet("cancellations", "Cancellations", "demand", demand.Demand,
           _in("cancellations", "* before_print_pct after_print_pct")),
))  # fmt: skip

SHOP_PARTS = (CLOTH, PRINT_ROOM, CALENDERS, PLACES, PEOPLE, SOLD, RULES, COSTS)
PARTS = (*SHOP_PARTS, HOURS, ORDERS)
LAYOUTS = {table.key: table for part in PARTS for table in part.tables}
