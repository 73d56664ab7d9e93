"""What the tool says: the phrase bank, the parent's recordings, the machine's voice, the loudspeaker."""
