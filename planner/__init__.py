"""Liftgap's planning core: job file in, audited plan out. Nothing here knows of Qt."""

import os

# All matrices here are small: OpenBLAS's threads take a hundred times as long over one as a single thread does where
# other work keeps the processors busy. It reads this when numpy is first imported; whoever has set it is obeyed.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
