"""The second statement of every rule: checks a plan from the job alone, explains it, compares it, sums it up."""
