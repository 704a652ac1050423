//! Whatever an entry says, it comes back from the file to the last digit, under the word it is known by.

use chrono::{DateTime, TimeDelta, Utc};
use proptest::prelude::*;
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};
use tallyhook::quantity::{
    Fraction, Hours, Length, Mass, Ph, RelativeHumidity, Temperature, Voltage, WaterActivity,
};
use tallyhook::record::batch::DoseVerdict;
use tallyhook::record::event::ObservationKind;
use tallyhook::record::meter::{BufferPoint, HygrometerCheck, MeterCheck, SaltPoint, Shown};
use tallyhook::record::{
    Appraisal, BatchId, BatchKind, BatchPlan, BatchStage, Calibration, ChamberId, ChatId, Dose, Event,
    EventId, GroupId, Happening, Instrument, Meat, MemberId, MeterId, Picture, PictureKind, PieceFate,
    PieceHung, PieceNumber, Rating, Storage, StorageKind, Subject,
};
use tallyhook::record_file::{Entry, Owned, SCHEMA, What};

const ME: MemberId = MemberId(7);

fn moment() -> impl Strategy<Value = DateTime<Utc>> {
    let beginning: DateTime<Utc> = "2026-01-01T00:00:00Z".parse().unwrap();
    (0_i64..40_000_000_000).prop_map(move |milliseconds| beginning + TimeDelta::milliseconds(milliseconds))
}

fn temperature() -> impl Strategy<Value = Temperature> {
    (-30.0_f64..200.0, any::<bool>()).prop_map(|(degrees, is_celsius)| {
        if is_celsius { Temperature::celsius(degrees) } else { Temperature::fahrenheit(degrees) }
    })
}

fn mass() -> impl Strategy<Value = Mass> {
    (0.0_f64..100_000.0).prop_map(|grams| Mass::grams(grams / 3.0))
}

fn part() -> impl Strategy<Value = Fraction> {
    (0.0_f64..1.0).prop_map(Fraction::of_one)
}

fn ph() -> impl Strategy<Value = Ph> {
    (0.0_f64..14.0).prop_map(Ph::new)
}

fn humidity() -> impl Strategy<Value = RelativeHumidity> {
    (0.0_f64..100.0).prop_map(RelativeHumidity::percent)
}

fn started() -> impl Strategy<Value = Happening> {
    let meats = prop::collection::vec((".{0,12}", mass()), 0..3);
    let options = (prop::option::of(part()), prop::option::of(ph()), prop::option::of(1.0_f64..200.0));
    (".{1,20}", meats, options, 0_usize..3).prop_map(|(name, meats, (loss, ph, thickness), kind)| {
        Happening::Started {
            plan: BatchPlan {
                name,
                owner: ME,
                group: GroupId(3),
                kind: BatchKind::ALL[kind],
                meats: meats.into_iter().map(|(species, mass)| Meat { species, mass }).collect(),
                thickness: thickness.map(Length::millimetres),
                target_loss: loss,
                target_ph: ph,
                chamber: ChamberId(2),
            },
        }
    })
}

fn cured() -> impl Strategy<Value = Happening> {
    (mass(), mass(), part(), part(), prop::option::of(part()), 0.0_f64..500.0).prop_map(
        |(meat, cure, nitrite, nitrate, salt, ingoing)| Happening::Cured {
            dose: Dose {
                method: "dry".to_owned(),
                product: "muscle".to_owned(),
                meat,
                cure,
                nitrite,
                nitrate,
                salt,
                ingoing_nitrite_mg_per_kg: ingoing,
                ingoing_nitrate_mg_per_kg: ingoing / 7.0,
                country: "IT".to_owned(),
                verdicts: vec![DoseVerdict {
                    rule: "x.y".to_owned(),
                    country: "EU".to_owned(),
                    outcome: "within".to_owned(),
                }],
            },
        },
    )
}

fn of_pieces() -> impl Strategy<Value = Happening> {
    let piece = (1_u32..30, mass(), mass(), prop::option::of(mass())).prop_map(
        |(number, hung, tare, before_cure)| PieceHung {
            number: PieceNumber(number),
            hung,
            tare,
            before_cure,
        },
    );
    prop_oneof![
        prop::collection::vec(piece, 0..4).prop_map(|pieces| Happening::PiecesHung { pieces }),
        mass().prop_map(|tare| Happening::TareSet { tare }),
        mass().prop_map(|gross| Happening::Weighed { gross }),
        (0_usize..3, ".{0,20}").prop_map(|(fate, reason)| Happening::PieceLeft {
            fate: [PieceFate::Eaten, PieceFate::Packed, PieceFate::Discarded][fate],
            reason
        }),
    ]
}

fn ph_read() -> impl Strategy<Value = Happening> {
    let calibration = (prop::option::of(0.0_f64..9.0), prop::option::of(80.0_f64..105.0), any::<bool>());
    (ph(), any::<bool>(), prop::option::of(temperature()), prop::option::of(calibration)).prop_map(
        |(ph, is_strip, sample_temperature, calibration)| Happening::PhRead {
            ph,
            instrument: if is_strip { Instrument::Strip } else { Instrument::Meter },
            sample_temperature,
            calibration: calibration.map(|(age, slope_percent, passed)| Calibration {
                age: age.map(Hours::new),
                slope_percent,
                offset_mv: slope_percent.map(|slope| 90.0 - slope),
                one_buffer_passed: passed,
                buffer_missed: !passed,
            }),
        },
    )
}

fn of_places() -> impl Strategy<Value = Happening> {
    let air = || (prop::option::of(temperature()), prop::option::of(humidity()));
    let buffer = (ph(), ph(), -300.0_f64..300.0, any::<bool>()).prop_map(|(buffer, read, mv, is_ph)| {
        let shown = if is_ph { Shown::Ph(read) } else { Shown::Millivolts(Voltage::millivolts(mv)) };
        BufferPoint { buffer, shown }
    });
    let jar = (temperature(), humidity(), humidity()).prop_map(|(temperature, reference, shown)| SaltPoint {
        salt: "NaCl".to_owned(),
        temperature,
        reference,
        shown,
    });
    prop_oneof![
        air().prop_map(|(temperature, humidity)| Happening::RoomRead { temperature, humidity }),
        (air(), 0.0_f64..3.0).prop_map(|((temperature, humidity), hysteresis_celsius)| {
            Happening::RoomSet { temperature, humidity, hysteresis_celsius }
        }),
        (moment(), temperature(), prop::option::of(temperature()))
            .prop_map(|(since, max, min)| Happening::RoomExtremes { since, max, min }),
        (moment(), prop::option::of(temperature()))
            .prop_map(|(since, reached)| Happening::PowerOut { since, reached }),
        (moment(), 0_u32..9, ".{0,12}").prop_map(|(first, rows, file)| Happening::AirLogged {
            file,
            first,
            rows
        }),
        (temperature(), prop::collection::vec(buffer, 1..4), prop::option::of(80.0_f64..105.0)).prop_map(
            |(temperature, points, said_slope_percent)| Happening::MeterChecked {
                check: MeterCheck { temperature, points, said_slope_percent }
            }
        ),
        (prop::option::of(".{1,9}"), prop::collection::vec(jar, 1..3)).prop_map(|(name, points)| {
            Happening::HygrometerChecked { name, check: HygrometerCheck { points } }
        }),
    ]
}

fn of_batches() -> impl Strategy<Value = Happening> {
    let rating = || prop::option::of((1_u8..=5).prop_map(|points| Rating::new(points).unwrap()));
    let kinds =
        [ObservationKind::Mould, ObservationKind::Smell, ObservationKind::Slime, ObservationKind::HardRim];
    prop_oneof![
        (0_usize..9).prop_map(|stage| Happening::StageReached { stage: BatchStage::ALL[stage] }),
        Just(Happening::Moved { chamber: ChamberId(5) }),
        (0_usize..4, ".{0,30}").prop_map(move |(kind, text)| Happening::Observed { kind: kinds[kind], text }),
        (0_usize..5, prop::option::of(mass()), prop::option::of(0.0_f64..1.0)).prop_map(
            |(kind, weight, activity)| Happening::Stored {
                storage: Storage {
                    kind: StorageKind::ALL[kind],
                    temperature: weight.map(|_| Temperature::celsius(4.0)),
                    weight,
                    portions: Some(4),
                    ph: None,
                    water_activity: activity.map(WaterActivity::new),
                }
            }
        ),
        (prop::option::of(mass()), rating(), rating(), rating()).prop_map(
            |(finished_weight, taste, texture, look)| Happening::Appraised {
                appraisal: Appraisal { finished_weight, taste, texture, look }
            }
        ),
        ".{0,40}".prop_map(|text| Happening::Noted { text }),
        pictured(),
        ".{0,40}".prop_map(|reason| Happening::Discarded { reason }),
        Just(Happening::Undone { of: EventId(4) }),
    ]
}

fn pictured() -> impl Strategy<Value = Happening> {
    let kinds = [
        PictureKind::Png,
        PictureKind::Jpeg,
        PictureKind::Webp,
        PictureKind::Gif,
        PictureKind::Heic,
        PictureKind::Avif,
    ];
    let one = (prop::option::of(0..i64::MAX), 0..i64::MAX, "[a-z]{1,20}", 0..u64::MAX, 0_usize..6);
    let picture =
        move |(group, message, name, bytes, kind): (Option<i64>, i64, String, u64, usize)| Picture {
            group: group.map(ChatId),
            place: ChatId(7),
            message: ChatId(message),
            attachment: ChatId(38),
            name,
            bytes,
            kind: kinds[kind],
        };
    prop::collection::vec(one.prop_map(picture), 0..4).prop_map(|pictures| Happening::Pictured { pictures })
}

fn what() -> impl Strategy<Value = Happening> {
    let plain = || prop_oneof![started(), cured(), of_pieces(), ph_read(), of_places(), of_batches()];
    prop_oneof![
        9 => plain(),
        1 => plain().prop_map(|to| Happening::Changed { of: EventId(2), to: Box::new(to) }),
    ]
}

fn subject() -> impl Strategy<Value = Subject> {
    prop_oneof![
        Just(Subject::Batch(BatchId(1))),
        (1_u32..9).prop_map(|piece| Subject::Piece(BatchId(1), PieceNumber(piece))),
        Just(Subject::Sample(BatchId(1))),
        Just(Subject::Chamber(ChamberId(2))),
        Just(Subject::Meter(MeterId(3))),
    ]
}

/// The description of entries alone.
fn schema_of_entries() -> jsonschema::Validator {
    let mut schema: Value = serde_json::from_str(SCHEMA).unwrap();
    schema["$ref"] = "#/$defs/entry".into();
    for of_the_whole in ["type", "properties", "required", "additionalProperties"] {
        schema.as_object_mut().unwrap().remove(of_the_whole);
    }
    jsonschema::draft202012::new(&schema).unwrap()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 512, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn every_entry_comes_back_as_it_was(what in what(), subject in subject(), at in moment(), typed in ".{0,40}") {
        let event = Event {
            id: EventId(9),
            subject,
            at,
            recorded_at: at,
            author: Some(ME),
            zone: "Europe/Rome".to_owned(),
            what,
            typed,
        };
        let text = serde_json::to_string(&Entry::of(&event, ME)).unwrap();
        let value: Value = serde_json::from_str(&text).unwrap();
        prop_assert_eq!(value["what"]["kind"].as_str(), Some(event.what.word()));
        let schema = schema_of_entries();
        let wrong: Vec<String> = schema.iter_errors(&value).map(|error| error.to_string()).collect();
        prop_assert!(wrong.is_empty(), "{:?} in {}", wrong, text);
        let owned = Owned { member: ME, groups: BTreeMap::from([(3, GroupId(3))]), home: GroupId(1) };
        let entry: Entry = serde_json::from_str(&text).unwrap();
        prop_assert_eq!(owned.event(&entry), event);
    }
}

#[test]
fn the_schema_knows_every_kind_and_explains_every_field() {
    let schema: Value = serde_json::from_str(SCHEMA).unwrap();
    assert!(jsonschema::draft202012::meta::is_valid(&schema));
    let kinds = schema["$defs"]["what"]["oneOf"].as_array().unwrap();
    let said: BTreeSet<&str> =
        kinds.iter().filter_map(|kind| kind["properties"]["kind"]["const"].as_str()).collect();
    assert_eq!(said, BTreeSet::from(What::WORDS));
    let mut unexplained = Vec::new();
    fields(&schema, &mut |name, field| {
        let is_explained = field["description"].is_string() || !field["$ref"].is_null();
        if !is_explained && field["const"].is_null() {
            unexplained.push(name.to_owned());
        }
    });
    assert!(unexplained.is_empty(), "{unexplained:?}");
}

/// Every field that a schema describes.
fn fields(schema: &Value, look: &mut impl FnMut(&str, &Value)) {
    if let Some(properties) = schema["properties"].as_object() {
        properties.iter().for_each(|(name, field)| look(name, field));
    }
    match schema {
        Value::Object(parts) => parts.values().for_each(|part| fields(part, look)),
        Value::Array(parts) => parts.iter().for_each(|part| fields(part, look)),
        _ => {}
    }
}
