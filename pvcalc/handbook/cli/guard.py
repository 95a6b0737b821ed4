"""What every command runs in: any run ends, every fault is a sentence, and nothing typed steers the terminal it is shown on."""

import os
import signal
import sys
import threading
from contextlib import contextmanager, redirect_stderr, redirect_stdout

from pvcalc.handbook.data.findings import AuthorFaults
from pvcalc.handbook.data.text_files import visible

SECONDS = 900  # of one command; a million rows of an audit take a sixth of it
LIMIT, TRACEBACK = "PVCALC_SECONDS", "PVCALC_TRACEBACK"


class TooLong(Exception):
    """A command did not end in its time."""


class Plain:
    """A stream that shows escape, direction and other unseen characters as their numbers."""

    def __init__(self, stream):
        self.stream = stream

    def write(self, text):
        """Write a text; a carriage return is ours when the text begins with it (the line of progress)."""
        own = text.startswith("\r")
        return self.stream.write(("\r" if own else "") + visible(text[own:]))

    def __getattr__(self, name):
        return getattr(self.stream, name)


def run(command, name: str) -> int:
    """Run one command and return its exit status: its own, or 1 with a sentence on the error stream.

    Args:
        command: called without arguments; name: as typed, for the sentence.
    """
    with redirect_stdout(Plain(sys.stdout)), redirect_stderr(Plain(sys.stderr)):
        try:
            with _limited(float(os.environ.get(LIMIT) or SECONDS)):
                return command()
        except AuthorFaults as faults:
            for finding in faults.findings:
                print(finding)
        except TooLong as error:
            print(f"{name}: {error}", file=sys.stderr)
        except KeyboardInterrupt:
            print(f"{name}: stopped.", file=sys.stderr)
        except BrokenPipeError:
            # Whoever read the output has gone; Python would complain once more when it closes the stream.
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        except Exception as error:
            if os.environ.get(TRACEBACK):
                raise
            print(f"{name}: this program failed, and nothing else was written: {type(error).__name__}: {error}. "
                  f"Report it with what you typed; {TRACEBACK}=1 shows where.", file=sys.stderr)
        return 1


@contextmanager
def _limited(seconds):
    """Stop after so many seconds, where the system has a clock that interrupts."""
    if not hasattr(signal, "setitimer") or threading.current_thread() is not threading.main_thread():
        yield
        return

    def over(*_):
        raise TooLong(f"not finished after {seconds:g} s, so stopped. A longer limit: {LIMIT}={seconds * 4:g} before the command.")

    before = signal.signal(signal.SIGALRM, over)
    signal.setitimer(signal.ITIMER_REAL, seconds)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_REAL, 0)
        signal.signal(signal.SIGALRM, before)
