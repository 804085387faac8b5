"""`shopsim promise`: what date can be promised this morning, and with what chance."""

from __future__ import annotations

import argparse
from collections.abc import Sequence

from shopsim.answers.promise import PromiseADate
from shopsim.answers.promise_request import request_of
from shopsim.answers.question import changed
from shopsim.doors.study import study_shop, tell, with_what_ifs
from shopsim.doors.writing import note, write_json
from shopsim.errors import InputError, Problem
from shopsim.sentences.reading import rows_read
from shopsim.shop.collections import cut_off_of
from shopsim.shop.exports.mapping import load_mapping
from shopsim.shop.exports.reading import read_export
from shopsim.shop.shop_file import Shop
from shopsim.shop.today_book import today_from_book, today_from_reading
from shopsim.shop.today_file import load_today, require_fits, today_schema
from shopsim.shop.today_model import OpenLine, OpenOrder, Today
from shopsim.shop.what_if import load_what_if
from shopsim.studies.promise import PromisePlan


def run(arguments: argparse.Namespace) -> int:
    """Look ahead from a morning and show or write the answer; returns 3 where no date can be told."""
    if arguments.schema:
        write_json(today_schema(), arguments.schema)
    return tell(arguments, question(arguments))


def question(arguments: argparse.Namespace) -> PromiseADate:
    """What a command line asks. Raises InputError with every fault of the files and of what goes with what."""
    base = study_shop(arguments)
    before = tuple(load_what_if(name, arguments.scenario) for name in arguments.what_ifs)
    shop = changed(base, before).shop
    today = _today(arguments, shop)
    request = _request(arguments, shop, today)
    if request is None and (arguments.ways or arguments.by):
        given = "--way" if arguments.ways else "--by"
        raise InputError([Problem("", None, None, given, "goes with --request")])
    ways = with_what_ifs(shop, arguments.scenario, arguments.ways)
    for one in ways:
        require_fits(today, one.shop.scenario, one.name)
    wanted = cut_off_of(arguments.by, shop.scenario) if arguments.by else None
    plan = PromisePlan(arguments.replications, arguments.chance, wanted)
    return PromiseADate(
        scenario=arguments.scenario, shop=shop, today=today, request=request, plan=plan, changed=ways, before=before,
    )  # fmt: skip


def _today(arguments: argparse.Namespace, shop: Shop) -> Today:
    """The morning as the command line names it."""
    if arguments.today is None and arguments.orders is None:
        raise InputError([Problem("", None, None, "--today", "give --today FILE, or --orders BOOK and --now TIME")])
    if arguments.map is not None and arguments.orders is None:
        raise InputError([Problem("", None, None, "--map", "goes with --orders")])
    told = _told(arguments, shop)
    if arguments.orders is None:
        return told
    if arguments.map is None:
        return today_from_book(arguments.orders, shop.scenario, told).today
    reading = read_export(arguments.orders, load_mapping(arguments.map))
    note(f"{arguments.orders}: {rows_read(reading).sentence}")
    return today_from_reading(reading, shop.scenario, told).today


def _told(arguments: argparse.Namespace, shop: Shop) -> Today:
    """The file of the morning, which has no orders if they come from a book; or what is told by --now alone."""
    if arguments.today is None:
        if arguments.now is None:
            raise InputError(
                [Problem("", None, None, "--now", "is missing: at which time is the order book as it is?")]
            )
        return Today(now=arguments.now)
    if arguments.now is not None:
        raise InputError([Problem("", None, None, "--now", "goes with --orders alone: FILE tells its time")])
    told, warnings = load_today(arguments.today, shop.scenario)
    _warn(warnings)
    if arguments.orders is not None and told.orders:
        message = f"has {len(told.orders)} orders: leave `orders` out where they come from --orders"
        raise InputError([Problem(arguments.today, None, None, "orders", message)])
    return told


def _warn(warnings: Sequence[Problem]) -> None:
    for warning in warnings:
        note(f"note: {warning}")


def _request(arguments: argparse.Namespace, shop: Shop, today: Today) -> OpenOrder | None:
    if not arguments.request:
        if arguments.rush or arguments.new_file:
            given = "--rush" if arguments.rush else "--new-file"
            raise InputError([Problem("", None, None, given, "goes with --request")])
        return None
    lines = [
        OpenLine(product=product, pieces=pieces, width_m=width_m, height_m=height_m)
        for product, pieces, width_m, height_m in arguments.request
    ]
    return request_of(
        shop.scenario, today, lines, arguments.by, rush=arguments.rush, new_file=arguments.new_file
    )  # fmt: skip
