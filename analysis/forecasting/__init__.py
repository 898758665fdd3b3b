"""Playing a plan many times: dates with their chances, tables, sentences and pictures."""
