"""Nothing lost: backups that are read back before they count, rotation, and the way back."""
