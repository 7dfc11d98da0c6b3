"""The app at the tank: pages, store and people."""
