"""What is done to the plan by hand on the board beside moving: pins, gangs, ways, visits, and mending the rest."""
