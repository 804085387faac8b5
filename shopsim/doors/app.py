"""`shopsim app`: the front end, in the browser of this machine."""

from __future__ import annotations

import argparse
import runpy
import socket
import sys
import threading
import time
import urllib.request
import webbrowser
from pathlib import Path

from shopsim.errors import InputError, Problem
from shopsim.studies.pool import close_all

FIRST_PORT, PORTS = 8501, 20
_WAIT_S = 30.0


def run(arguments: argparse.Namespace) -> None:
    """Serve the front end on the loopback address until stopped. Raises InputError for a port that is taken."""
    port = _free_port(arguments.port)
    url = f"http://127.0.0.1:{port}"
    sys.stderr.write(f"shopsim is at {url}; Ctrl-C ends it\n")
    if not arguments.no_browser:
        threading.Thread(target=_open_when_up, args=(url,), daemon=True).start()
    sys.argv = ["streamlit", "run", str(main_file()), "--server.port", str(port)]
    # As a program of its own would run, but in this process, so that a signal to us is a signal to it.
    try:
        runpy.run_module("streamlit", run_name="__main__", alter_sys=True)
    finally:
        close_all()


def main_file() -> Path:
    """The front end: inside an installation, or beside the package in its source tree."""
    package = Path(__file__).resolve().parents[1]
    inside = package / "app" / "main.py"
    return inside if inside.is_file() else package.parent / "app" / "main.py"


def _free_port(asked: int | None) -> int:
    for port in range(FIRST_PORT, FIRST_PORT + PORTS) if asked is None else (asked,):
        with socket.socket() as trial:
            trial.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            try:
                trial.bind(("127.0.0.1", port))
            except OSError:
                continue
            return port
    taken = f"ports {FIRST_PORT} to {FIRST_PORT + PORTS - 1} are" if asked is None else f"port {asked} is"
    raise InputError([Problem("", None, None, "--port", f"{taken} taken by another program")])


def _open_when_up(url: str) -> None:
    end = time.monotonic() + _WAIT_S
    while time.monotonic() < end:
        try:
            with urllib.request.urlopen(f"{url}/_stcore/health", timeout=1):
                webbrowser.open(url)
                return
        except OSError:
            time.sleep(0.1)
