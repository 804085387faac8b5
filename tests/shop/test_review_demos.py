"""The reviews of the demos as text, so that a change of what is told is seen and meant."""

from pathlib import Path

import pytest

from shopsim.shop.review.finding import Finding
from shopsim.shop.review.shop_review import shop_review
from shopsim.shop.shop_file import load_shop

DEMOS = Path(__file__).parents[2] / "demo_scenarios"
WRITTEN = Path(__file__).parent / "reviews"


def as_text(findings: list[Finding]) -> str:
    """A paragraph a finding."""
    return "\n".join(
        f"{each.grade_text}: {each.headline} [{each.id}]\n  {each.found}\n  {each.do}\n  {each.basis}\n"
        for each in findings
    )


@pytest.mark.parametrize("demo", ["flag_banner_shop", "frame_fabric_shop", "exhibition_supplier"])
def test_what_there_is_to_look_at_in_a_demo(demo: str) -> None:
    found = as_text(shop_review(load_shop(DEMOS / f"{demo}.yaml")))
    assert found == (WRITTEN / f"{demo}.txt").read_text(encoding="utf-8")
