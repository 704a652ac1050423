//! Quantity to text. (to be written)
