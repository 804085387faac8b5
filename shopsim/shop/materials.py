"""Fabrics on paper: what a roll is, how it shrinks, how it is fixed, what it costs, how it is stocked."""

from __future__ import annotations

from typing import Any, Literal

from pydantic import Field, ModelWrapValidatorHandler, model_validator

from shopsim.shop.base import Base, Id, Label, NotNegative, Positive, Spread, row

CutMethod = Literal["hand", "hot_knife", "flatbed_knife", "laser", "xy_trimmer"]

# Handbook MAT-01..08 and MAT-11..18: (g/m2, roll width m, roll length m, shrink along %, across %, plate C,
# dwell s, ink ml/m2, price per m2, cut methods); the typical values of the rows.
FAMILIES: dict[str, tuple[float, float, float, float, float, float, float, float, float, tuple[str, ...]]] = {
    "front_lit": (205, 3.1, 100, 0.8, 0.5, 190, 40, 11, 4.0, ("flatbed_knife", "laser", "xy_trimmer", "hand")),
    "back_lit": (220, 3.1, 80, 0.8, 0.5, 190, 45, 17, 5.0, ("flatbed_knife", "xy_trimmer", "hand")),
    "flag_knit": (115, 3.1, 150, 1.2, 0.8, 195, 40, 16, 2.2, ("hot_knife", "laser", "flatbed_knife", "xy_trimmer")),
    "woven": (150, 1.6, 100, 0.8, 0.4, 185, 40, 10, 3.5, ("hot_knife", "laser")),
    "mesh": (120, 3.1, 100, 1.0, 0.7, 190, 40, 11, 2.8, ("hot_knife", "laser")),
    "block_out": (280, 3.1, 50, 0.5, 0.3, 185, 45, 10, 7.5, ("flatbed_knife", "xy_trimmer", "hand")),
    "stretch": (220, 1.6, 60, 2.0, 1.5, 180, 40, 12, 6.0, ("flatbed_knife", "laser")),
    "voile": (65, 3.1, 150, 1.0, 0.7, 180, 30, 8, 2.0, ("hot_knife", "laser")),
}
_FAMILY_FIELDS = (
    "mass_g_per_m2", "roll_width_m", "roll_length_m", "shrink_along_pct", "shrink_across_pct", "plate_c", "dwell_s",
    "ink_ml_per_m2", "price_per_m2", "cut_methods",
)  # fmt: skip
FamilyName = Literal["front_lit", "back_lit", "flag_knit", "woven", "mesh", "block_out", "stretch", "voile", "other"]


class Stock(Base):
    """Rolls kept of one fabric. Without a reorder level the shelf never runs empty."""

    rolls: int = Field(default=10, ge=0, le=100_000)
    reorder_at_rolls: int | None = Field(default=None, ge=0, le=100_000)
    order_rolls: int = Field(default=5, ge=1, le=100_000)
    supply_days: Spread = row([1.0, 3.0, 5.0], "MAT-36", validate_default=True)


class Fabric(Base):
    """One fabric; everything but `id` and `family` has a default from its family's handbook rows."""

    id: Id
    name: Label = ""
    family: FamilyName
    mass_g_per_m2: Positive = row(205, "MAT-01..08", 55, 373)
    roll_width_m: Positive = row(3.1, "MAT-01..08", 1.5, 5.0)
    roll_length_m: Positive = row(100, "MAT-01..08", 30, 200)
    shrink_along_pct: float = row(0.8, "MAT-01..08", 0.2, 4.0, ge=0, le=30)
    shrink_across_pct: float = row(0.5, "MAT-01..08", 0.1, 4.0, ge=0, le=30)
    plate_c: float = row(190, "MAT-11..18", 170, 205, gt=0, le=260)
    dwell_s: Positive = row(40, "MAT-11..18", 20, 75)
    ink_ml_per_m2: NotNegative = row(11, "MAT-11..18", 5, 30)
    price_per_m2: NotNegative = row(4.0, "MAT-11..18", 1.2, 11)
    cut_methods: tuple[CutMethod, ...] = Field(default=("flatbed_knife",), min_length=1)
    may_turn: bool = False
    flame_class: Label = ""
    stock: Stock = Stock()

    @model_validator(mode="wrap")
    @classmethod
    def _fill_from_family(cls, data: Any, make: ModelWrapValidatorHandler[Fabric]) -> Fabric:
        if not isinstance(data, dict):
            return make(data)
        given = family_values(data.get("family"))
        made = make({**given, **data})
        # What the family fills in is a default: nobody wrote it, so nobody is warned about it.
        made.model_fields_set.difference_update(given.keys() - data.keys())
        return made


def family_values(family: object) -> dict[str, Any]:
    """The fields of a fabric that its family fills in; none for `other` and for what is no family."""
    values = FAMILIES.get(family) if isinstance(family, str) else None
    return dict(zip(_FAMILY_FIELDS, values, strict=True)) if values else {}


class Supplies(Base):
    """Ink and consumables bought for the whole shop."""

    ink_price_per_l: NotNegative = row(55, "MAT-26", 25, 150)
    remnant_keep_m: NotNegative = row(4, "MAT-35", 2, 8)
    edge_margin_m: NotNegative = row(0.02, "PRE-13", 0.01, 0.04)
    gap_m: NotNegative = row(0.02, "PRE-12", 0.005, 0.05)
    panel_overlap_m: NotNegative = 0.03
    idle_ink_pct: float = row(4, "NOZ-10", 1, 10, ge=0, le=90)
