"""A coach's own phrase book: sentences with places, kept, and offered from what the coach wrote before."""
