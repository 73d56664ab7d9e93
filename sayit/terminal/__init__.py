"""The face of a sitting in a terminal: keys in, lines and large digits out."""
