//! Fermentation: degree-hours and the pH that ends them.
