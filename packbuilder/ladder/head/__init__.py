"""In the head: the solve of a person who writes nothing but digits, and remembers a few facts."""
