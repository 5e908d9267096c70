"""The bench page: one step at a time, a number to enter, what it means; it works without Wi-Fi."""
