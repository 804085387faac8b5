"""The command line. Start reading here.

Each command lives in `shopsim.doors` and is imported when it is asked for, so that `--help` answers at once. Exit
codes: 0 done, 1 a fault of ours, 2 bad input, 3 the question could not be settled, 130 stopped (Ctrl-C or SIGTERM).
Answers go to standard output, all else to standard error.
"""

from __future__ import annotations

import argparse
import os
import signal
import sys
import threading
from collections.abc import Callable, Sequence
from importlib import import_module

from shopsim import __version__
from shopsim.doors.command_line import parser
from shopsim.doors.plain_signs import use_nearest_signs
from shopsim.errors import CompileError, EngineError, InputError, StoreError
from shopsim.signs import shown

DONE, OUR_FAULT, BAD_INPUT, STOPPED = 0, 1, 2, 130
Command = Callable[[argparse.Namespace], int | None]


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code. Misuse of the command line leaves through SystemExit, code 2."""
    use_nearest_signs()
    _stop_when_told_to_end()
    arguments = parser().parse_args(argv)
    code = None
    try:
        command: Command = import_module(f"shopsim.doors.{arguments.command.replace('-', '_')}").run
        code = command(arguments)
        sys.stdout.flush()
    except (InputError, CompileError, EngineError, StoreError) as fault:
        return _said(str(fault), BAD_INPUT)
    except BrokenPipeError:
        # Whoever read our output (`head`, a pager) has seen enough; what is still buffered must not complain at exit.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    except KeyboardInterrupt:
        return _said("stopped", STOPPED)
    except Exception as fault:
        if arguments.debug:
            raise
        return _said(_our_fault(fault, arguments), OUR_FAULT)
    return DONE if code is None else code


def _stop_when_told_to_end() -> None:
    """A program told to end (`timeout`, a service that shuts down) stops as by Ctrl-C, and says what is kept."""

    def stop(*_: object) -> None:
        raise KeyboardInterrupt

    if threading.current_thread() is threading.main_thread():
        signal.signal(signal.SIGTERM, stop)


def _said(text: str, code: int) -> int:
    sys.stderr.write(shown(f"{text}\n", besides="\n"))
    return code


def _our_fault(fault: Exception, arguments: argparse.Namespace) -> str:
    seed = getattr(arguments, "seed", None)
    told = f"{type(fault).__name__}: {fault}".replace("\n", " ")
    return (
        f"shopsim {__version__} made a mistake of its own, please report it with the scenario and this line: {told} "
        f"({'seed of the scenario' if seed is None else f'seed {seed}'}; --debug shows where)"
    )
