"""What happened in the field: read, checked, compared with the plan, and made use of."""
