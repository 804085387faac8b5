"""Forms of the page Second printer: a machine described by hand, and what is expected of orders and money."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple

import streamlit as st
from streamlit.delta_generator import DeltaGenerator

from app import state
from app.say import plain
from shopsim.answers.ready_made import AnotherPrinter, another_printer, like
from shopsim.shop.names import name_of
from shopsim.shop.scenario import Scenario
from shopsim.shop.what_if import Spends, WhatIf


class Expected(NamedTuple):
    """What the buyer expects: orders won in % of today's, all of them after some weeks; the rest in % a year."""

    won_pct: float
    won_weeks: float
    growth_pct: float
    interest_pct: float
    tax_pct: float


@dataclass(frozen=True, slots=True)
class PrinterForm:
    """Fields of `page` about one machine, each as it was left; related ones in rows without holes."""

    page: str
    machine: str

    def described(self, scenario: Scenario, file: str) -> WhatIf:
        """A printer like one that is there, described field by field, as a what-if for the scenario's file."""
        entered, currency = state.entered(self.page), plain(scenario.money.currency)
        ids = [printer.id for printer in scenario.printers]
        one, *others = self._row("The machine", 3)
        like_id = one.selectbox(
            "Like", ids, ids.index(entered["like"]) if entered.get("like") in ids else 0, key=f"{self.page}.like",
            format_func=lambda name: name_of(scenario, name),
        )  # fmt: skip
        state.keep_entered(self.page, like=like_id)
        # Whoever takes another printer as its like wants that one's price and plate.
        of = f" like {like_id}"
        as_is = like(scenario.by_id("printers")[like_id])
        name = others[0].text_input("Name", entered.get(f"name{of}", as_is.name), max_chars=120,
                                    key=f"{self.page}.name{of}") or as_is.name  # fmt: skip
        state.keep_entered(self.page, **{f"name{of}": name})
        speed = self.number(others[1], "speed", "Speed, % of its like", 100, "At the same quality.", 10, 500, of)
        places = iter(self._row("", 1 if as_is.plate_m is None else 3))
        attention = self.number(next(places), "attention", "Operator at it while printing, %", as_is.attention_pct,
                                "One operator looks after several printers (OPR-01).", 0, 100, of)  # fmt: skip
        plate = None if as_is.plate_m is None else self.number(
            next(places), "plate", "Heat plate, m", as_is.plate_m, "FIX-01", 0.05, 5, of)  # fmt: skip
        tail = None if as_is.tail_m is None else self.number(
            next(places), "tail", "Blank behind the last print, m", as_is.tail_m, "FIX-03", of=of)  # fmt: skip
        one, two, three = self._row("What it costs", 3)
        price = self.number(one, "price", f"Price, {currency}", as_is.price or 150_000, of=of)
        besides = self.number(two, "besides", f"Besides the price, {currency}", 10_000, "Wiring, exhaust, moving in.")
        floor = self.number(three, "floor", "Floor, m²", 45, of=of)
        one, two = self._row("", 2)
        resale_pct = self.number(one, "resale", "Resale at the end, % of the price", 20, "CST-02", 0, 100)
        life = self.number(two, "life", "Years in use", 7, "CST-02", 0.5, 40)
        one, two, three = self._row("Until people know it", 3)
        training = self.number(one, "training", "Hours of training", 40)
        weeks = self.number(two, "ramp_weeks", "Weeks until it is in full use", 4, "", 0, 200)
        ramp_pct = self.number(
            three, "ramp_speed", "Gain in those weeks, % of full use", 75,
            "How much of what it brings a week later on it brings in a week of these.", 1, 99, disabled=not weeks,
        )  # fmt: skip
        spends = Spends(
            once=price + besides, resale=price * resale_pct / 100, life_years=life, training_h=training,
            ramp_up_weeks=weeks, ramp_up_speed_pct=ramp_pct if weeks else 100,
        )  # fmt: skip
        wanted = AnotherPrinter(like_id, name, speed, attention, price, floor, plate, tail)
        return another_printer(scenario, wanted, spends, f"../{file}")

    def expected(self, won_pct: float, won_weeks: float) -> Expected:
        """Orders and money; what a what-if itself says of orders won is there at first."""
        one, two = self._row("Orders and money", 2)
        # What a what-if says of orders won is that one's alone.
        of = f" with {self.machine}"
        won = self.number(
            one, "won", "Orders won with it, % of today's", won_pct,
            "Orders that would not come, or could not be taken, without it. A hope until they are signed.", 0, 200, of,
        )  # fmt: skip
        weeks = self.number(two, "won_weeks", "Weeks until all of them come", won_weeks, "", 0, 520, of,
                            disabled=not won)  # fmt: skip
        one, two, three = self._row("", 3)
        growth = self.number(one, "growth", "Growth of demand, % a year", 0, "With it or without.", -50, 100)
        interest = self.number(two, "discount", "Interest, % a year", 8, "What the money would earn elsewhere.", 0, 100)
        tax = self.number(three, "tax", "Tax on what is earned, %", 0, "", 0, 100)
        return Expected(won, weeks if won else 0.0, growth, interest, tax)

    def number(self, place: DeltaGenerator, name: str, label: str, usual: float, told: str = "", low: float = 0.0,
               high: float = 1e9, of: str = "", **facts: Any) -> float:  # fmt: skip
        """A number of the form, as it was left; `of` sets those of one machine apart from another's."""
        kept = f"{name}{of}"
        value = float(state.entered(self.page).get(kept, usual))
        found = float(place.number_input(label, float(low), float(high), value, format="%g", help=told or None,
                                         key=f"{self.page}.{kept}.{self.machine}", **facts))  # fmt: skip
        state.keep_entered(self.page, **{kept: found})
        return found

    @staticmethod
    def _row(title: str, fields: int) -> Sequence[DeltaGenerator]:
        if title:
            st.markdown(f"**{title}**")
        return st.columns(fields, vertical_alignment="bottom")
