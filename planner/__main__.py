"""`python -m planner …`: the command line without the desktop."""

import sys

from planner.cli import main

if __name__ == "__main__":
    sys.exit(main())
