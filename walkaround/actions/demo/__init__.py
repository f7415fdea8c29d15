"""What the people of the invented site do, one after the other, from a fixed seed."""
