"""The shops that come with the program."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True, slots=True)
class Demo:
    """A file among the demo scenarios, whose what-ifs begin with the same word, and a line about it."""

    name: str
    prefix: str
    title: str
    line: str


DEMOS = (
    Demo("flag_banner_shop.yaml", "flag_banner", "Selm Quay Flags",
         "Three people, one printer near its limit. Does a second one pay?"),
    Demo("frame_fabric_shop.yaml", "frame_fabric", "Weir Lane Frame Fabrics",
         "Twelve people, two printers; the sewing room decides. How many sewers for the season?"),
    Demo("exhibition_supplier.yaml", "exhibition", "Osier Hall Exhibition Textiles",
         "Forty people, five printers, two and three shifts. Which pattern, at what cost?"),
)  # fmt: skip


def folder() -> Path:
    """Where they lie: inside an installation, or beside the package in its source tree."""
    package = Path(__file__).resolve().parents[1]
    inside = package / "demo_scenarios"
    return inside if inside.is_dir() else package.parent / "demo_scenarios"


def files_of(demo: Demo) -> dict[str, bytes]:
    """All that makes the shop, by the path in the folder: scenario, order book, what-ifs."""
    root = folder()
    what_ifs = sorted((root / "what_ifs").glob(f"{demo.prefix}_*.yaml"))
    books = sorted(root.glob(f"{demo.prefix}_*.csv"))
    paths = [root / demo.name, *books, *what_ifs]
    return {path.relative_to(root).as_posix(): path.read_bytes() for path in paths}


def beside(demo: Demo) -> dict[str, bytes]:
    """Lists as other software writes them with their mappings, and mornings, by their path in the folder."""
    root = folder()
    paths = [path for name in ("exports", "mornings") for path in sorted((root / name).glob(f"{demo.prefix}_*"))]
    return {path.relative_to(root).as_posix(): path.read_bytes() for path in paths}


def demo_mornings(name: str) -> list[Path]:
    """Files of a morning that come with the demo of this file name, none for another shop."""
    demo = next((each for each in DEMOS if each.name == name), None)
    return [] if demo is None else sorted((folder() / "mornings").glob(f"{demo.prefix}_20*.yaml"))


def demo_forecast(name: str) -> Path | None:
    """The what-if that has forecast orders come to a demo after its mornings, None for another shop."""
    demo = next((each for each in DEMOS if each.name == name), None)
    path = folder() / "mornings" / f"{demo.prefix}_forecast.yaml" if demo else None
    return path if path is not None and path.exists() else None
