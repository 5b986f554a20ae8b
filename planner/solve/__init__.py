"""From the integer problem to a plan: generator, local search, messages to and from the worker process."""
