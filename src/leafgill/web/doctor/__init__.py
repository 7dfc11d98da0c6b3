"""Looking the app over from outside: clock, disk, database, probes, backups, what runs."""
