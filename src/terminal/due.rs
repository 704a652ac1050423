//! One tick of the reminders, printed.
