"""How dates answer to the numbers of the plan: sweeps, drivers, sizing."""
