"""New dates every morning: where the pad stands by its log, played on, and what moved the dates."""
