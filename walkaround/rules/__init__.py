"""Ground floor: what is true. Standard library only, no clock, no input or output."""
