"""How sure a plan is: the chance that each gap and each reopening holds over the members of an ensemble."""
