"""The plain-integer problem the solver sees: slots, bit sets and monotone arrays; no dates, no products."""
