"""The edition as a set of files: sealing, verification, offline use, publication, one edition per vehicle."""
