"""Benchmarks, run by hand: `python -m tests.benchmarks.NAME`."""

import planner  # noqa: F401  # before numpy, which is then told to use one thread, as where the program is started
