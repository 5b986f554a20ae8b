"""A new forecast on a plan that was handed out: what breaks, the least change that works, and the other ways out."""
