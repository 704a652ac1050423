//! Alarms of drying against the printed guide, and what must never change them.

mod story;

use crate::reference;
use proptest::prelude::*;
use std::collections::BTreeMap;
use std::hint::black_box;
use std::time::Instant;
use story::{Story, room};
use tallyhook::curing::drying::alarm::{Alarm, Scene, StallReason, What, alarms, humidities, news};
use tallyhook::curing::hygrometer::HumidityDoubt;
use tallyhook::curing::{Limit, rulebook};
use tallyhook::quantity::{Length, LengthUnit, Mass, MassUnit, RelativeHumidity, Temperature};
use tallyhook::record::climate::Climate;
use tallyhook::record::meter::{HygrometerCheck, Kept, SaltPoint};
use tallyhook::record::{BatchKind, BatchState, ChamberId, EventId, PieceNumber};

/// Days and columns of the printed guide, with the row each stands in.
fn row(diameter: &str, day: f64) -> &'static Limit {
    let id = format!("drying.fast.{diameter}");
    rulebook::bands(&id).find(|row| row.above == Some(day)).unwrap()
}

#[test]
fn the_guide_stands_as_printed() {
    reference::load("drying_fast_guide.csv").each(|printed| {
        let row = row(printed.text("diameter_mm"), printed.number("day"));
        printed.close("p10", row.band_low.unwrap(), 1e-9)?;
        printed.close("p90", row.band_high.unwrap(), 1e-9)?;
        printed.close("p90", row.value.unwrap() / 1.3, 1e-9)?;
        let middle = format!("P50 {},", printed.text("p50"));
        if row.place.contains(&middle) { Ok(()) } else { Err(format!("{} in {}", middle, row.place)) }
    });
}

#[test]
fn where_pieces_end_stands_as_printed() {
    reference::load("drying_ends_at.csv").each(|printed| {
        let id = format!("drying.ends_at.{}", printed.text("product"));
        let humidity = printed.number("humidity_percent");
        let row = rulebook::bands(&id).find(|row| row.above == Some(humidity)).unwrap();
        printed.close("loss_percent", row.band_high.unwrap(), 1e-9)?;
        printed.close("loss_percent", row.value.unwrap() / 0.9, 1e-9)
    });
}

fn words(found: &[Alarm]) -> Vec<&'static str> {
    found.iter().map(|alarm| alarm.what.word()).collect()
}

fn told(story: &Story, days: f64) -> Vec<&'static str> {
    words(&story.alarms(days))
}

/// A sausage that dries at two rates, one after the other, in air of 80 %, 16 points below fresh sausage.
fn at_rates(diameter_mm: f64, from_day: f64, rates: [f64; 2]) -> Vec<&'static str> {
    let step = 1.0;
    let mut story = Story::sausage(diameter_mm, 1000.0).read(from_day, 80.0);
    let mut grams = 1000.0;
    if from_day > 0.0 {
        story = story.weighed(from_day, 1, grams);
    }
    for (count, rate) in (1..).zip(rates) {
        grams -= rate * 10.0 * step;
        story = story.weighed(from_day + step * f64::from(count), 1, grams);
    }
    told(&story, from_day + 2.0)
}

/// Every printed cell: just above 1.3 times its P90 twice running warns, just under does not, once does not. Steps of a day
/// that begin on the printed day stay inside its column, but for thin ones on days 0 to 3, which have 6 %/d.
#[test]
fn every_cell_warns_above_its_mark_and_not_under_it() {
    reference::load("drying_fast_guide.csv").each(|printed| {
        let (from, _) = printed.text("diameter_mm").split_once('_').unwrap();
        let middle_of_band = from.parse::<f64>().unwrap() + 6.0;
        let day = printed.number("day");
        let is_thin = middle_of_band < 45.0 && day < 3.0;
        if day > 28.0 {
            // The second of the two steps begins past the table.
            let past = at_rates(middle_of_band, day, [9.0, 9.0]);
            return if past.contains(&"rim_risk") { Err("past the table".into()) } else { Ok(()) };
        }
        let mark = if is_thin { 6.0 } else { 1.3 * printed.number("p90") };
        let warns = |rates| at_rates(middle_of_band, day, rates).contains(&"rim_risk");
        let (over, under) = (mark + 0.02, mark - 0.02);
        let asked = [warns([over, over]), warns([over, under]), warns([under, over])];
        if asked == [true, false, false] { Ok(()) } else { Err(format!("{asked:?} at {mark}")) }
    });
}

/// Between two columns the earlier one holds (rates fall with age), at an edge the thinner band, and outside the table none.
#[test]
fn nothing_is_read_between_columns_or_beyond_the_table() {
    // 50 mm: 4.42 from day 1, 3.51 from day 4; between them 4.42 holds to the day before 4.
    assert!(!at_rates(50.0, 2.9, [4.4, 4.4]).contains(&"rim_risk"));
    assert!(at_rates(50.0, 4.0, [3.6, 3.6]).contains(&"rim_risk"));
    // 55 mm stands in two bands, day 8: 1.3 × 2.0 = 2.6 and 1.3 × 1.7 = 2.21.
    assert!(!at_rates(55.0, 8.0, [2.5, 2.5]).contains(&"rim_risk"));
    assert!(at_rates(56.0, 8.0, [2.5, 2.5]).contains(&"rim_risk"));
    for diameter in [27.0, 101.0] {
        assert!(at_rates(diameter, 4.0, [9.0, 9.0]).is_empty(), "{diameter} mm");
    }
}

/// Published thin chorizo (Foods 2020;9:1813, Table 1) lost about 5.5 %/d on days 0 to 2 and 4 %/d on days 2 to 5 and came
/// out well: no alarm of a 38 mm one.
#[test]
fn a_published_chorizo_is_not_warned_of() {
    let story = Story::sausage(38.0, 1000.0).read(0.0, 80.0).weighed(2.0, 1, 890.0).weighed(5.0, 1, 770.0);
    assert_eq!(told(&story, 5.0), [""; 0]);
}

/// The guide's days count after fermentation: what a sausage lost while it soured is none of it, and day 1 is the first of
/// drying. 4.5 %/d from there is over 4.42; in the days before it was not judged.
#[test]
fn days_count_after_fermentation() {
    let soured = |at_end: f64| Story::fermented(50.0, 1000.0).read(0.0, 80.0).weighed(0.0, 1, at_end);
    let dried =
        |story: Story, at_end: f64| story.weighed(1.0, 1, at_end - 45.0).weighed(2.0, 1, at_end - 90.0);
    assert_eq!(told(&dried(soured(990.0), 990.0), 2.0), ["rim_risk"]);
    assert_eq!(told(&soured(800.0).weighed(1.0, 1, 755.0), 1.0), [""; 0]);
}

#[test]
fn a_rim_needs_dry_air_as_well() {
    let fast = |humidity: f64| {
        let story = Story::sausage(50.0, 1000.0).read(0.0, humidity);
        story.weighed(1.0, 1, 950.0).weighed(2.0, 1, 900.0)
    };
    // Fresh sausage is taken for 96: 10 points under it is 86.
    assert!(!told(&fast(86.0), 2.0).contains(&"rim_risk"));
    assert!(told(&fast(85.9), 2.0).contains(&"rim_risk"));
    // A humidity of two weeks ago says nothing.
    let old =
        Story::sausage(50.0, 1000.0).weighed(15.0, 1, 999.0).weighed(16.0, 1, 900.0).weighed(17.0, 1, 800.0);
    assert!(told(&old.read(0.0, 70.0), 17.0).contains(&"fast_in_unknown_room"));
}

/// Design rule: over 3 %/d in the first week of whole muscle, once is enough; nothing after it.
#[test]
fn whole_muscle_has_one_mark_in_its_first_week() {
    let at = |from: f64, percent: f64| {
        let story = Story::of(BatchKind::WholeMuscle, 80.0, 1000.0);
        let story = if from > 0.0 { story.weighed(from, 1, 1000.0) } else { story };
        told(&story.weighed(from + 2.0, 1, 1000.0 - 20.0 * percent), from + 2.0)
    };
    assert_eq!(at(0.0, 3.05), ["fast_muscle"]);
    assert_eq!(at(0.0, 3.0), [""; 0]);
    assert_eq!(at(6.0, 9.0), [""; 0]);
}

/// By the rule: under 70 % in the first 7 days, or more than 20 points below the piece (96 − 20 = 76).
#[test]
fn a_dry_room_is_told_of_once() {
    let hung = || Story::sausage(50.0, 1000.0);
    assert_eq!(told(&hung().read(1.0, 69.9), 1.0), ["dry_room"]);
    assert_eq!(told(&hung().read(1.0, 75.9), 1.0), ["dry_for_piece"]);
    assert_eq!(told(&hung().read(1.0, 76.0), 1.0), [""; 0]);
    assert_eq!(told(&hung().read(1.0, 69.9).read(2.0, 65.0), 2.0), [""; 0]);
    assert_eq!(told(&hung().read(1.0, 69.9).read(2.0, 80.0).read(3.0, 60.0), 3.0), [""; 0]);
}

/// A logger's file brings many readings at once: what the room was on the way is as new as its last row. What was known
/// before is not, be it of an earlier file or a reading in the midst of this one.
#[test]
fn a_dry_room_within_a_file_is_told_of_once() {
    let hung = || Story::sausage(50.0, 1000.0);
    let first = hung().read(1.0, 68.0).read(1.1, 65.0).read(1.2, 80.0);
    assert_eq!(words(&first.after_file(1.2, Some(0))), ["dry_room"]);
    assert_eq!(words(&first.after_file(1.2, None)), [""; 0]);
    let next = first.read(2.0, 60.0).read(2.1, 61.0);
    assert_eq!(words(&next.after_file(2.1, Some(3))), [""; 0]);
    let (state, all) = (next.state(), room(&next.readings));
    let told_before = |known: &[(f64, f64)]| {
        words(&alarms(&Scene {
            state: &state,
            room: &all,
            now: story::day(2.1),
            weigh_every_days: Some(7),
            room_before: Some(&room(known)),
        }))
    };
    assert_eq!(told_before(&[(1.1, 65.0)]), [""; 0], "it was told of when it was read");
    assert_eq!(told_before(&[(1.2, 80.0)]), ["dry_room"]);
}

#[test]
fn a_target_out_of_reach_within_a_file_is_news() {
    let hung = || Story::sausage(50.0, 1000.0).read(8.0, 85.0).read(9.0, 86.0).read(10.0, 85.0);
    let is_old = |known| {
        let found = hung().after_file(10.0, known);
        found.iter().find(|alarm| alarm.what.word() == "out_of_reach").unwrap().is_old
    };
    assert!(!is_old(Some(0)));
    assert!(is_old(Some(1)), "the reading before the file showed it");
}

/// A logger's season of minutes, as a ratio to one walk over it: between 60 and 160 without optimisation.
#[test]
fn a_season_of_minutes_is_gone_through_once() {
    let mut story = Story::sausage(50.0, 1000.0);
    story.readings =
        (0..100_000).map(|minute| (f64::from(minute) / 1440.0, 70.0 + f64::from(minute % 7))).collect();
    story = story.read(77.0, 85.0);
    let (state, room) = (story.state(), room(&story.readings));
    let start = Instant::now();
    black_box(black_box(&room).iter().map(|read| read.humidity.as_percent()).sum::<f64>());
    let walk = start.elapsed().as_secs_f64();
    let scene = Scene {
        state: &state,
        room: &room,
        now: story::day(77.0),
        weigh_every_days: Some(7),
        room_before: None,
    };
    let start = Instant::now();
    assert_eq!(words(&alarms(&scene)), ["out_of_reach", "overdue"]);
    let ratio = start.elapsed().as_secs_f64() / walk;
    assert!(ratio < 5_000.0, "{ratio:.0} times as long as a walk");
}

/// Physics: at 95 % and more nothing of a water activity of 0.96 dries (96 − 1); of whole muscle only 98 % is sure.
#[test]
fn moist_air_is_warned_of() {
    let sausage = |humidity| told(&Story::sausage(50.0, 1000.0).read(1.0, humidity), 1.0);
    assert_eq!(sausage(94.9), [""; 0]);
    assert_eq!(sausage(95.0), ["no_drying"]);
    let muscle = |humidity| told(&Story::of(BatchKind::WholeMuscle, 80.0, 1000.0).read(1.0, humidity), 1.0);
    assert_eq!(muscle(97.9), [""; 0]);
    assert_eq!(muscle(98.0), ["no_drying"]);
}

/// 0.9 × 43.6 = 39.24 % at 80 %, 0.9 × 40.5 = 36.45 % at 85 %; the target is 38 %. The driest reading of the week counts,
/// and the first week does not.
#[test]
fn a_target_the_room_cannot_give_is_named() {
    let hung = || Story::sausage(50.0, 1000.0);
    assert_eq!(told(&hung().read(8.0, 80.0), 8.0), [""; 0]);
    assert_eq!(told(&hung().read(8.0, 80.1), 8.0), ["out_of_reach"]);
    assert_eq!(told(&hung().read(6.9, 80.1), 6.9), [""; 0]);
    assert_eq!(told(&hung().read(3.0, 79.0).read(8.0, 90.0), 8.0), [""; 0]);
    let later = hung().read(8.0, 85.0).read(9.0, 86.0).alarms(9.0);
    let of_reach = later.iter().find(|alarm| alarm.what.word() == "out_of_reach").unwrap();
    assert!(of_reach.is_old, "told of at the first reading");
}

/// The last two steps slow, and under 3 g (or 0.3 %) in 5 days. Of 50 mm sausages half are at 38 % in about 47 days, which
/// is 0.8 %/d (between the printed 40 d to 35 % and 53 d to 40 %): a quarter of it is 0.2 %/d, 2 g of 1000 a day.
#[test]
fn a_stall_and_its_likely_reason() {
    let stalled = |loss_g: f64, humidity: f64| {
        let at = 1000.0 - loss_g;
        let story = Story::sausage(50.0, 1000.0).read(0.0, 82.0);
        let story = story.weighed(20.0, 1, at).weighed(23.0, 1, at - 1.0).weighed(26.0, 1, at - 2.0);
        story.read(26.0, humidity)
    };
    let reason = |story: Story| {
        story.alarms(26.0).into_iter().find_map(|alarm| match alarm.what {
            What::Stalled { reason, .. } => Some(reason),
            _ => None,
        })
    };
    // 40.5 % is where the table's sausage ends at 85 %: from 37.5 % on it is about there. 37.3 + 0.2 = 37.5.
    let limit = Some(StallReason::RoomLimit { ends_at_percent: 40.5 });
    assert_eq!(reason(stalled(373.0, 83.0)), limit);
    assert_eq!(reason(stalled(372.9, 83.0)), Some(StallReason::Unknown));
    // Under 65 % the table has no column.
    assert_eq!(reason(stalled(373.0, 64.0)), Some(StallReason::Unknown));
    // 3 g in the last 6 days are no stall, nor are 5 days less an hour.
    let at = |days: [f64; 3], grams: [f64; 3]| {
        days.into_iter()
            .zip(grams)
            .fold(Story::sausage(50.0, 1000.0), |story, (day, g)| story.weighed(day, 1, g))
    };
    assert_eq!(told(&at([10.0, 13.0, 16.0], [900.0, 898.5, 897.1]), 16.0), ["stalled"]);
    assert_eq!(told(&at([10.0, 13.0, 16.0], [900.0, 898.5, 897.0]), 16.0), [""; 0]);
    assert_eq!(told(&at([10.0, 12.5, 14.95], [900.0, 899.0, 899.0]), 14.95), [""; 0]);
}

#[test]
fn a_stall_after_a_rim_risk_names_the_rim() {
    let story = Story::sausage(50.0, 1000.0).read(0.0, 70.0).weighed(1.0, 1, 940.0).weighed(2.0, 1, 880.0);
    let story = story.read(3.0, 80.0).weighed(10.0, 1, 879.0).weighed(16.0, 1, 878.0);
    assert_eq!(told(&story, 16.0), ["stalled_by_rim"]);
}

#[test]
fn bad_input_gives_a_true_sentence_or_none() {
    let hung = || Story::sausage(50.0, 1000.0);
    // One weighing, and two on one day: no rate.
    assert_eq!(told(&hung().read(0.0, 75.0).weighed(0.5, 1, 700.0), 0.5), ["dry_for_piece"]);
    let twice = hung().weighed(3.0, 1, 990.0).weighed(3.2, 1, 900.0).weighed(3.4, 1, 830.0);
    assert_eq!(told(&twice, 3.4), [""; 0]);
    // All equal: nothing lost, and it says so.
    let equal = hung().weighed(3.0, 1, 1000.0).weighed(6.0, 1, 1000.0);
    assert!(matches!(equal.alarms(6.0)[0].what, What::Stalled { change, .. } if change == Mass::grams(0.0)));
    // A gain of 0.5 % is the casing's damp, more is not; since the lowest weighing.
    assert_eq!(told(&hung().weighed(3.0, 1, 950.0).weighed(4.0, 1, 955.0), 4.0), [""; 0]);
    assert_eq!(told(&hung().weighed(3.0, 1, 950.0).weighed(4.0, 1, 955.1), 4.0), ["gained"]);
    // A target passed, and since when.
    let passed = hung().weighed(30.0, 1, 615.0).weighed(33.0, 1, 610.0);
    assert!(
        matches!(passed.alarms(40.0)[..], [Alarm { what: What::AtTarget { since }, .. }] if since == story::day(30.0))
    );
    // Eaten half-way: nothing more is said of it.
    assert_eq!(told(&passed.eaten(34.0, 1), 40.0), [""; 0]);
    // Not weighed: every 7 days was planned, and one day of grace.
    assert_eq!(told(&hung().weighed(3.0, 1, 950.0), 11.0), [""; 0]);
    assert_eq!(told(&hung().weighed(3.0, 1, 950.0), 11.1), ["overdue"]);
}

#[test]
fn a_batch_weighed_as_a_whole_has_its_alarms_too() {
    let story = Story::pieces(BatchKind::DriedSausage, Some(50.0), &[500.0, 500.0]).read(0.0, 70.0);
    let found = story.weighed_whole(1.0, 950.0).weighed_whole(2.0, 900.0).alarms(2.0);
    assert!(found.iter().any(|alarm| alarm.what.word() == "rim_risk" && alarm.piece.is_none()), "{found:?}");
}

/// The humidity is that of the chamber it hung in, by the check over salt that was in force: over common salt at 20 °C, which
/// has 75.48 % (Greenspan 1977), 70 % shown is 5.48 too low.
#[test]
fn the_humidity_is_that_of_its_own_chamber_as_corrected() {
    let percent = RelativeHumidity::percent;
    let jar = SaltPoint {
        salt: "NaCl".into(),
        temperature: Temperature::celsius(20.0),
        reference: percent(75.48),
        shown: percent(70.0),
    };
    let check = Kept { event: EventId(1), at: story::day(3.0), check: HygrometerCheck { points: vec![jar] } };
    let air = |readings: &[(f64, f64)], hygrometer| Climate {
        humidity: readings.iter().map(|(day, shown)| (story::day(*day), percent(*shown))).collect(),
        hygrometer,
        ..Climate::default()
    };
    let (first, next) = (ChamberId(1), ChamberId(2));
    let climates = BTreeMap::from([
        (first, air(&[(1.0, 80.0), (6.0, 60.0)], Vec::new())),
        (next, air(&[(2.0, 90.0), (6.0, 75.0)], vec![check])),
    ]);
    let found = humidities(&[(first, story::day(0.0)), (next, story::day(5.0))], &climates);
    let read: Vec<(f64, bool)> =
        found.iter().map(|read| (read.humidity.as_percent(), read.is_checked)).collect();
    assert_eq!(read.len(), 2, "{read:?}");
    approx::assert_abs_diff_eq!(read[0].0, 80.0, epsilon = 1e-9);
    approx::assert_abs_diff_eq!(read[1].0, 80.48, epsilon = 1e-9);
    assert_eq!((read[0].1, read[1].1), (false, true));
    assert_eq!(found[1].doubts, [HumidityDoubt::FarOff]);
}

/// The driest humidity of a week counts; once that reading is a week old, the same moist air said again is news.
#[test]
fn a_dry_reading_counts_for_a_week() {
    let story = |at: f64| story(&[], &[(31.0, 40.0), (38.0, 81.0)]).read(at, 81.0);
    let out_of_reach = |story: &Story| words(&story.alarms(45.0)).contains(&"out_of_reach");
    assert!(!out_of_reach(&story(38.0)), "it was read a week ago to the minute");
    assert!(out_of_reach(&story(38.001)));
}

/// Weighings of two pieces: day, piece and grams.
type Weighings = Vec<(f64, u32, f64)>;
/// Humidities: day and percent.
type Readings = Vec<(f64, f64)>;

fn record() -> impl Strategy<Value = (Weighings, Readings)> {
    let weighings = prop::collection::vec((1u32..400, 1u32..=2, 300u32..=520), 0..12);
    let readings = prop::collection::vec((0u32..400, 40u32..=100), 0..8);
    (weighings, readings).prop_map(|(weighings, readings)| {
        let day = |tenths: u32| f64::from(tenths) / 10.0;
        let weighings =
            weighings.into_iter().map(|(at, piece, grams)| (day(at), piece, f64::from(grams))).collect();
        (weighings, readings.into_iter().map(|(at, percent)| (day(at), f64::from(percent))).collect())
    })
}

fn story(weighings: &[(f64, u32, f64)], readings: &[(f64, f64)]) -> Story {
    let hung = Story::pieces(BatchKind::DriedSausage, Some(48.0), &[500.0, 510.0]);
    let read = readings.iter().fold(hung, |story, (day, percent)| story.read(*day, *percent));
    weighings.iter().fold(read, |story, (day, piece, grams)| story.weighed(*day, *piece, *grams))
}

fn at(story: &Story, state: &BatchState, now: f64) -> Vec<Alarm> {
    alarms(&Scene {
        state,
        room: &room(&story.readings),
        now: story::day(now),
        weigh_every_days: Some(7),
        room_before: None,
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(128))]

    /// The record puts entries in their order; of two at one moment the later entry counts, so moments are kept apart.
    #[test]
    fn the_order_in_which_weighings_are_told_does_not_matter((weighings, readings) in record()) {
        let mut weighings = weighings;
        weighings.sort_by(|one, other| one.0.total_cmp(&other.0));
        weighings.dedup_by(|one, other| (one.0 - other.0).abs() < 1e-9);
        let in_order = story(&weighings, &readings).alarms(45.0);
        weighings.reverse();
        prop_assert_eq!(story(&weighings, &readings).alarms(45.0), in_order);
    }

    /// Ounces and inches say what grams and millimetres say.
    #[test]
    fn units_do_not_matter((weighings, readings) in record()) {
        let metric = story(&weighings, &readings);
        let state = metric.state();
        let mut other = state.clone();
        let ounces = |mass: Mass| Mass::of(mass.in_unit(MassUnit::Ounce), MassUnit::Ounce);
        other.plan.thickness = other.plan.thickness.map(|mm: Length| Length::of(mm.as_inches(), LengthUnit::Inch));
        for piece in &mut other.pieces {
            piece.hung.hung = ounces(piece.hung.hung);
            piece.weighings.iter_mut().for_each(|weighing| weighing.gross = ounces(weighing.gross));
        }
        prop_assert_eq!(words(&at(&metric, &other, 45.0)), words(&at(&metric, &state, 45.0)));
    }

    /// A target out of reach is old where any reading before, when it was the last one, showed it: seen by asking anew
    /// after every reading.
    #[test]
    fn what_is_old_was_there_at_an_earlier_reading(
        readings in prop::collection::vec((0u32..400, 70u32..94), 1..40),
    ) {
        let mut readings: Vec<(f64, f64)> =
            readings.into_iter().map(|(at, percent)| (f64::from(at) / 10.0, f64::from(percent))).collect();
        readings.sort_by(|one, other| one.0.total_cmp(&other.0));
        readings.dedup_by(|one, other| (one.0 - other.0).abs() < 1e-9);
        let shows = |count: usize| {
            let known = &readings[..count];
            let found = story(&[], known).alarms(known[count - 1].0);
            found.into_iter().find(|alarm| alarm.what.word() == "out_of_reach")
        };
        if let Some(last) = shows(readings.len()) {
            prop_assert_eq!(last.is_old, (1..readings.len()).any(|count| shows(count).is_some()));
        }
    }

    /// The last entry said again is no news, be it a weight or a humidity.
    #[test]
    fn the_same_reading_again_is_no_news((weighings, readings) in record(), piece in 1u32..=2) {
        let before = story(&weighings, &readings);
        let last = weighings.iter().filter(|(_, number, _)| *number == piece).max_by(|a, b| a.0.total_cmp(&b.0));
        if let Some((day, _, _)) = last {
            // The later entry of two at one moment is the last one.
            let grams = before.state().piece(PieceNumber(piece)).unwrap().last_gross().0.as_grams();
            let again = story(&weighings, &readings).weighed(day + 0.001, piece, grams);
            let (was, is) = (before.alarms(45.0), again.alarms(45.0));
            prop_assert_eq!(words(&news(&was, &is).into_iter().cloned().collect::<Vec<_>>()), [""; 0]);
        }
        if let Some((day, percent)) = before.last_reading() {
            // A minute later another reading is a week old: that is news, and has a test of its own.
            prop_assume!(readings.iter().all(|(other, _)| (day - other - 7.0).abs() > 0.002));
            let again = story(&weighings, &readings).read(day + 0.001, percent);
            let (was, is) = (before.alarms(45.0), again.alarms(45.0));
            prop_assert_eq!(words(&news(&was, &is).into_iter().cloned().collect::<Vec<_>>()), [""; 0]);
        }
    }
}
