"""What is believed of each tank, worked out beside the pages and told with its age."""
