"""Cure clocks: when the gap between two layers opens and shuts, for a given course of temperature."""
