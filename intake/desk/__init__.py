"""What reception does, a module for each thing: the only door from a screen or a command to everything below."""
