"""The edition as copied and kept: sealing, verifying, offline, publication, one for each vehicle."""
