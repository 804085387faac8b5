"""What sewing bought in costs, in currency units, CU (handbook section 11)."""

from shopsim.craft._limits import not_negative

BOUGHT_SEWING_CU_PER_M, BOUGHT_SEWING_CU_PER_PIECE = 2.2, 2.5  # CST-11


def bought_sewing_cu(
    edge_m: float,
    pieces: int,
    cu_per_m: float = BOUGHT_SEWING_CU_PER_M,
    cu_per_piece: float = BOUGHT_SEWING_CU_PER_PIECE,
) -> float:
    """Return the price of sewing bought in, silicone edge (CST-11). Raises ValueError for an impossible number."""
    by_edge_cu = not_negative("edge_m", edge_m) * not_negative("cu_per_m", cu_per_m)
    return by_edge_cu + not_negative("pieces", pieces) * not_negative("cu_per_piece", cu_per_piece)
