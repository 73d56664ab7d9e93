"""The child's screen and the parent's desk: a page on this machine only."""
