"""The only code that writes courses, what happens to their greens, and their calendars."""
