//! What a person or a program sees.
