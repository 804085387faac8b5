"""Products on paper: fabric, sizes, route. A route lists operations; their minutes follow from the piece's geometry
unless `minutes` gives them directly."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, field_validator, model_validator

from shopsim.distributions import Distribution
from shopsim.shop.base import Base, Id, Label, NotNegative, Percent, Positive, Spread, highest, row

Side = Literal["top", "bottom", "left", "right"]
SIDES: tuple[Side, ...] = ("top", "bottom", "left", "right")
# A product's urgency: 1 goes first.
LAST_PRIORITY, NORMAL_PRIORITY = 9, 5
Priority = Annotated[int, Field(ge=1, le=LAST_PRIORITY)]
EdgeKind = Literal[
    "silicone_hand", "silicone_semi", "keder", "hem", "hem_webbing", "pole_pocket", "hook_loop", "overedge", "flag",
    "tube_zip",
]  # fmt: skip


class Size(Base):
    """A finished size and its share among the product's sizes (a weight)."""

    width_m: Positive
    height_m: Positive
    share: Positive = 1.0


class SizeRange(Base):
    """Sizes drawn by area and by width over height, rounded to the centimetre."""

    area_m2: Spread
    width_over_height: Spread
    longest_side_m: Positive = 12.0

    @field_validator("area_m2", "width_over_height")
    @classmethod
    def _something(cls, value: Distribution) -> Distribution:
        if highest(value) == 0:
            raise ValueError("must be greater than 0")
        return value


class Print(Base):
    """Printing; where the printer fixes offline the roll goes over its calender next, without saying so here."""

    op: Literal["print"]
    mode: Id
    printers: tuple[Id, ...] | None = None
    edge_extra_m: NotNegative = row(0.012, "PRE-14", 0, 0.15)


class Rest(Base):
    """Lying, drying or setting without a person."""

    op: Literal["rest"]
    minutes: Spread


class At(Base):
    at: Id
    minutes: Spread | None = None
    """Minutes a piece, given directly instead of derived."""


class Cut(At):
    op: Literal["cut"]


class Sew(At):
    """Edges by side; sides left out stay raw. `labels` are sewn on."""

    op: Literal["sew"]
    edges: dict[Side, EdgeKind] = Field(default={})
    all_edges: EdgeKind | None = None
    labels: int = Field(default=0, ge=0, le=20)

    @model_validator(mode="after")
    def _one_way(self) -> Sew:
        if self.all_edges is not None and self.edges:
            raise ValueError("give either `edges` by side or `all_edges`")
        if self.all_edges is None and not self.edges and self.minutes is None and not self.labels:
            raise ValueError("nothing to sew: give `edges`, `all_edges`, `labels` or `minutes`")
        return self

    def sides(self) -> dict[str, str]:
        """The edge of each sewn side."""
        if self.all_edges is not None:
            return dict.fromkeys(SIDES, self.all_edges)
        return {str(side): str(edge) for side, edge in self.edges.items()}


class Eyelets(At):
    op: Literal["eyelets"]
    spacing_m: Positive = row(0.5, "FIN-01", 0.3, 0.61)
    sides: tuple[Side, ...] = Field(default=SIDES, min_length=1)


class Iron(At):
    op: Literal["iron"]
    share_pct: Percent = row(20, "FIN-05", 5, 60)


class Rods(At):
    """Rope, spring hooks or rods put in (FIN-04)."""

    op: Literal["rods"]
    share_pct: Percent = 100


class FrameFit(At):
    op: Literal["frame_fit"]
    share_pct: Percent = row(15, "FIN-06", 5, 100)


class Inspect(At):
    """Inspection; what it finds and misses is set under `quality`."""

    op: Literal["inspect"]


class Pack(At):
    op: Literal["pack"]
    way: Literal["bag", "tube", "carton"] = "bag"


class Work(At):
    """Any other step, with its minutes a piece given directly."""

    op: Literal["work"]
    name: Label = ""
    minutes: Spread


Operation = Annotated[
    Print | Rest | Cut | Sew | Eyelets | Iron | Rods | FrameFit | Inspect | Pack | Work, Field(discriminator="op")
]


class Product(Base):
    """What is sold. Without a `print` step it needs no fabric (work brought in by the customer).

    `priority` is a class of urgency from 1 (first) to 9 (last), e.g. 3 for key accounts, 7 for stock. An order goes by
    the most urgent of its products, unless the order book gives it a priority of its own. In every queue, at printers
    too, a class comes wholly before the next; rush orders and reprints come before all classes, where `rush_first` and
    `reprints_first` say so, and the queue rule ranks within a class. A roll at a calender carries many orders and is
    normal work. Less urgent classes may wait for ever in a shop that is full of more urgent work.
    """

    id: Id
    name: Label = ""
    fabric: Id | None = None
    sizes: tuple[Size, ...] = Field(default=(), max_length=200)
    size_range: SizeRange | None = None
    may_split: bool = False
    one_lot: bool = False
    priority: Priority = NORMAL_PRIORITY
    bundle_pieces: int = row(8, "SEW-42", 1, 20, ge=1, le=100_000)
    price_per_m2: NotNegative = row(30, "CST-09", 10, 70)
    price_per_piece: NotNegative = 0
    bought_in_sewing_per_m: NotNegative = row(2.2, "CST-11", 1.2, 4)
    bought_in_sewing_per_piece: NotNegative = row(2.5, "CST-11", 1, 6)
    route: tuple[Operation, ...] = Field(min_length=1, max_length=30)

    @model_validator(mode="after")
    def _consistent(self) -> Product:
        if self.sizes and self.size_range is not None:
            raise ValueError("give either `sizes` or `size_range`")
        prints = [index for index, op in enumerate(self.route) if isinstance(op, Print)]
        if len(prints) > 1 or (prints and prints[0] != 0):
            raise ValueError("`print` may stand once in a route, as its first step")
        if prints and self.fabric is None:
            raise ValueError("a printed product needs a `fabric`")
        return self

    @property
    def print_step(self) -> Print | None:
        """The print step, if the product is printed here."""
        first = self.route[0]
        return first if isinstance(first, Print) else None
