"""The Shift sheet view: one gang and day as it will be printed."""
