"""Minutes and webs from geometry: what has none says so."""

from __future__ import annotations

import pytest

from shopsim.shop.products import Print
from shopsim.shop.route_times import WebPieces, piece_minutes, web_pieces, web_width_m
from tests.shop.reviewed import BANNER, JOB, calm

SHOP = calm()
BANNERS, JOBS = (SHOP.by_id("products")[each["id"]] for each in (BANNER, JOB))
BENCH, KNIT = SHOP.work_centres[0], SHOP.fabrics[0]


def test_the_web_of_what_is_printed() -> None:
    assert web_width_m(SHOP, BANNERS) == 1.0
    with pytest.raises(ValueError, match=r"^no printer can print 'job'$"):
        web_width_m(SHOP, JOBS)


def test_what_is_wider_than_the_web_is_split_only_where_it_may_be() -> None:
    assert web_pieces(BANNERS, KNIT, 1.0, 0.0, 1.0, 3.0).seams == 0
    with pytest.raises(ValueError, match=r"^a print 2.50 m wide does not fit a web of 1.00 m usable width$"):
        web_pieces(BANNERS, KNIT, 1.0, 0.0, 2.5, 3.0)
    split = web_pieces(BANNERS.model_copy(update={"may_split": True}), KNIT, 1.0, 0.0, 2.5, 3.0)
    assert (len(split.sizes), split.seams, split.seam_length_m) == (3, 2, 6.0)


def test_minutes_that_do_not_follow_from_geometry() -> None:
    whole = WebPieces((), 0, 0.0)
    for step, message in (
        (JOBS.route[0], "the minutes of step `work` do not follow from geometry"),
        (Print(op="print", mode="std"), "the minutes of step `print` do not follow from geometry"),
    ):
        with pytest.raises(ValueError) as caught:
            piece_minutes(step, BENCH, 1.0, 1.0, whole)
        assert str(caught.value) == message
