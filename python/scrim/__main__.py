"""The program: `scrim ...` and `python -m scrim ...` do what the one that cargo builds does."""

import signal
import sys

from scrim._scrim import run_program


def main() -> int:
    # The program is not Python's to interrupt: Ctrl-C ends it, as it ends any other.
    signal.signal(signal.SIGINT, signal.SIG_DFL)
    return run_program(sys.argv[1:])


if __name__ == "__main__":
    sys.exit(main())
