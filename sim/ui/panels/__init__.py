"""What stands beside and over the plan."""
