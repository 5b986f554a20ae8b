"""What the site record makes of a plan: progress, the plan as it stands, and what follows from it."""
