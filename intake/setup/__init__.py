"""The lab setup as a file: read, checked and written."""
