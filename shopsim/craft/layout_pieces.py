"""What a layout on the web is made of: pieces, where they lie, shelves, and the finished layout."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from shopsim.craft._limits import not_negative, positive

# Sums of decimal metres are off by some 1e-16; a nanometre of slack lets three pieces of 0.1 m fit 0.3 m.
SLACK_M = 1e-9


class PieceSize(NamedTuple):
    """Print size of one piece: across the web and along the feed, m."""

    across_m: float
    along_m: float


class Placement(NamedTuple):
    """Where one piece lies: `piece` is its index in the input, x across from the left usable edge, y along, m.

    `across_m` and `along_m` are the sizes as placed; `turned` tells that they are swapped against the input.
    """

    piece: int
    x_m: float
    y_m: float
    across_m: float
    along_m: float
    turned: bool


class Shelf(NamedTuple):
    """A band of the web that no piece crosses: printing can stop at its ends without cutting a piece.

    `length_m` includes the gap to the next shelf, except on the last shelf. `pieces` are indices in the input.
    """

    start_m: float
    length_m: float
    pieces: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Layout:
    """Pieces placed on a web of usable width, placements and shelves in the order in which they are printed.

    `image_width_m` is the widest extent used across, which sets the stroke and so the printing speed.
    """

    placements: tuple[Placement, ...]
    shelves: tuple[Shelf, ...]
    web_width_m: float
    length_m: float
    image_width_m: float
    used_area_m2: float

    @property
    def web_area_m2(self) -> float:
        """Usable width times length, m²: the pieces, the gaps and the left-over beside them."""
        return self.web_width_m * self.length_m

    @property
    def yield_share(self) -> float:
        """Area of the pieces over the web area, 0 to 1 (PRE-15 counts the roll's edges as well)."""
        return self.used_area_m2 / self.web_area_m2


class SizeGroup(NamedTuple):
    """Pieces of one size, laid the same way."""

    across_m: float
    along_m: float
    turned: bool
    pieces: list[int]

    def quarter_turn(self) -> "SizeGroup":
        """Return the same pieces laid the other way."""
        return SizeGroup(self.along_m, self.across_m, not self.turned, self.pieces)


def group_sizes(sizes: Sequence[PieceSize], web_width_m: float, gap_m: float, may_turn: bool) -> list[SizeGroup]:
    """Collect equal sizes, in order of first appearance, so that a gang of many equal pieces is nested as one.

    Raises ValueError for an impossible number, for no pieces, and for a piece that fits the web no way.
    """
    positive("web_width_m", web_width_m)
    not_negative("gap_m", gap_m)
    if not sizes:
        raise ValueError("sizes must hold at least one piece, found none")
    found: dict[PieceSize, list[int]] = {}
    for index, size in enumerate(sizes):
        indices = found.get(size)
        if indices is None:
            found[size] = [index]
        else:
            indices.append(index)
    return [SizeGroup(*_fitting(size, web_width_m, may_turn), False, pieces) for size, pieces in found.items()]


def _fitting(size: PieceSize, web_width_m: float, may_turn: bool) -> PieceSize:
    across_m, along_m = size
    positive("across_m", across_m)
    positive("along_m", along_m)
    narrowest_m = min(size) if may_turn else across_m
    if narrowest_m > web_width_m + SLACK_M:
        ways = "turned or not" if may_turn else "and may not be turned"
        raise ValueError(
            f"a piece of {across_m:g} x {along_m:g} m does not fit the usable web width of {web_width_m:g} m, {ways}"
        )
    return size


def fits_across(group: SizeGroup, web_width_m: float) -> bool:
    """Tell whether the group, laid as it is, fits the web."""
    return group.across_m <= web_width_m + SLACK_M


def area_m2(groups: Iterable[SizeGroup]) -> float:
    """Return the area of all pieces, m²."""
    return sum(group.across_m * group.along_m * len(group.pieces) for group in groups)
