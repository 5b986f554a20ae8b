"""Quantities, packs, batches and pot life: what is placed, loaded and mixed, never less than is needed."""
