"""The front door: words on a command line to the rooms of the house.

Rooms are imported only when their command is used, so that the full-screen tool starts fast.
"""

from __future__ import annotations

import os
import sys
from contextlib import suppress

from darkroom.errors import DarkroomError

INTERRUPTED = 130
"""The exit status of a command that was interrupted: 128 and the number of SIGINT, as shells tell it."""


def main(argv: list[str] | None = None) -> int:
    """Run the command line. Exit status: 0 done, 1 the answer is no, 2 wrong use, 130 interrupted."""
    arguments = sys.argv[1:] if argv is None else argv
    try:
        status = _tool() if not arguments else _command(arguments)
        if sys.stdout is not None:
            sys.stdout.flush()  # a full device says so here, not after the exit status is set
        return status
    except DarkroomError as error:
        print(str(error) if "\n" in str(error) else f"darkroom: {error}", file=sys.stderr)
        return error.exit_status
    except BrokenPipeError:
        sys.stderr.close()
        return 1
    except OSError as error:
        if not _output_fails():
            raise
        with suppress(OSError):
            print(f"darkroom: the output was not written: {error.strerror}", file=sys.stderr)
        return 2


def _output_fails() -> bool:
    """Whether standard output did not take something; what waits for it is then given up."""
    if not getattr(getattr(sys.stdout, "buffer", None), "failed", False):
        return False
    with open(os.devnull, "wb") as nowhere:
        os.dup2(nowhere.fileno(), sys.stdout.fileno())
    return True


def _tool() -> int:
    """Open the full-screen tool; nothing of the other commands is imported for it."""
    from darkroom.screens.start import open_tool

    return open_tool()


def _command(arguments: list[str]) -> int:
    """Run a command by its words."""
    import click

    from darkroom.commands.groups import darkroom_command

    try:
        status = darkroom_command.main(args=arguments, prog_name="darkroom", standalone_mode=False)
    except click.exceptions.Abort as error:  # of an interrupt, or of an input that ended at a question
        return INTERRUPTED if isinstance(error.__cause__ or error.__context__, KeyboardInterrupt) else 1
    except click.ClickException as error:
        error.show()
        return 2
    except click.exceptions.Exit as leaving:
        return leaving.exit_code
    return status if isinstance(status, int) else 0


def run() -> None:
    """Set the surroundings of the process right, run the command line and leave with its exit status.

    The collector of garbage rests while rooms are read, which throws nothing away, and until the first frame
    of the full-screen tool.
    """
    import gc
    import signal

    gc.disable()
    before = signal.getsignal(signal.SIGINT)
    if before is not signal.SIG_IGN:  # as a job in the background of a script is started
        signal.signal(signal.SIGINT, signal.SIG_DFL)  # no trace in white letters while the rooms are read
    from darkroom.screens.lean_toolkit import compiled_modules, early_modules

    compiled_modules.use()
    early_modules.load()
    from darkroom import surroundings

    surroundings.set_right()
    if sys.argv[1:]:
        import darkroom.commands.groups  # noqa: F401  # while the interrupt ends the process at once

        gc.freeze()  # the rooms live to the end: the collector need not look at them again
        gc.enable()
        signal.signal(signal.SIGINT, before)  # a command removes what it has half written
    for remark in surroundings.remarks:
        print(f"darkroom: {remark}", file=sys.stderr)
    try:
        status = main()
    except KeyboardInterrupt:
        status = INTERRUPTED
    if "PYTHONINSPECT" in os.environ:  # Python would ask for statements, in the terminal's own colours
        for stream in (sys.stdout, sys.stderr):
            with suppress(OSError, ValueError, AttributeError):
                stream.flush()
        os._exit(status)
    gc.freeze()  # the process ends: what is left goes with it
    sys.exit(status)


if __name__ == "__main__":
    run()
