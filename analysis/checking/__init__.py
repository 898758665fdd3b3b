"""What `check` and `explain` print: the plan's own arithmetic, without playing it."""
