"""What would buy a week: the limits of a plan, lifted one by one under the same luck."""
