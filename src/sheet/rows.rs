//! Values beside instants: sorted by time, what is said twice kept once.

use super::faults::Faults;
use super::layout::{Layout, Taken};
use super::refused::What;
use super::timeline::Timed;
use super::{Air, Row, Weighed};
use std::cmp::Ordering;

/// A row before it is compared with others of its time.
#[derive(Debug)]
pub(super) struct Draft<'t, 'r, 'a, V> {
    pub(super) timed: &'t Timed<'r, 'a>,
    pub(super) values: V,
}

/// What another row of the same instant adds.
#[derive(Debug, PartialEq, Eq)]
pub(super) enum Joined {
    /// Nothing.
    Same,
    /// Values that were not there.
    More,
    /// Something else in the cell of this index.
    Otherwise(usize),
}

/// Values of a row.
pub(super) trait Values {
    /// Takes in the values of another row of the same instant, if none of them says otherwise.
    fn join(&mut self, other: Self, taken: &Taken) -> Joined;
}

impl Values for Air {
    fn join(&mut self, other: Self, taken: &Taken) -> Joined {
        let Taken::Air { temperature, humidity } = taken else { return Joined::Same };
        let index = |found: Option<usize>| found.unwrap_or_default();
        if unlike(self.temperature, other.temperature) {
            return Joined::Otherwise(index(temperature.map(|(at, _)| at)));
        }
        if unlike(self.humidity, other.humidity) {
            return Joined::Otherwise(index(*humidity));
        }
        let before = *self;
        self.temperature = self.temperature.or(other.temperature);
        self.humidity = self.humidity.or(other.humidity);
        if *self == before { Joined::Same } else { Joined::More }
    }
}

fn unlike<T: PartialEq>(one: Option<T>, other: Option<T>) -> bool {
    matches!((one, other), (Some(one), Some(other)) if one != other)
}

impl Values for Vec<Weighed> {
    fn join(&mut self, other: Self, _taken: &Taken) -> Joined {
        let before =
            |column: u32| self.iter().find(|weighed| weighed.column == column).map(|weighed| weighed.mass);
        if let Some(found) = other.iter().find(|found| unlike(before(found.column), Some(found.mass))) {
            return Joined::Otherwise(found.column as usize - 1);
        }
        let new: Self = other.into_iter().filter(|found| before(found.column).is_none()).collect();
        let joined = if new.is_empty() { Joined::Same } else { Joined::More };
        self.extend(new);
        self.sort_by_key(|weighed| weighed.column);
        joined
    }
}

/// Sorts rows by time and joins those of the same instant; the count of lines that say nothing new comes back with
/// them. A line that says otherwise than an earlier one is a fault, and the earlier one stays.
pub(super) fn merged<V: Values>(
    mut drafts: Vec<Draft<'_, '_, '_, V>>,
    layouts: &[Layout],
    faults: &mut Faults,
) -> (Vec<Row<V>>, u32) {
    let by_time = |one: &Draft<'_, '_, '_, V>, other: &Draft<'_, '_, '_, V>| -> Ordering {
        one.timed.at.cmp(&other.timed.at).then(one.timed.record.line.cmp(&other.timed.record.line))
    };
    drafts.sort_by(by_time);
    let mut rows: Vec<Row<V>> = Vec::with_capacity(drafts.len());
    let mut duplicates = 0;
    for Draft { timed, values } in drafts {
        let (record, at) = (timed.record, timed.at);
        let earlier = rows.last_mut().filter(|earlier| earlier.at == at);
        let (Some(earlier), Some(layout)) = (earlier, layouts.get(timed.layout)) else {
            rows.push(Row { line: record.line, at, values });
            continue;
        };
        match earlier.values.join(values, &layout.taken) {
            Joined::Same => duplicates += 1,
            Joined::More => {}
            Joined::Otherwise(index) => {
                let what = What::SaysOtherwise { earlier_line: earlier.line };
                faults.add(record.line, index, record.cell(index), what);
            }
        }
    }
    (rows, duplicates)
}
