"""New water: mixing tap with pure water, minerals for it, what a change does, and a series."""
