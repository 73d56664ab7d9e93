"""Taking the command line apart and handing it to one command."""

import argparse
import contextlib
import difflib
import os
import sys
from collections.abc import Sequence
from typing import Any, NoReturn

from sayit import SayitError, __version__
from sayit.commands import (
    backup,
    children,
    desk,
    export,
    forget,
    hear,
    household,
    judge,
    models,
    name,
    plan,
    practise,
    read,
    ready,
    reasons,
    report,
    restore,
    say,
    sheet,
)
from sayit.errors import visible

_COMMANDS = (
    practise, desk, plan, report, sheet, export, children, household, backup, restore, forget, name, read, judge, reasons, hear, say, models, ready,
)  # fmt: skip
INTERRUPTED = 130
BAD_INPUT = 2


class _Parser(argparse.ArgumentParser):
    """Complains in one line that names the argument."""

    def _get_value(self, action: argparse.Action, arg_string: str) -> Any:
        try:
            return super()._get_value(action, arg_string)
        except SayitError as error:
            if not action.option_strings:
                raise
            raise SayitError(f"{action.option_strings[-1]}: {error}") from error

    def _check_value(self, action: argparse.Action, value: Any) -> None:
        if action.dest == "command" and value not in (known := tuple(action.choices or ())):
            near = difflib.get_close_matches(value, known, 1)
            meant = f": did you mean {near[0]}?" if near else "."
            raise SayitError(f"There is no command {value!r}{meant} See: {self.prog} --help")
        super()._check_value(action, value)

    def error(self, message: str) -> NoReturn:
        raise SayitError(f"{message[:1].upper()}{message[1:]}. See: {self.prog} --help")


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command and return its exit status.

    0 is success, 1 "not ready", 2 bad input (one line on stderr), 130 Ctrl-C.
    """
    for stream in (sys.stdout, sys.stderr):
        # A terminal that has no sign for something shows "?" instead of a traceback.
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")
    try:
        args = _parser().parse_args(_with_command(sys.argv[1:] if argv is None else list(argv)))
        status: int = args.run(args)
        if sys.stdout:
            sys.stdout.flush()
    except SayitError as error:
        _complain(f"sayit: {visible(' '.join(str(error).split()))}")
        return BAD_INPUT
    except KeyboardInterrupt as stop:
        # What became of a sitting's answers is told by whoever played it.
        _complain(f"\nsayit: {visible(f'stopped. {stop}'.strip())}")
        return INTERRUPTED
    except BrokenPipeError:
        # Whoever read the output has had enough; nothing more can be said to them.
        _say_no_more()
        return 0
    except OSError as error:
        what = f"{error.filename} cannot be used" if error.filename else "What was to be told cannot be written"
        _complain(f"sayit: {visible(what)} ({error.strerror or error}): choose another place, or free some space.")
        _say_no_more()
        return BAD_INPUT
    except SystemExit as end:
        return end.code if isinstance(end.code, int) else 0
    return status


def _parser() -> argparse.ArgumentParser:
    parser = _Parser(
        prog="sayit",
        description="Spoken place-value practice for a child, run by a parent. Alone it opens the desk in the browser, or practises in the terminal where no browser can be seen.",
        epilog="Every command takes --json and then prints one JSON object a line.",
    )
    parser.add_argument("--version", action="version", version=f"sayit {__version__}")
    subparsers = parser.add_subparsers(dest="command", metavar="COMMAND", required=True)
    for command in _COMMANDS:
        added = command.add(subparsers)
        added.add_argument("--json", action="store_true", help="print one JSON object a line")
        added.set_defaults(run=command.run)
    return parser


def _with_command(argv: list[str]) -> list[str]:
    whole = {"-h", "--help", "--version"}
    if not argv:
        return ["desk"] if desk.browser_here() else ["practise"]
    if argv[0].startswith("-") and argv[0] not in whole:
        return ["practise", *argv]
    return argv


def _complain(line: str) -> None:
    with contextlib.suppress(OSError, ValueError):
        print(line, file=sys.stderr, flush=True)


def _say_no_more() -> None:
    """Let what is left to print go nowhere: at its end Python would complain that it cannot be written."""
    with contextlib.suppress(OSError, ValueError, AttributeError):
        sys.stdout.flush()
    with contextlib.suppress(OSError, ValueError, AttributeError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
