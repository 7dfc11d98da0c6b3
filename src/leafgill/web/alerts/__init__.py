"""What is not well with a tank: found, kept until it is over, and told."""
