//! Drying: target weight and loss.
