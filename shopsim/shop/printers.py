"""Printers on paper: speed, fixation, roll change, checks, stops, care, power and price."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import Field, model_validator

from shopsim.shop.base import Base, Count, Id, Label, NotNegative, Percent, Positive, Spread, TimeBetween, row


class Head(Base):
    """The scanning head, for modes given by physics (handbook section 2.1)."""

    swath_m: Positive = row(0.108, "PRN-01", 0.054, 0.220)
    carriage_m_per_s: Positive = row(1.2, "PRN-04", 0.6, 2.0)
    return_m_per_s: Positive | None = None
    overscan_m: NotNegative = row(0.2, "PRN-05", 0.1, 0.5)
    turnaround_s: NotNegative = row(0.4, "PRN-06", 0.2, 1.0)


class Mode(Base):
    """One print mode: by passes (physics) or by a rated area rate at a rated width, never both."""

    id: Id
    passes: int | None = row(None, "PRN-02", 1, 12, ge=1, le=64)
    both_ways: bool = True
    area_rate_m2_per_h: Positive | None = row(None, "PRN-11..16", 12, 300)
    rated_width_m: Positive | None = None
    achieved_share: float = row(0.92, "PRN-08", 0.60, 0.98, gt=0, le=1)


class InlineFixation(Base):
    """A heat plate inside the printer."""

    kind: Literal["inline"] = "inline"
    plate_m: Positive = row(0.8, "FIX-01", 0.3, 1.2)
    tail_m: NotNegative = row(2.5, "FIX-03", 1.2, 4.0)
    tail_at_cap_speed: bool = False
    web_lift: bool = row(True, "FIX-09")
    warm_up_min: NotNegative = row(20, "FIX-13", 10, 45)
    up_min_per_10c: NotNegative = row(4, "FIX-14", 2, 8)
    down_min_per_10c: NotNegative = row(8, "FIX-14", 4, 15)


class OfflineFixation(Base):
    """No plate: printed rolls dry, then go over the named calender."""

    kind: Literal["offline"]
    calender: Id
    drying_min: NotNegative = row(15, "CAL-10", 5, 60)
    head_to_take_up_m: NotNegative = row(1.5, "FIX-02", 0.6, 2.5)


Fixation = Annotated[InlineFixation | OfflineFixation, Field(discriminator="kind")]


class RollChange(Base):
    """Changing the feed roll. `full_min` leaves out the tail and the nozzle check, which are modelled."""

    full_min: Spread = row([20.0, 26.0, 38.0], "CHG-02..09", validate_default=True)
    join_min: Spread = row([6.0, 10.0, 18.0], "CHG-13", validate_default=True)
    leader_m: NotNegative = row(4, "CHG-12", 0.3, 7)
    join_waste_m: NotNegative = row(1.5, "CHG-14", 0.8, 3)
    seam_trouble_pct: Percent = row(1.5, "CHG-15", 0.5, 4)
    people: int = row(1, "CHG-05", 1, 2, ge=1, le=2)
    needs_lift: bool = row(True, "CHG-05")


class TakeUp(Base):
    """When printed cloth leaves the printer: piece by piece as fixed, or wound up and changed."""

    leaves: Literal["as_fixed", "at_run_end"] = "as_fixed"
    change_min: Spread = row([3.0, 5.0, 8.0], "CHG-16", validate_default=True)
    full_at_m: Positive = 150


class CleaningStep(Base):
    """One rung of the cleaning ladder; `cures_pct` of the checks pass afterwards."""

    name: Label
    minutes: Spread
    ink_ml: NotNegative
    cures_pct: Percent


LADDER = (
    CleaningStep(name="light clean", minutes=[1.5, 3.0, 5.0], ink_ml=40, cures_pct=75),  # type: ignore[arg-type]  # NOZ-04
    CleaningStep(name="strong purge", minutes=[3.0, 6.0, 12.0], ink_ml=180, cures_pct=65),  # type: ignore[arg-type]  # NOZ-05
    CleaningStep(name="manual wipe", minutes=[10.0, 20.0, 45.0], ink_ml=100, cures_pct=65),  # type: ignore[arg-type]  # NOZ-06
)


class NozzleCheck(Base):
    """When nozzles are checked, how often the check fails, and what follows."""

    at_shift_start: bool = row(True, "NOZ-01")
    after_roll_change: bool = row(True, "NOZ-01")
    every_running_h: Positive | None = row(3, "NOZ-01", 1, 6)
    minutes: Spread = row([1.5, 3.0, 5.0], "NOZ-02", validate_default=True)
    fails_pct: Percent = row(10, "NOZ-03", 5, 25)
    fails_after_idle_pct: Percent = row(35, "NOZ-03", 20, 60)
    idle_h: Positive = 8
    test_strip_m: NotNegative = 0.1
    ladder: tuple[CleaningStep, ...] = Field(default=LADDER, max_length=10)
    slow_speed_share: float = row(0.75, "NOZ-07", 0.6, 1.0, gt=0, le=1)
    service_min: Spread = row([30.0, 90.0, 240.0], "NOZ-08", validate_default=True)


class FirstArticle(Base):
    """A strip approved before the run goes on."""

    share_of_runs_pct: Percent = row(35, "FAC-02", 15, 70)
    minutes: Spread = row([5.0, 9.0, 20.0], "FAC-01", validate_default=True)
    strip_m: NotNegative = row(0.6, "FAC-01", 0.3, 1.5)
    passes_pct: float = row(88, "FAC-03", 75, 95, gt=0, le=100)
    correction_min: Spread = row([10.0, 18.0, 40.0], "FAC-04", validate_default=True)


class MinorStops(Base):
    """Creases, sensors, edge guides: short stops by running hours that need a hand."""

    every_running_h: Positive = row(7, "MNT-04", 3, 20)
    minutes: Spread = row([1.0, 4.0, 15.0], "MNT-04", validate_default=True)
    restart_min: NotNegative = row(3, "FIX-12", 2, 5)
    waste_m: NotNegative | None = row(None, "FIX-10..11", 0.3, 2.5)
    loses_piece_pct: Percent = row(80, "FIX-12", 50, 100)


class RepairKind(Base):
    """One kind of repair; the shares of all kinds are weights. `hours` is clock time unless `repair_at` is set."""

    share_pct: Percent
    hours: Spread


REPAIRS = (
    RepairKind(share_pct=65, hours={"log_normal": {"median": 2, "p90": 5}}),  # type: ignore[arg-type]  # MNT-06
    RepairKind(share_pct=25, hours={"log_normal": {"median": 20, "p90": 48}}),  # type: ignore[arg-type]  # MNT-06
    RepairKind(share_pct=10, hours={"log_normal": {"median": 36, "p90": 96}}),  # type: ignore[arg-type]  # MNT-06
)


class Breakdowns(Base):
    """Failures by running hours, or by the calendar: what ages in use or not. A repaired machine is as good as new.

    A number is the mean time between failures that come at random; wear is a shape, e.g. `weibull`. With `repair_at` a
    task at that work centre repairs; else clock time passes. `renew_after_running_h` since it was last as good as new,
    the worn part is replaced before it fails, between two runs or pieces, by the same hands, in `renewal_h`.
    """

    every_running_h: TimeBetween | None = row({"exponential": {"mean": 300}}, "MNT-05", 120, 800, validate_default=True)
    every_calendar_h: TimeBetween | None = None
    repairs: tuple[RepairKind, ...] = Field(default=REPAIRS, min_length=1, max_length=20)
    repair_at: Id | None = None
    renew_after_running_h: Positive | None = None
    renewal_h: Spread = row(3, "MNT-03", 2, 24, validate_default=True)

    @model_validator(mode="before")
    @classmethod
    def _one_clock(cls, data: Any) -> Any:
        # The usual running hours are no choice of someone who writes calendar hours.
        if isinstance(data, dict) and data.get("every_calendar_h") is not None:
            return {"every_running_h": None, **data}
        return data


class Care(Base):
    """Planned maintenance. Daily care is done by hand at the first start of a day."""

    daily_min: NotNegative = row(20, "MNT-01", 10, 40)
    weekly_min: NotNegative = row(60, "MNT-02", 30, 150)
    service_every_days: Positive | None = row(30, "MNT-03", 20, 200)
    service_h: NotNegative = row(3, "MNT-03", 2, 24)


class Power(Base):
    """Electrical load in the three states that matter."""

    running_kw: NotNegative = row(9, "FIX-16", 5, 15)
    standby_kw: NotNegative = row(4, "FIX-16", 2, 8)
    off_kw: NotNegative = 0.1


class MachineMoney(Base):
    """Price and upkeep of a machine or seat."""

    price: NotNegative = row(0, "CST-01")
    life_years: Positive = row(7, "CST-02", 5, 10)
    resale_pct: Percent = row(20, "CST-02", 10, 35)
    service_pct_per_year: Percent = row(7, "CST-03", 4, 10)
    floor_m2: NotNegative = row(0, "CST-07")


class Printer(Base):
    """One printer. Give `stops`, `breakdowns`, `first_article` or `nozzle_check` as null to leave them out."""

    id: Id
    name: Label = ""
    print_width_m: Positive = row(3.1, "section 0", 1.0, 5.2)
    head: Head = Head()
    modes: tuple[Mode, ...] = Field(min_length=1, max_length=40)
    fixation: Fixation = InlineFixation()
    roll_change: RollChange = RollChange()
    take_up: TakeUp = TakeUp()
    mode_change_min: NotNegative = row(1, "CHG-17", 0, 3)
    nozzle_check: NozzleCheck | None = NozzleCheck()
    first_article: FirstArticle | None = FirstArticle()
    minor_stops: MinorStops | None = MinorStops()
    breakdowns: Breakdowns | None = Breakdowns()
    care: Care = Care()
    attention_pct: Percent = row(20, "OPR-01", 10, 80)
    unattended_running: bool = False
    hot_overnight: bool = False
    power: Power = Power()
    money: MachineMoney = MachineMoney(price=220_000, floor_m2=45)


class Calender(Base):
    """A heated drum that fixes printed rolls."""

    id: Id
    name: Label = ""
    count: Count = 1
    drum_m: Positive = row(0.6, "CAL-01", 0.35, 1.2)
    wrapped_share: float = row(0.75, "CAL-01", 0.65, 0.85, gt=0, le=1)
    dwell_s: Positive = row(35, "CAL-02", 20, 50)
    warm_up_min: NotNegative = row(90, "CAL-05", 45, 150)
    people: int = row(2, "CAL-06", 1, 2, ge=1, le=2)
    set_up_min: Spread = row([6.0, 10.0, 18.0], "CAL-07", validate_default=True)
    waste_m_per_roll: NotNegative = row(2.5, "CAL-08", 1, 5)
    reject_pct: Percent = row(1.5, "CAL-11", 0.5, 4)
    power: Power = Power(running_kw=28, standby_kw=15)
    money: MachineMoney = MachineMoney(price=70_000, floor_m2=35)
