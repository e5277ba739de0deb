"""Green work as iCalendar (RFC 5545), written and read by the icalendar library."""
