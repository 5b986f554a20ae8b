"""Sheets as typed rows and words, for paper, terminal and screen alike; nothing is drawn here."""
