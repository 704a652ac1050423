//! Warm spells of batches as their records stand at different hours. Hours count from the fermentation, where there is one.

use super::*;
use crate::curing::fermentation::story::{COOL, Story, WARM, at};
use crate::curing::fermentation::system::System;
use crate::record::batch::BatchKind;

fn us(spell: &WarmSpell) -> f64 {
    spell.degree_hours.as_ref().unwrap().in_system(System::Us).unwrap().lower
}

fn muscle() -> Story {
    Story::planned(BatchKind::WholeMuscle, 0).stage(0, BatchStage::Curing)
}

/// In the cure at 3 °C, at 20 °C from hour 30 to 60, drying from hour 50, and 13 °C from then on.
fn warm_out_of_the_cure() -> Story {
    muscle().room(WARM, 0..=29, 3.0).room(WARM, 30..=60, 20.0).stage(50, BatchStage::Drying).room(
        WARM,
        61..=300,
        13.0,
    )
}

#[test]
fn a_spell_that_began_in_the_cure_is_judged_as_meat_in_the_cure_also_afterwards() {
    let story = warm_out_of_the_cure();
    for now in [49, 51, 70, 300] {
        let spell = story.spell(now).unwrap();
        assert_eq!((spell.piece, spell.verdict), (SpellPiece::InCure, SpellVerdict::Discard), "hour {now}");
    }
}

#[test]
fn a_spell_is_cut_at_the_end_of_the_cure_and_ten_degrees_are_no_warmth_after_it() {
    // 12 °C in the last seven hours of the cure: over four and not over eight. It goes on at 12 °C, drying.
    let story = muscle().room(WARM, 0..=43, 4.0).room(WARM, 44..=200, 12.0).stage(51, BatchStage::Drying);
    let spell = story.spell(60).unwrap();
    assert_eq!((spell.piece, spell.verdict), (SpellPiece::InCure, SpellVerdict::Warning));
    // The doubtful hour before the first warm reading counts: eight in all.
    let longest = spell.findings.iter().filter_map(|finding| finding.measured).fold(0.0, f64::max);
    assert!((longest - 8.0).abs() < 1e-9);
    // It was said, and nothing came of it.
    assert_eq!(story.spell(51 + 7 * 24 + 1), None);
}

#[test]
fn the_cure_and_the_cold_rest_are_one() {
    // Three hours of 16 °C in each: six are over four.
    let story = muscle()
        .room(WARM, 0..=46, 3.0)
        .room(WARM, 47..=53, 16.0)
        .stage(50, BatchStage::Resting)
        .room(WARM, 54..=55, 3.0);
    assert_eq!(story.spell(56).unwrap().verdict, SpellVerdict::Discard);
}

#[test]
fn a_spell_that_began_after_the_cure_is_counted_from_its_start() {
    let story = muscle()
        .room(WARM, 0..=59, 4.0)
        .stage(50, BatchStage::Drying)
        .room(WARM, 60..=80, 24.0)
        .stage(70, BatchStage::Equalising);
    let spell = story.spell(80).unwrap();
    assert_eq!((spell.piece, spell.verdict), (SpellPiece::Unprotected, SpellVerdict::Notice));
    assert!((us(&spell) - 20.0 * 15.2).abs() < 1e-9);
}

#[test]
fn degree_hours_of_a_spell_that_leaves_the_cure_count_from_its_start_too() {
    // 24 °C for 81 h, of which three are the cure's: neither row of the cure is over, and 81 × 15.2 = 1231 of 1200.
    let story = muscle().room(WARM, 0..=46, 4.0).room(WARM, 47..=128, 24.0).stage(50, BatchStage::Drying);
    let spell = story.spell(128).unwrap();
    assert_eq!((spell.piece, spell.verdict), (SpellPiece::Unprotected, SpellVerdict::Discard));
    assert!((us(&spell) - 81.0 * 15.2).abs() < 1e-9);
}

#[test]
fn what_was_soured_when_the_spell_began_stays_so_judged() {
    let story = Story::begin(BatchKind::FermentedSausage)
        .room(WARM, 0..=40, 24.0)
        .ph(40, 5.1)
        .stage(41, BatchStage::Drying)
        .room(WARM, 42..=50, 13.0)
        .room(WARM, 51..=250, 24.0);
    // By hour 250 the pH is over a week old; at hour 50, when it got warm, it was not.
    let soured = story.spell(250).unwrap();
    assert_eq!((soured.piece, soured.verdict), (SpellPiece::Soured, SpellVerdict::Notice));
}

/// Meat in the cure that stood at 16 °C for so many hours, and a good fermentation afterwards.
fn cured_warm(hours: i64) -> Story {
    Story::planned(BatchKind::FermentedSausage, -30)
        .stage(-30, BatchStage::Curing)
        .room(WARM, -30..=-21, 4.0)
        .room(WARM, -20..=hours - 21, 16.0)
        .room(WARM, hours - 20..=-1, 4.0)
        .stage(0, BatchStage::Fermenting)
        .room(WARM, 0..=40, 24.0)
        .ph(40, 5.1)
        .stage(41, BatchStage::Drying)
        .room(WARM, 41..=400, 13.0)
}

#[test]
fn a_spell_before_the_fermentation_is_carried_when_it_may_mean_discard() {
    let story = cured_warm(6);
    for now in [-10, 10, 42, 400] {
        assert_eq!(story.spell(now).unwrap().verdict, SpellVerdict::Discard, "hour {now}");
    }
    // One hour of it, and the two of doubt: a warning while it lasts, and nothing to carry.
    let mild = cured_warm(2);
    assert_eq!(mild.spell(-10).unwrap().verdict, SpellVerdict::Warning);
    for now in [10, 42] {
        assert_eq!(mild.spell(now), None, "hour {now}");
    }
}

#[test]
fn a_spell_that_runs_into_the_fermentation_is_the_clock_s() {
    let story = Story::planned(BatchKind::FermentedSausage, -90)
        .stage(-90, BatchStage::Cased)
        .room(WARM, -90..=20, 24.0)
        .stage(0, BatchStage::Fermenting);
    assert_eq!(story.spell(-1).unwrap().verdict, SpellVerdict::Discard);
    assert_eq!(story.spell(20), None);
    assert_eq!(story.at_hour(20).unwrap().started, at(-90));
}

#[test]
fn a_warm_rest_that_was_over_before_the_fermentation_is_not_on_the_clock() {
    let story = Story::planned(BatchKind::FermentedSausage, -120)
        .stage(-120, BatchStage::Cased)
        .room(WARM, -120..=-20, 24.0)
        .room(WARM, -19..=-1, 4.0)
        .stage(0, BatchStage::Fermenting)
        .room(WARM, 0..=20, 24.0);
    assert_eq!(story.at_hour(20).unwrap().started, at(0));
    assert_eq!(story.spell(20).unwrap().verdict, SpellVerdict::Discard);
}

#[test]
fn what_ran_into_a_second_fermentation_after_the_clock_ended_is_still_judged() {
    // Ended at hour 40; the acid is a week old when it gets warm again on day 20 and is taken for fermenting.
    let story = Story::begin(BatchKind::FermentedSausage)
        .room(WARM, 0..=40, 24.0)
        .ph(40, 5.1)
        .stage(41, BatchStage::Drying)
        .room(WARM, 42..=479, 13.0)
        .room(WARM, 480..=600, 24.0)
        .stage(580, BatchStage::Fermenting);
    assert_eq!(story.spell(590).unwrap().verdict, SpellVerdict::Discard);
}

#[test]
fn of_a_batch_that_is_over_the_time_until_then_counts() {
    let story = warm_out_of_the_cure();
    assert_eq!(story.stage(100, BatchStage::Finished).spell(900).unwrap().verdict, SpellVerdict::Discard);
    let cold = muscle().room(WARM, 0..=50, 4.0).stage(50, BatchStage::Drying).moved(50, COOL).room(
        COOL,
        50..=60,
        13.0,
    );
    let cold = cold.stage(61, BatchStage::Finished).room(COOL, 62..=300, 24.0);
    assert_eq!(cold.spell(300), None);
}

#[test]
fn a_plan_has_no_spell() {
    assert_eq!(Story::planned(BatchKind::WholeMuscle, 0).room(WARM, 0..=50, 24.0).spell(50), None);
}

#[test]
fn a_room_set_warm_before_the_batch_was_taken_in_hand_counts() {
    let story =
        Story::planned(BatchKind::FermentedSausage, -20).set(WARM, -30, 24.0).stage(-10, BatchStage::Cased);
    assert_eq!(story.spell(-5).unwrap().verdict, SpellVerdict::Notice);
    let fermenting = story.stage(0, BatchStage::Fermenting);
    assert_eq!(fermenting.at_hour(5).unwrap().started, at(-10));
}

#[test]
fn what_a_room_was_set_to_for_the_fermentation_is_no_spell_after_it() {
    let story = Story::begin(BatchKind::FermentedSausage)
        .set(WARM, -5, 24.0)
        .room(WARM, 0..=40, 24.0)
        .ph(40, 5.1)
        .stage(41, BatchStage::Drying)
        .room(WARM, 44..=60, 13.0);
    assert_eq!(story.spell(60), None);
}

#[test]
fn carrying_it_through_a_warm_hour_is_no_spell() {
    let story = muscle().room(WARM, 0..=49, 4.0).remembered(WARM, (50, 50), 24.0).room(WARM, 50..=60, 4.0);
    assert_eq!(story.spell(60), None);
}

/// Ended by pH 5.1 at hour 40; the room stays at 24 °C and the batch is called fermenting until it says otherwise.
fn left_warm(until: i64) -> Story {
    Story::begin(BatchKind::FermentedSausage).room(WARM, 0..=until, 24.0).ph(40, 5.1)
}

#[test]
fn warmth_after_an_ended_clock_is_no_longer_the_clock_s() {
    // Until the same day is over it is the room of the fermentation.
    assert_eq!(left_warm(63).spell(63), None);
    let soured = left_warm(70).spell(70).unwrap();
    assert_eq!((soured.piece, soured.verdict), (SpellPiece::Soured, SpellVerdict::Notice));
    assert_eq!(soured.since, Some(at(40)));
    // Cooled in time: nothing to say, then or later.
    assert_eq!(left_warm(50).room(WARM, 51..=90, 13.0).spell(90), None);
}

#[test]
fn warmth_after_an_ended_clock_is_counted_once_the_acid_is_gone_or_not_known() {
    // pH 5.6 at hour 100: 60 h × 15.2 = 912 since the end, of 1200.
    let risen = left_warm(100).ph(100, 5.6).spell(100).unwrap();
    assert_eq!((risen.piece, risen.verdict), (SpellPiece::Unprotected, SpellVerdict::Notice));
    assert!((us(&risen) - 60.0 * 15.2).abs() < 1e-9);
    // No reading for a week: 170 h × 15.2 = 2584.
    let unknown = left_warm(210).spell(210).unwrap();
    assert_eq!((unknown.piece, unknown.verdict), (SpellPiece::Unprotected, SpellVerdict::Discard));
    // A fresh reading below the end point keeps it soured.
    assert_eq!(left_warm(210).ph(200, 5.1).spell(210).unwrap().verdict, SpellVerdict::Notice);
}

#[test]
fn calling_it_dried_does_not_cut_the_warmth_after_the_clock_in_two() {
    // 80 h until the acid's week is over at hour 208, and warm until hour 230 all the same: one spell of 190 h.
    let story = left_warm(230).stage(120, BatchStage::Drying);
    let spell = story.spell(230).unwrap();
    assert_eq!((spell.piece, spell.verdict), (SpellPiece::Unprotected, SpellVerdict::Discard));
    assert!((us(&spell) - 190.0 * 15.2).abs() < 1e-9);
}
