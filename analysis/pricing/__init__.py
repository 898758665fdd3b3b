"""Production, fuel and money of a run: amounts from its logs times the prices of the scenario."""
