"""The command line: reads, asks the parts below, shows.

Exit codes: 0 answered, 1 something unforeseen (the detail is in a log), 2 something typed or
written wrong (one line says what), 130 interrupted.
"""

from __future__ import annotations

import io
import os
import sys
from collections.abc import Sequence


def main(arguments: Sequence[str] | None = None) -> None:
    """Run the command `leafgill` and leave with its exit code."""
    sys.exit(run(sys.argv[1:] if arguments is None else arguments))


def run(arguments: Sequence[str]) -> int:
    """Run the command with arguments as a shell hands them over; return its exit code."""
    from leafgill.cli.fail import complain, record
    from leafgill.errors import InputError

    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            # a letter the terminal does not know is shown as ?, not a failure
            stream.reconfigure(errors="replace")
    try:
        from leafgill.cli.app import app

        result = app(list(arguments) or ["--help"], prog_name="leafgill", standalone_mode=False)
        sys.stdout.flush()
        return result if isinstance(result, int) else 0
    except InputError as error:
        complain(str(error))
        return 2
    except KeyboardInterrupt:
        return 130
    except BrokenPipeError:
        # whoever read the output has gone; what is still to be flushed goes nowhere
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    except Exception as error:
        # Typer's usage errors share no public base in all of its versions; each formats itself.
        shown = getattr(error, "format_message", None)
        if shown is not None:
            complain(shown())
            return 2
        complain(record(error))
        return 1
