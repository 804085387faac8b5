"""The way of a bundle along its route: make, next step, inspection, repair, remake, finished."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from shopsim.craft.costs import bought_sewing_cu
from shopsim.floor.draws import HitTable
from shopsim.floor.orders import Bundle, Line
from shopsim.floor.record import KIND, REMAKE_CAUSES
from shopsim.floor.routes import Step
from shopsim.floor.rules import LANE_REPRINT
from shopsim.floor.tasks import Task
from shopsim.floor.timing import after
from shopsim.shop.policies import BoughtIn
from shopsim.shop.products import Rest, Sew
from shopsim.streams import Draws

if TYPE_CHECKING:
    from shopsim.floor.run import Floor

PRINT_FAULT, SEWING_FAULT = 0, 1
CAUSE = {name: code for code, name in enumerate(REMAKE_CAUSES)}
# After so many makes a piece goes out under concession (ISO 9000): a fault rate of 100 % must not run for ever.
LAST_ATTEMPT = 9
CALENDER_REJECT = "calender"
# A trainee makes three times the faults of a standard worker (SEW-38).
_WORST_REJECT = 3.0


class Flow:
    """Moves bundles on when their work is done."""

    def __init__(self, floor: Floor) -> None:
        self.floor = floor
        self.quality = floor.scenario.policies.quality
        self._bought_in = {rule.at: rule for rule in floor.scenario.policies.bought_in}
        self._back_days = {
            rule.at: floor.draws.line(f"bought in/{rule.at}", rule.back_after_days)
            for rule in floor.scenario.policies.bought_in
        }
        self._repair_min: Draws = floor.draws.line("repair minutes", self.quality.repair_min)
        self._bundles = 0
        self._write_bundle = floor.log.writer("bundles")
        self._after_work: dict[int, Callable[[Bundle, Task | None], None]] = {
            KIND["cut"]: self._cut_losses,
            KIND["sew"]: self.mark_sewing_faults,
            KIND["inspect"]: self._inspect,
        }
        self._tables: dict[tuple[str, str, int], HitTable] = {}

    # -- making -------------------------------------------------------------------------------------------------------

    def make(self, line: Line, pieces: list[int], attempt: int) -> None:
        """Make pieces, for the first time or again: to the print room, or straight to the first step."""
        if line.plan.print_step is not None and self.floor.print_room is not None:
            lane = LANE_REPRINT if attempt and self.floor.reprints_first else line.order.lane
            self.floor.print_room.add(line, pieces, attempt, lane)
        else:
            self.launch(line, pieces, attempt, run=-1, parent=-1)

    def launch(self, line: Line, pieces: list[int], attempt: int, run: int, parent: int) -> list[Bundle]:
        """Bundle pieces that are ready for the first step after printing, and send them on."""
        size = line.plan.model.bundle_pieces
        bundles = [
            self._bundle(line, pieces[i : i + size], attempt, 0, run, parent) for i in range(0, len(pieces), size)
        ]
        for bundle in bundles:
            self._mark_print_faults(bundle)
        return bundles

    def _bundle(self, line: Line, pieces: list[int], attempt: int, step: int, run: int, parent: int) -> Bundle:
        bundle = Bundle(self._new_bundle_row(line, len(pieces), attempt, parent), line, pieces, attempt, step, run)
        if run < 0:
            self.advance(bundle)
        return bundle

    def _new_bundle_row(self, line: Line, pieces: int, attempt: int, parent: int) -> int:
        number = self._bundles
        self._bundles += 1
        self._write_bundle(
            number, parent, line.order.number, line.number, line.plan.index, pieces, attempt, self.floor.env.now
        )
        return number

    def _hits(self, purpose: str, bundle: Bundle, rate: float) -> list[tuple[int, float]]:
        if rate <= 0 or not bundle.pieces:
            return []
        key = (purpose, bundle.line.plan.name, bundle.attempt)
        table = self._tables.get(key)
        if table is None:
            name = f"{purpose}/{bundle.line.plan.name}"
            table = self._tables[key] = self.floor.draws.hits(name, bundle.attempt, rate)
        first, last = bundle.pieces[0], bundle.pieces[-1]
        found = table.hits(first, last - first + 1)
        if found and last - first + 1 != len(bundle.pieces):
            mine = set(bundle.pieces)
            return [hit for hit in found if hit[0] in mine]
        return found

    def laid(self, line: Line, pieces: list[int], attempt: int, step: int, run: int) -> Bundle:
        """A bundle that lies before a step already; print faults nobody saw at the printer are on it."""
        bundle = Bundle(self._new_bundle_row(line, len(pieces), attempt, -1), line, pieces, attempt, step, run)
        self._mark_print_faults(bundle)
        for piece, _ in self._hits("seen at printer", bundle, self.quality.seen_at_printer_pct / 100):
            bundle.faults.pop(piece, None)
        return bundle

    def _mark_print_faults(self, bundle: Bundle) -> None:
        if bundle.line.plan.print_step is not None:
            for piece, _ in self._hits("print fault", bundle, self.quality.print_fault_pct / 100):
                bundle.faults[piece] = PRINT_FAULT

    def seen_at_printer(self, bundle: Bundle) -> None:
        """The operator looks at what comes off the printer; faults seen there are printed again at once."""
        if not bundle.faults:
            return
        share = self.quality.seen_at_printer_pct / 100
        seen = [p for p, _ in self._hits("seen at printer", bundle, share) if p in bundle.faults]
        self._remake(bundle, seen, "print_fault_at_printer", KIND["print"])

    # -- along the route ----------------------------------------------------------------------------------------------

    def advance(self, bundle: Bundle) -> None:
        """Send a bundle to its next step that has work for it, or count its pieces as finished."""
        order, steps = bundle.order, bundle.line.plan.steps
        while not order.gone and bundle.pieces:
            if bundle.step == len(steps):
                self._finish(bundle)
                return
            step = steps[bundle.step]
            if step.kind == KIND["rest"]:
                minutes = self._rest_minutes(bundle)
                after(self.floor.env, minutes, self._rested, bundle)
                return
            base, people = bundle.line.steps[bundle.step]
            minutes = step.minutes(base, bundle.pieces, bundle.attempt)
            if minutes > 0.0 or step.kind == KIND["work"]:
                self._to_station(bundle, step, minutes, people)
                return
            if self.floor.lists is not None:
                self.floor.lists.passed(bundle)
            follow_up = self._after_work.get(step.kind)
            if follow_up is not None:
                follow_up(bundle, None)
            bundle.step += 1

    def _rest_minutes(self, bundle: Bundle) -> float:
        op = bundle.line.plan.steps[bundle.step].op
        assert isinstance(op, Rest)
        purpose = f"rest/{bundle.line.plan.name}/{bundle.step}"
        return self.floor.draws.sums(purpose, bundle.attempt, op.minutes.sample).total(bundle.pieces[0], 1)

    def _rested(self, bundle: Bundle) -> None:
        bundle.step += 1
        self.advance(bundle)

    def _to_station(self, bundle: Bundle, step: Step, minutes: float, people: int) -> None:
        station = step.station
        assert station is not None
        rule = self._bought_in.get(station.name)
        if rule is not None and (
            bundle.order.draw.outside == station.name
            or station.queued_min > rule.when_queue_h * 60 * (station.seats or 1)
        ):
            self._give_out(bundle, rule)
            return
        station.submit(self.task_of(bundle, step, minutes, people))

    def task_of(self, bundle: Bundle, step: Step, minutes: float, people: int) -> Task:
        """The work on a bundle at a step that has a place."""
        station, centre = step.station, step.centre
        assert station is not None
        assert centre is not None
        order = bundle.order
        task = Task(station, step.kind, minutes, self.done)
        task.people = people
        task.lane = LANE_REPRINT if bundle.attempt and self.floor.reprints_first else order.lane
        task.due = order.draw.due
        task.family = bundle.run if step.kind == KIND["cut"] else step.family
        task.order = order
        task.bundle = bundle
        task.pieces = len(bundle.pieces)
        task.attempt = bundle.attempt
        task.labour = centre.two_person_labour_factor
        return task

    def done(self, task: Task) -> None:
        bundle = task.bundle
        assert bundle is not None
        if bundle.order.gone:
            return
        follow_up = self._after_work.get(task.kind)
        if follow_up is not None:
            follow_up(bundle, task)
        bundle.step += 1
        self.advance(bundle)

    def _cut_losses(self, bundle: Bundle, task: Task | None) -> None:
        lost = [piece for piece, _ in self._hits("cut loss", bundle, self.quality.cut_loss_pct / 100)]
        self._remake(bundle, lost, "cut_loss", KIND["cut"])

    def mark_sewing_faults(self, bundle: Bundle, task: Task | None) -> None:
        """Faults made at a sewing step, by whoever did it; by a standard worker where that is not known."""
        rate = self.quality.sewing_fault_pct / 100
        reject = 1.0
        if task is not None and task.last_person is not None:
            reject = task.last_person.crew.reject_factor(task.station.skill)
        purpose = f"sewing fault {bundle.step}"
        for piece, level in self._hits(purpose, bundle, min(1.0, rate * _WORST_REJECT)):
            if level < rate * reject:
                bundle.faults.setdefault(piece, SEWING_FAULT)

    # -- inspection ---------------------------------------------------------------------------------------------------

    def _inspect(self, bundle: Bundle, task: Task | None) -> None:
        if not bundle.faults:
            return
        missed = {p for p, _ in self._hits(f"missed {bundle.step}", bundle, self.quality.missed_pct / 100)}
        found = [piece for piece in bundle.faults if piece not in missed]
        sewn = [piece for piece in found if bundle.faults[piece] == SEWING_FAULT]
        repairable = {p for p, _ in self._hits("repairable", bundle, self.quality.sewing_repaired_pct / 100)}
        back = self._sewing_step(bundle)
        mended = [p for p in sewn if p in repairable and back is not None]
        self._remake(bundle, [p for p in found if p not in sewn], "print_fault", KIND["inspect"])
        self._remake(bundle, [p for p in sewn if p not in mended], "sewing_fault", KIND["inspect"])
        if mended and back is not None:
            self._mend(bundle, mended, back)

    def _sewing_step(self, bundle: Bundle) -> int | None:
        steps = bundle.line.plan.steps
        return next((i for i in range(bundle.step, -1, -1) if isinstance(steps[i].op, Sew)), None)

    def _mend(self, bundle: Bundle, pieces: list[int], back: int) -> None:
        """Faulty sewing goes back to the sewing room and comes to inspection again, each piece on its own."""
        self._take_out(bundle, pieces)
        step = bundle.line.plan.steps[back]
        assert step.station is not None
        for piece in pieces:
            number = self._new_bundle_row(bundle.line, 1, bundle.attempt, bundle.number)
            single = Bundle(number, bundle.line, [piece], bundle.attempt, bundle.step, bundle.run)
            single.mended = True
            task = Task(
                step.station, KIND["repair"], self._repair_min.next(), self._mended, place=step.station.place,
                lane=LANE_REPRINT, due=bundle.order.draw.due, family=step.family, order=bundle.order, bundle=single,
                pieces=1, attempt=bundle.attempt,
            )  # fmt: skip
            step.station.submit(task)

    def _mended(self, task: Task) -> None:
        bundle = task.bundle
        assert bundle is not None
        self.advance(bundle)

    def _take_out(self, bundle: Bundle, pieces: list[int]) -> None:
        gone = set(pieces)
        bundle.pieces = [piece for piece in bundle.pieces if piece not in gone]
        for piece in gone:
            bundle.faults.pop(piece, None)
        if self.floor.lists is not None:
            self.floor.lists.lost(bundle.line, gone)

    def _remake(self, bundle: Bundle, pieces: list[int], cause: str, found_at: int) -> None:
        """Take pieces out of a bundle and make them again; past the last attempt they stay, under concession."""
        if not pieces or bundle.attempt >= LAST_ATTEMPT:
            return
        self._take_out(bundle, pieces)
        self.remake(bundle.line, sorted(pieces), bundle.attempt, cause, found_at)

    def remake(self, line: Line, pieces: list[int], attempt: int, cause: str, found_at: int) -> None:
        """Make pieces again that were lost at this attempt."""
        if line.order.gone:
            return
        line.order.remakes += len(pieces)
        if self.floor.lists is not None:
            self.floor.lists.lost(line, pieces)
        rows = self.floor.log.columns["remakes"]
        for _ in pieces:
            rows.extend((self.floor.env.now, line.order.number, line.plan.index, attempt, CAUSE[cause], found_at,
                         line.area_m2))  # fmt: skip
        self.make(line, pieces, attempt + 1)

    def reject(self, bundle: Bundle, cause: str, rate: float) -> None:
        """Lose a share of a bundle's pieces, to be made again."""
        lost = [piece for piece, _ in self._hits(cause, bundle, rate)]
        self._remake(bundle, lost, cause, KIND["calender"])

    def _finish(self, bundle: Bundle) -> None:
        order = bundle.order
        order.claims += len(bundle.faults)
        order.last_bundle = bundle.number
        self.count_finished(bundle.line, len(bundle.pieces))

    def count_finished(self, line: Line, pieces: int) -> None:
        """Pieces are finished; the last ones complete their order."""
        line.order.left -= pieces
        self.floor.log.leftover.pieces_done += pieces
        if line.order.left == 0:
            self.floor.dispatch.complete(line.order)

    # -- bought in ----------------------------------------------------------------------------------------------------

    def _give_out(self, bundle: Bundle, rule: BoughtIn) -> None:
        if self.floor.lists is not None:
            self.floor.lists.passed(bundle)
        back = self.floor.working_days_later(self._back_days[rule.at].next())
        line = bundle.line
        if rule.price_per_piece is not None:
            each = rule.price_per_piece
        else:
            model = line.plan.model
            edge_m = 2 * (line.draw.width_m + line.draw.height_m)
            each = bought_sewing_cu(edge_m, 1, model.bought_in_sewing_per_m, model.bought_in_sewing_per_piece)
        place = line.plan.steps[bundle.step].station
        assert place is not None
        self.floor.log.columns["bought_in"].extend((
            self.floor.env.now, back, line.order.number, place.place, len(bundle.pieces), each * len(bundle.pieces),
        ))  # fmt: skip
        self.await_from_outside(bundle, place.place, back)

    def await_from_outside(self, bundle: Bundle, place: int, back: float) -> None:
        """A bundle is outside until `back`, for the work of a place."""
        self._outside_row(bundle.order.number, bundle.number, len(bundle.pieces), bundle.attempt, place, back)
        self.rest_until(bundle, back)

    def rest_until(self, bundle: Bundle, until: float) -> None:
        """A bundle is ready for the step after its present one at this minute."""
        after(self.floor.env, until - self.floor.env.now, self._rested, bundle)

    def note_outside(self, line: Line, pieces: int, place: int, back: float) -> None:
        """Note that pieces of a line are made outside until `back`."""
        number = self._new_bundle_row(line, pieces, 0, -1)
        line.order.last_bundle = number
        self._outside_row(line.order.number, number, pieces, 0, place, back)

    def _outside_row(self, order: int, bundle: int, pieces: int, attempt: int, place: int, back: float) -> None:
        """An operations row without a person, so that the order's lead time has no hole."""
        now = self.floor.env.now
        self.floor.log.columns["operations"].extend((
            self.floor.next_task_number(), 0, KIND["bought_in"], place, -1, -1, -1, order, bundle, pieces, attempt,
            now, now, back, back - now, 0.0, 1,
        ))  # fmt: skip
