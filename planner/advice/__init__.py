"""Advice on a plan: risks of weather to fresh cement and what the strengths rest on; never a breach."""
