"""What a scenario has where its file says nothing: the models' defaults, as plain values."""

from __future__ import annotations

from typing import Any, NamedTuple

from pydantic import BaseModel
from pydantic_core import PydanticUndefined

from shopsim.shop.materials import Fabric, family_values
from shopsim.shop.model_paths import fields_by_key, item_kind, models_of, tags_of
from shopsim.shop.scenario import Scenario
from shopsim.shop.scenario_dump import plain


class Spot(NamedTuple):
    """A place in plain scenario values with the type the models give it; None where they know none."""

    here: Any
    kind: Any

    def item(self, index: int) -> Spot:
        """The place of a list item that is there."""
        return Spot(self.here[index], item_kind(self.kind))

    def key(self, name: str) -> Spot:
        """The place of a key, with its default value if the key is not written or holds nothing."""
        model = self._model()
        if model is None:
            return Spot(self.here.get(name), item_kind(self.kind))
        field = fields_by_key(model).get(name)
        value = self.here.get(name)
        if value is None and field is not None:
            family = family_values(self.here.get("family")) if model is Fabric else {}
            default = family.get(name, field.default)
            value = None if default is PydanticUndefined else plain(default)
        return Spot(value, field.annotation if field else None)

    def _model(self) -> type[BaseModel] | None:
        models = models_of(self.kind)
        if len(models) > 1:
            written = (self.here.get("op"), self.here.get("kind"))
            return next((model for model in models if set(written).intersection(tags_of(model))), None)
        return models[0] if models else None


def at_root(values: Any) -> Spot:
    """The place of the whole scenario."""
    return Spot(values, Scenario)
