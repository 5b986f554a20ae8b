"""Negotiating closures: what each number of them buys, what each one is worth, and the lists to send for."""
