"""From a microphone or a file to number words: capture, the end of an answer, the listeners and their models."""
