"""What the trade knows: pure functions over frozen values. No screen, no SQL, no files, no clock."""
