"""Stock solutions: what to weigh into a bottle, whether it keeps, and what a dose of it brings."""
