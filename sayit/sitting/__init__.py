"""One sitting, whatever face it has: its set-up, its turns, and the events that it reports."""
