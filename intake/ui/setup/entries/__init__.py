"""Lists of the setup as tables of cells to type into."""
