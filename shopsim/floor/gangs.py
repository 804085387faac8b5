"""Jobs waiting for a printer in groups that can share a run, the gang nested on the web, and the portion of it that
comes off together."""

from __future__ import annotations

from collections import deque
from collections.abc import Sequence

from shopsim.craft.layout import Layout
from shopsim.floor.orders import Line


class Job:
    """Pieces of one order line at one attempt, waiting to be printed."""

    __slots__ = ("attempt", "gang_ready", "lane", "line", "longest_m", "open", "pieces", "ready", "web_m_each")

    def __init__(self, line: Line, pieces: list[int], attempt: int, lane: int, ready: float) -> None:
        self.line = line
        self.pieces = pieces
        self.attempt = attempt
        self.lane = lane
        self.ready = ready
        self.gang_ready = ready
        self.open = True
        self.web_m_each = line.facts.web_m_each
        self.longest_m = line.facts.longest_m

    @property
    def wanted_lot(self) -> int | None:
        """The fabric lot this job must have because its order was begun on it and it has not run out."""
        if not self.line.plan.model.one_lot or self.line.order.lot_broken:
            return None
        return self.line.order.lots.get(self.line.plan.fabric_index)


class Group:
    """Waiting jobs that can share a run: one fabric, one mode, the same printers."""

    def __init__(self, fabric: int, mode: str, able: tuple[int, ...]) -> None:
        self.fabric = fabric
        self.mode = mode
        self.able = able
        self.heap: list[tuple[int, float, int, Job]] = []
        self.arrivals: deque[Job] = deque()
        self.web_m = 0.0
        self.urgent = 0
        self.ready_since: float | None = None
        self.looks_again_at = -1.0

    def oldest(self) -> Job | None:
        """The job that has waited longest."""
        while self.arrivals and not self.arrivals[0].open:
            self.arrivals.popleft()
        return self.arrivals[0] if self.arrivals else None


class Band:
    """A shelf of the layout on its way through the printer."""

    __slots__ = ("length_m", "owners", "pieces_m2", "printed_m")

    def __init__(self, length_m: float, owners: list[tuple[Job, int]], pieces_m2: float) -> None:
        self.length_m = length_m
        self.owners = owners
        self.pieces_m2 = pieces_m2
        self.printed_m = 0.0

    @property
    def left_m(self) -> float:
        """Metres still to print."""
        return self.length_m - self.printed_m


class Portion:
    """Printed pieces that come off the printer together."""

    __slots__ = ("owners", "run", "started", "web_m")

    def __init__(self, run: int, started: float, owners: list[tuple[Job, int]], web_m: float) -> None:
        self.run = run
        self.started = started
        self.owners = owners
        self.web_m = web_m

    def by_job(self) -> list[tuple[Job, list[int]]]:
        """The pieces of each job, sorted, jobs in the order in which they were printed."""
        jobs: dict[int, tuple[Job, list[int]]] = {}
        for job, piece in self.owners:
            jobs.setdefault(id(job), (job, []))[1].append(piece)
        return [(job, sorted(pieces)) for job, pieces in jobs.values()]


class Gang:
    """One run: bands still to print, and what is printed but not yet handed on."""

    def __init__(
        self, run: int, fabric: int, mode: str, image_width_m: float, bands: list[Band], jobs: list[Job], now: float
    ) -> None:
        self.run = run
        self.fabric = fabric
        self.mode = mode
        self.made_at = now
        self.started = -1.0
        self.image_width_m = image_width_m
        self.bands = bands
        self.next = 0
        self.done: list[tuple[Job, int]] = []
        self.done_m = 0.0
        self.done_m2 = 0.0
        self.first_article = False
        self.days_put_off = 0
        self.jobs = jobs
        self._one_lot_jobs = [job for job in self.jobs if job.line.plan.model.one_lot]

    @property
    def wanted_lot(self) -> int | None:
        """The lot some order of this gang must have."""
        return next((job.wanted_lot for job in self._one_lot_jobs if job.wanted_lot is not None), None)

    @property
    def one_lot(self) -> bool:
        """Whether some order of this gang must have a single lot."""
        return any(not job.line.order.lot_broken for job in self._one_lot_jobs)

    def break_lot(self) -> None:
        """The wanted lot has run out."""
        for job in self._one_lot_jobs:
            if job.wanted_lot is not None:
                job.line.order.lot_broken = True

    def note_lot(self, lot: int) -> None:
        """Orders that want one lot are bound to the first they are printed on."""
        for job in self._one_lot_jobs:
            job.line.order.lots.setdefault(self.fabric, lot)

    @property
    def finished(self) -> bool:
        """Whether all bands are printed or lost."""
        return self.next == len(self.bands)

    @property
    def left_m(self) -> float:
        """Metres of web still to print."""
        return sum(band.left_m for band in self.bands[self.next :])

    def still_wanted(self) -> bool:
        """Take out bands whose orders are all cancelled, before the run begins; False if no piece is left."""
        self.bands = [
            band for band in self.bands if not band.owners or not all(job.line.order.gone for job, _ in band.owners)
        ]
        return any(band.owners for band in self.bands)

    def still_to_print(self) -> list[tuple[Job, list[int]]]:
        """The pieces of each job that are not printed yet."""
        owners = [owner for band in self.bands[self.next :] for owner in band.owners]
        return Portion(self.run, self.started, owners, self.left_m).by_job()

    def portion(self) -> Portion | None:
        """Hand on what is printed so far; None if there is nothing."""
        if not self.done:
            return None
        portion = Portion(self.run, self.started, self.done, self.done_m)
        self.done, self.done_m, self.done_m2 = [], 0.0, 0.0
        return portion


def nested_gang(
    run: int, fabric: int, mode: str, layout: Layout, owners: Sequence[tuple[Job, int]], now: float
) -> Gang:
    """The gang of a nest; `owners` tells of each placed piece whose it is."""
    jobs = list({id(job): job for job, _ in owners}.values())
    return Gang(run, fabric, mode, layout.image_width_m, _bands(layout, owners), jobs, now)


def _bands(layout: Layout, owners: Sequence[tuple[Job, int]]) -> list[Band]:
    """One band a shelf; a piece made of panels belongs to the shelf of its last panel."""
    areas = {placed.piece: placed.across_m * placed.along_m for placed in layout.placements}
    if all(len(job.line.web.sizes) == 1 for job, _ in owners):
        return [
            Band(shelf.length_m, [owners[index] for index in shelf.pieces], sum(areas[index] for index in shelf.pieces))
            for shelf in layout.shelves
        ]
    last: dict[tuple[int, int], int] = {}
    for number, shelf in enumerate(layout.shelves):
        for index in shelf.pieces:
            job, piece = owners[index]
            last[(id(job), piece)] = number
    bands = []
    for number, shelf in enumerate(layout.shelves):
        mine: dict[tuple[int, int], tuple[Job, int]] = {}
        for index in shelf.pieces:
            job, piece = owners[index]
            if last[(id(job), piece)] == number:
                mine[(id(job), piece)] = (job, piece)
        bands.append(Band(shelf.length_m, list(mine.values()), sum(areas[index] for index in shelf.pieces)))
    return bands
