"""From the finished state of planning to the plan that is saved."""
