"""The graph of operations and gaps: what must follow what, checked, with the critical path and spare time."""
