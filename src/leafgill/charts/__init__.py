"""Pictures from plain numbers; what they show is worked out elsewhere."""
