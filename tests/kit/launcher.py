"""`python launcher.py WORD…`: runs a program as a job in front of its terminal, as a shell does.

It ends with the program's status. SIGUSR1 takes the terminal from the job, SIGUSR2 gives it back to it.
"""

from __future__ import annotations

import os
import signal
import sys

TAKE, GIVE = signal.SIGUSR1, signal.SIGUSR2


def main(words: list[str]) -> int:
    """Run the program in a process group of its own; return its status, 128 + the number of a signal."""
    signal.signal(signal.SIGTTOU, signal.SIG_IGN)
    job = os.fork()
    if job == 0:
        os.setpgid(0, 0)
        os.tcsetpgrp(0, os.getpgrp())
        signal.signal(signal.SIGTTOU, signal.SIG_DFL)
        os.execvp(words[0], words)
    signal.signal(TAKE, lambda *_: os.tcsetpgrp(0, os.getpgrp()))
    signal.signal(GIVE, lambda *_: os.tcsetpgrp(0, job))
    status = os.waitstatus_to_exitcode(os.waitpid(job, 0)[1])
    return status if status >= 0 else 128 - status


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
