"""What to buy: cable on reels, and all the small parts, counted from the plan."""
