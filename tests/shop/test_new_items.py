"""What one begins with who writes an item: of the right shape, for every list of every demo."""

import pytest

from shopsim.shop.changes import Change, changed_values
from shopsim.shop.demos import DEMOS, folder
from shopsim.shop.new_items import item_now, new_item, written_out
from shopsim.shop.pick_list import lists_of, parts_of, read_written
from shopsim.shop.scenario import Scenario
from shopsim.shop.scenario_dump import scenario_values
from shopsim.shop.scenario_file import check_values
from shopsim.shop.shop_file import load_shop


@pytest.fixture(params=DEMOS, ids=lambda demo: demo.title, scope="module")
def shop(request: pytest.FixtureRequest) -> Scenario:
    return load_shop(folder() / request.param.name).scenario


def test_every_list_goes_on_with_an_item_of_its_kind(shop: Scenario) -> None:
    for path in lists_of(shop):
        item = new_item(shop, path)
        assert read_written(written_out(item)) == item
        assert ("id" in item) == ("." not in path and path != "closed"), path
        if path == "policies.sequences":
            # Of which orders it is, nobody can say beforehand.
            assert item["orders"] == []
            continue
        check_values(changed_values(scenario_values(shop), Change("add", path, item)), "demo.yaml")


def test_an_item_written_anew_as_it_is_changes_nothing(shop: Scenario) -> None:
    values = scenario_values(shop)
    for part in parts_of(shop):
        if part.item:
            anew = read_written(written_out(item_now(shop, part.path)))
            values = changed_values(values, Change("replace", part.path, anew))
    assert check_values(values, "demo.yaml").content_hash == shop.content_hash
