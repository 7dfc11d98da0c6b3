"""Forms as plain data: what a field shows, and what was typed into it."""
