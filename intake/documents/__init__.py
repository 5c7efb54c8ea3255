"""What is printed: the ticket that travels with the box and the letter that asks the practice. Plain values to PDF."""
