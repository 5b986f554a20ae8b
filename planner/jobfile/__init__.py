"""Job and plan files: read with every fault at once, written so that nothing is lost."""
