"""What a parent reads and prints: report, plan, log, export, sheet."""
