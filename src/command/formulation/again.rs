//! The recipe of a batch that is made again, scaled to the meat that is there.

use super::kept;
use crate::command::asking::{Asking, Services};
use crate::command::error::CommandError;
use crate::command::naming;
use crate::quantity::{Mass, format};
use crate::record::Formulation;
use crate::reply::{Reply, say};
use crate::store::fold;

/// Adds the kept recipe of the batch's name, of the member's own or else shared; says so where there is none.
pub(in crate::command) async fn fill(
    reply: &mut Reply,
    batch_name: &str,
    meat: Mass,
    services: &Services,
    asking: &Asking,
) -> Result<(), CommandError> {
    let Some(recipe) = of_name(batch_name, services, asking).await? else {
        reply.lines.push(say("formulation.again.none", &[]));
        return Ok(());
    };
    match kept::scaled(&recipe, meat) {
        Ok(scaled) => {
            let holes = [
                ("name", &*kept::by(&recipe, services, asking)),
                ("meat", &format::mass(meat, asking.member.settings.mass)),
            ];
            reply.lines.push(say("formulation.show.headline", &holes));
            *reply = scaled.fill(std::mem::take(reply), asking);
        }
        Err(unreadable) => reply.lines.push(unreadable.sentence),
    }
    Ok(())
}

async fn of_name(
    batch_name: &str,
    services: &Services,
    asking: &Asking,
) -> Result<Option<Formulation>, CommandError> {
    let names = [fold(batch_name), naming::base(batch_name)];
    let own = services.store.formulations_of(asking.member.id).await?;
    let shared = services.store.formulations_shared(asking.group.id).await?;
    Ok(own.into_iter().chain(shared).find(|recipe| names.contains(&fold(&recipe.name))))
}
