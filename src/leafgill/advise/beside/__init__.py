"""What advice looks at beside the valve: gas hours, surface, water changes, and leaving it."""
