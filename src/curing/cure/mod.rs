//! Cure: nitrite, nitrate and salt, from a label and a weight to mg/kg and back.
