"""What is asked, how it is judged, and what follows; pure: clock and randomness come in as arguments."""
