"""Liftgap's planning core: job file in, audited plan out. Nothing here knows of Qt."""
