"""What a square metre, a minute and a late day cost, in currency units, CU (handbook section 11)."""

from shopsim.craft._limits import not_negative, positive, share, share_above_zero

BOUGHT_SEWING_CU_PER_M, BOUGHT_SEWING_CU_PER_PIECE = 2.2, 2.5  # CST-11


def fabric_cu_per_m2(price_cu_per_m2: float, used_share: float) -> float:
    """Return the fabric cost of a good m²: the price over the share of bought fabric that ends in good pieces (MAT-37).

    Raises ValueError for an impossible number.
    """
    return not_negative("price_cu_per_m2", price_cu_per_m2) / share_above_zero("used_share", used_share)


def ink_cu_per_m2(ink_ml_per_m2: float, price_cu_per_l: float) -> float:
    """Return the ink cost of a printed m² (MAT-26). Raises ValueError for an impossible number."""
    return not_negative("ink_ml_per_m2", ink_ml_per_m2) * not_negative("price_cu_per_l", price_cu_per_l) / 1000.0


def energy_cu_per_m2(energy_kwh_per_m2: float, price_cu_per_kwh: float) -> float:
    """Return the energy cost of a printed m² (CST-05, CST-06). Raises ValueError for an impossible number."""
    return not_negative("energy_kwh_per_m2", energy_kwh_per_m2) * not_negative("price_cu_per_kwh", price_cu_per_kwh)


def machine_cu_per_m2(
    machine_cu_per_h: float, area_rate_m2_per_h: float, achieved_share: float, printing_share: float
) -> float:
    """Return the machine cost of a printed m² (CST-14): hourly cost over the m² of an average planned hour.

    `achieved_share` is kept up of the rate while printing (PRN-08), `printing_share` of planned time is printed
    (MNT-08). Raises ValueError for an impossible number.
    """
    achieved = share_above_zero("achieved_share", achieved_share)
    printing = share_above_zero("printing_share", printing_share)
    m2_per_h = positive("area_rate_m2_per_h", area_rate_m2_per_h) * achieved * printing
    return not_negative("machine_cu_per_h", machine_cu_per_h) / m2_per_h


def labour_cu(standard_min: float, efficiency_share: float, wage_cu_per_h: float) -> float:
    """Return the labour cost of standard minutes: attended minutes (SEW-32) at the full hourly cost.

    Raises ValueError for an impossible number.
    """
    attended_min = not_negative("standard_min", standard_min) / positive("efficiency_share", efficiency_share)
    return attended_min / 60.0 * not_negative("wage_cu_per_h", wage_cu_per_h)


def bought_sewing_cu(
    edge_m: float,
    pieces: int,
    cu_per_m: float = BOUGHT_SEWING_CU_PER_M,
    cu_per_piece: float = BOUGHT_SEWING_CU_PER_PIECE,
) -> float:
    """Return the price of sewing bought in, silicone edge (CST-11). Raises ValueError for an impossible number."""
    by_edge_cu = not_negative("edge_m", edge_m) * not_negative("cu_per_m", cu_per_m)
    return by_edge_cu + not_negative("pieces", pieces) * not_negative("cu_per_piece", cu_per_piece)


def late_penalty_cu(
    order_cu: float, days_late: float, flat_share: float, share_per_day: float = 0.0, cap_share: float = 1.0
) -> float:
    """Return what an order loses by being late (CST-13): a share at once, a share per day, never above the cap.

    A credit is `flat_share` alone; a contract is `share_per_day` with its cap; a missed event is a flat share of 1.

    Raises ValueError for an impossible number; not late is 0 days.
    """
    grown_share = share("flat_share", flat_share) + share("share_per_day", share_per_day) * not_negative(
        "days_late", days_late
    )
    lost_share = min(grown_share, share("cap_share", cap_share)) if days_late else 0.0
    return not_negative("order_cu", order_cu) * lost_share
