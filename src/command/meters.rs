//! What is known of a member's meters, for what leans on them.

use super::asking::Services;
use super::error::CommandError;
use crate::record::correction::effective;
use crate::record::meter::{Kept, MeterCheck};
use crate::record::{Happening, MeterId};

/// The checks of a meter that count, in the order of time.
pub async fn checks(services: &Services, meter: MeterId) -> Result<Vec<Kept<MeterCheck>>, CommandError> {
    let events = effective(&services.store.events_of_meter(meter).await?);
    let checks = events.into_iter().filter_map(|event| match event.what {
        Happening::MeterChecked { check } => Some(Kept { event: event.id, at: event.at, check }),
        _ => None,
    });
    Ok(checks.collect())
}
