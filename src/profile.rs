//! What the user's time is worth, what they can do, and what they want.
