"""What holds for all tests."""

import signal

# A run started in the background inherits an ignored Ctrl-C and would hand that on to the programs it tests.
signal.signal(signal.SIGINT, signal.default_int_handler)
