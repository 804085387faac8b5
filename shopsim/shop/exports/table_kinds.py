"""The tables an export can be read into, their columns, and what other software calls them (English, German).

Names of other software are ordinary words of the trade; none is taken from one program.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Kind = Literal["orders", "printer_log", "work_log", "time_stamps"]
CellKind = Literal[
    "text", "id", "time", "date", "whole", "count", "length", "area", "minutes", "yes_no", "size", "choice"
]

# Where an order stands: a step of the shop's route, or one of these.
ORDER_STATES = (
    "open", "received", "approval", "print", "printing", "printed", "calender", "rest", "cut", "sew", "eyelets", "iron",
    "rods", "frame_fit", "inspect", "pack", "work", "done", "order_check", "complete", "shipped", "cancelled",
)  # fmt: skip
EVENTS = (
    "print", "roll_change", "join", "take_up_change", "nozzle_check", "cleaning", "first_article", "minor_stop",
    "breakdown", "service", "care",
)  # fmt: skip
CAUSES = ("print", "cut", "sewing")


@dataclass(frozen=True, slots=True)
class Column:
    """One column of ours: how its cells are read, whether a row needs it, and by which headings it is known.

    `choices` are the values of a choice; `words` what else is known for them.
    """

    name: str
    kind: CellKind
    known_as: tuple[str, ...] = ()
    required: bool = False
    choices: tuple[str, ...] = ()
    words: tuple[tuple[str, str], ...] = ()

    @property
    def known_texts(self) -> dict[str, str]:
        """What a choice may be called, in small letters, and the choice it is."""
        return {choice.replace("_", " "): choice for choice in self.choices} | dict(self.words)


@dataclass(frozen=True, slots=True)
class TableKind:
    """A table: its columns in the order in which they are written, and those that tell two rows apart."""

    name: Kind
    columns: tuple[Column, ...]
    key: tuple[str, ...]

    def column(self, name: str) -> Column:
        """The column of a name. Raises KeyError for another name."""
        return next((each for each in self.columns if each.name == name), None) or _missing(name)

    @property
    def names(self) -> tuple[str, ...]:
        """All columns' names."""
        return tuple(column.name for column in self.columns)


def _missing(name: str) -> Column:
    raise KeyError(name)


_ORDER = ("order no", "order number", "order id", "order", "job", "job no", "job number", "auftrag", "auftragsnummer",
          "auftragsnr", "auftrags nr", "auftrag nr", "bestellnummer", "belegnummer", "beleg")  # fmt: skip
_PRODUCT = (
    "product",
    "item",
    "article",
    "product name",
    "artikel",
    "produkt",
    "artikelbezeichnung",
    "description",
    "what",
)
_PIECES = (
    "quantity",
    "qty",
    "pieces",
    "pcs",
    "menge",
    "anzahl",
    "stück",
    "stk",
    "stückzahl",
    "units",
    "how many",
    "number of pieces",
)
_WIDTH = ("width", "breite", "w", "b", "size w", "size width")
_HEIGHT = ("height", "length", "höhe", "länge", "h", "size h", "size height", "drop")
_PERSON = ("person", "operator", "employee", "name", "worker", "sewer", "mitarbeiter", "näherin", "bediener")
_START = ("start", "started", "begin", "from", "start time", "beginn", "von", "startzeit", "anfang")
_END = ("end", "finished", "finish", "to", "end time", "stop time", "ende", "bis", "endzeit", "fertig")
_MINUTES = ("minutes", "duration", "time taken", "min", "dauer", "zeit", "minuten", "laufzeit")

ORDERS = TableKind("orders", (
    Column("order_id", "text", _ORDER, required=True),
    Column("received", "time", ("received", "order date", "ordered", "date", "entered", "created", "auftragsdatum",
                                "bestelldatum", "eingang", "eingangsdatum", "datum", "erfasst", "taken in",
                                "date in"), required=True),
    Column("due", "date", ("due", "due date", "delivery date", "required by", "ship by", "deadline", "liefertermin",
                           "termin", "lieferdatum", "fällig", "wunschtermin", "to leave by", "date out"),
           required=True),
    Column("product", "id", _PRODUCT, required=True),
    Column("pieces", "whole", _PIECES, required=True),
    Column("width_m", "length", _WIDTH),
    Column("height_m", "length", _HEIGHT),
    Column("size", "size", ("size", "format", "dimensions", "maße", "abmessung", "größe", "w x h", "b x h")),
    Column("rush", "yes_no", ("rush", "express", "urgent", "eilig", "eil", "eilauftrag")),
    Column("repeat", "yes_no", ("repeat", "reorder", "repeat order", "old file", "wiederholung", "nachbestellung")),
    Column("approved", "time", ("approved", "proof approved", "proof passed", "approval", "freigabe", "druckfreigabe",
                                "freigegeben")),
    Column("cancelled", "time", ("cancelled", "canceled", "cancelled on", "storno", "storniert", "stornodatum")),
    Column("priority", "whole", ("priority", "prio", "priorität")),
    Column("shipped", "time", ("shipped", "dispatched", "ship date", "sent", "versandt", "versanddatum", "geliefert")),
    Column("status", "choice", ("status", "state", "stand", "auftragsstatus"), choices=ORDER_STATES, words=(
        ("in work", "open"), ("in production", "open"), ("new", "open"), ("offen", "open"), ("in arbeit", "open"),
        ("in produktion", "open"), ("artwork", "received"), ("files", "received"), ("datenprüfung", "received"),
        ("proof", "approval"), ("waiting for approval", "approval"), ("freigabe", "approval"), ("to print", "print"),
        ("print queue", "print"), ("druckbereit", "print"), ("im druck", "printing"), ("gedruckt", "printed"),
        ("cutting", "cut"), ("zuschnitt", "cut"), ("sewing", "sew"), ("näherei", "sew"), ("nähen", "sew"),
        ("ösen", "eyelets"), ("ironing", "iron"), ("bügeln", "iron"), ("inspection", "inspect"),
        ("checking", "inspect"), ("prüfung", "inspect"), ("packing", "pack"), ("verpackung", "pack"),
        ("packed", "complete"), ("ready to ship", "complete"), ("versandbereit", "complete"),
        ("dispatched", "shipped"), ("delivered", "shipped"), ("completed", "shipped"), ("versandt", "shipped"),
        ("erledigt", "shipped"),
        ("geliefert", "shipped"), ("canceled", "cancelled"), ("storniert", "cancelled"), ("storno", "cancelled"))),
    Column("pieces_done", "count", ("pieces done", "done pieces", "pcs done", "stück fertig", "fertige stück")),
), key=("order_id",))  # fmt: skip

PRINTER_LOG = TableKind("printer_log", (
    Column("printer", "id", ("printer", "machine", "device", "drucker", "maschine", "anlage"), required=True),
    Column("start", "time", (*_START, "date", "datum"), required=True),
    Column("end", "time", _END),
    Column("minutes", "minutes", _MINUTES),
    Column("event", "choice", ("event", "activity", "type", "ereignis", "tätigkeit", "art", "vorgang"), choices=EVENTS,
           words=(("printing", "print"), ("job", "print"), ("druck", "print"), ("drucken", "print"),
                  ("roll change", "roll_change"), ("rollenwechsel", "roll_change"), ("new roll", "roll_change"),
                  ("join", "join"), ("nozzle check", "nozzle_check"), ("düsentest", "nozzle_check"),
                  ("clean", "cleaning"), ("reinigung", "cleaning"), ("purge", "cleaning"),
                  ("first article", "first_article"), ("proof", "first_article"), ("andruck", "first_article"),
                  ("stop", "minor_stop"), ("minor stop", "minor_stop"), ("stopp", "minor_stop"),
                  ("störung", "breakdown"), ("fault", "breakdown"), ("down", "breakdown"), ("defekt", "breakdown"),
                  ("maintenance", "service"), ("wartung", "service"), ("daily care", "care"), ("pflege", "care"))),
    Column("order_id", "text", (*_ORDER, "job")),
    Column("fabric", "id", ("fabric", "material", "media", "cloth", "stoff", "gewebe")),
    Column("mode", "id", ("mode", "print mode", "quality", "druckmodus", "modus", "qualität")),
    Column("width_m", "length", (*_WIDTH, "image width", "print width", "druckbreite")),
    Column("metres", "length", ("metres", "meters", "length", "printed length", "run length", "m", "lfm", "laufmeter",
                                "länge", "meter")),
    Column("area_m2", "area", ("area", "printed area", "m2", "m²", "sqm", "fläche", "qm")),
    Column("stops", "count", ("stops", "interruptions", "stopps", "unterbrechungen")),
    Column("passed", "yes_no", ("passed", "ok", "result", "ergebnis", "in ordnung")),
), key=("printer", "start", "event"))  # fmt: skip

WORK_LOG = TableKind("work_log", (
    Column("place", "id", ("place", "work centre", "work center", "station", "department", "arbeitsplatz", "bereich",
                           "platz"), required=True),
    Column("step", "text", ("step", "operation", "activity", "arbeitsgang", "tätigkeit", "schritt")),
    Column("person", "text", _PERSON),
    Column("order_id", "text", _ORDER),
    Column("ticket", "text", ("ticket", "bundle", "job ticket", "bundle no", "laufzettel", "los", "bündel")),
    Column("product", "id", _PRODUCT),
    Column("start", "time", (*_START, "date", "datum"), required=True),
    Column("end", "time", _END),
    Column("minutes", "minutes", _MINUTES),
    Column("pieces", "whole", _PIECES),
    Column("width_m", "length", _WIDTH),
    Column("height_m", "length", _HEIGHT),
    Column("size", "size", ("size", "format", "dimensions", "maße", "abmessung", "größe", "w x h", "b x h")),
    Column("metres", "length", ("metres", "meters", "seam", "seam length", "perimeter", "nahtlänge", "umfang", "lfm")),
    Column("corners", "count", ("corners", "ecken")),
    Column("rejected", "count", ("rejected", "rejects", "faulty", "scrap", "ausschuss", "fehlerhaft")),
    Column("cause", "choice", ("cause", "reason", "fault", "grund", "ursache", "fehlerart"), choices=CAUSES, words=(
        ("printing", "print"), ("print fault", "print"), ("druck", "print"), ("druckfehler", "print"),
        ("cutting", "cut"), ("zuschnitt", "cut"), ("sew", "sewing"), ("seam", "sewing"), ("naht", "sewing"),
        ("nähfehler", "sewing"))),
), key=("place", "person", "start", "ticket"))  # fmt: skip

TIME_STAMPS = TableKind("time_stamps", (
    Column("order_id", "text", _ORDER, required=True),
    Column("step", "text", ("step", "operation", "stage", "station", "arbeitsgang", "schritt", "stufe"), required=True),
    Column("at", "time", ("at", "time", "scanned", "stamp", "timestamp", "when", "zeitpunkt", "zeit", "gebucht"),
           required=True),
    Column("moment", "choice", ("moment", "start end", "start or end", "in out", "anfang ende", "kommt geht"),
           choices=("start", "end"), words=(
        ("begin", "start"), ("started", "start"), ("in", "start"), ("beginn", "start"), ("anfang", "start"),
        ("finish", "end"), ("finished", "end"), ("done", "end"), ("out", "end"), ("ende", "end"), ("fertig", "end"))),
    Column("person", "text", _PERSON),
), key=("order_id", "step", "moment"))  # fmt: skip

TABLE_KINDS: dict[str, TableKind] = {each.name: each for each in (ORDERS, PRINTER_LOG, WORK_LOG, TIME_STAMPS)}
