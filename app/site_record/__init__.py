"""The Site record view: what really happened, and what follows from it."""
