"""Plans set against each other under the same luck, and the choice between them."""
