"""Where the days go: the chain of rows from a milestone back to hour zero."""
