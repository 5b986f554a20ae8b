"""The replan view: a new forecast, what breaks on it, and the ways out."""
