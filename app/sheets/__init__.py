"""Sheets on paper: set in type as plain marks, divided into pages, then drawn by Qt."""
