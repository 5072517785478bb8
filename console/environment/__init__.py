"""Where the boat lies and what the day is like: sun, weather files, design days."""
