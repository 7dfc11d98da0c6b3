"""What the keeper is told, in words, figures, JSON and pictures, wherever it is shown."""
