//! The same question in other units, with comma or point, gives the same figures and the same outcomes.

use chrono::DateTime;
use tallyhook::desk::{Answered, Desk, Incoming};
use tallyhook::reply::FigureValue;
use tallyhook::store::Store;

/// Lines that ask the same. Units convert exactly: 1 in = 25.4 mm, 1 lb = 453.59237 g, °F = °C · 9/5 + 32.
const SAME: [(&str, &str); 24] = [
    (
        "check freezing species:pork thickness:5 in temperature:-24 C days:10",
        "check freezing species:pork thickness:12,7 cm temperature:-24,0 C days:10 d",
    ),
    (
        "check freezing species:pork core:-40 C hours:48",
        "check freezing species:pork core:-40 F hours:2 days",
    ),
    ("check heat temperature:140 F minutes:1", "check heat temperature:60 C minutes:1,0"),
    (
        "check drying method:1 salt:3.33% diameter:3.5 in drying:20 at:50 F total:25",
        "check drying method:1 salt:3,33% diameter:88,9 mm drying:480 h at:10 C total:600 h",
    ),
    (
        "check drying ph:5.0 salt:2.5% days:9 room:60 F",
        "check drying ph:5,0 salt:2,5% days:216 h room:15.5 C",
    ),
    ("check shelf ph:5.3 aw:0.88", "check shelf ph:5,30 aw:0,880"),
    ("check growth temperature:50 F ph:5.1 aw:0.90", "check growth temperature:10 C ph:5,1 aw:0,9"),
    (
        "check additive name:titanium dioxide amount:5 g meat:500 g country:US",
        "check additive name:titanium dioxide amount:5,0 g meat:0,5 kg country:us",
    ),
    (
        "check meter temperature:25 C buffer:7.00 shown:-5 mV buffer:4.00 shown:171 mV",
        "check meter temperature:77 F buffer:7,00 shown:-5,0 mV buffer:4,00 shown:171 mV",
    ),
    (
        "check hygrometer salt:NaCl temperature:20 C shown:72%",
        "check hygrometer salt:NaCl temperature:68 F shown:72,0%",
    ),
    (
        "dry air temperature:10 C humidity:80% aw:0.95 pressure:950 hPa",
        "dry air temperature:50 F humidity:80,0% aw:0,95 pressure:95 kPa",
    ),
    (
        "dry balance cut:1 lb shoulder blade cut:100 g back fat salt:14 g loss:35%",
        "dry balance cut:453.59237 g shoulder blade;0,1 kg back fat salt:14,0 g loss:35,0%",
    ),
    ("ferment schedule course:24 C 48h, 15 C 24h", "ferment schedule course:24,0 C 2 d, 15 C 1 d"),
    ("ferment schedule course:77 F 48h", "ferment schedule course:77 F 2 days"),
    ("cure brine strength:10% volume:4 l", "cure brine strength:10,0% volume:4000 ml"),
    ("cure brine salometer:40 temperature:40 F", "cure brine salometer:40,0 temperature:40 F"),
    ("cure weights before:1 kg after:1.1 kg", "cure weights before:1000 g after:1100 g"),
    (
        "formulation blend cut:2 lb pork shoulder cut:0.5 kg back fat fat:25%",
        "formulation blend cut:907.18474 g pork shoulder;500 g back fat fat:25,0%",
    ),
    ("formulation casing mass:2.4 kg diameter:2 in", "formulation casing mass:2400 g diameter:50,8 mm"),
    ("formulation casing length:3 m diameter:50 mm", "formulation casing length:300 cm diameter:5 cm"),
    (
        "formulation scale meat:2 kg item:2.5% salt item:3 g/kg pepper",
        "formulation scale meat:2000 g item:25 g/kg salt;0,3% pepper",
    ),
    ("formulation scale meat:1 lb item:1 oz/lb salt", "formulation scale meat:16 oz item:6.25% salt"),
    (
        "formulation culture meat:2.4 kg packet:25 g for:100 kg",
        "formulation culture meat:2400 g packet:0,025 kg for:100 kg",
    ),
    ("target weight green:1 lb loss:38%", "target weight green:453.59237 g loss:38,0%"),
];

/// Ids, subjects and values, and what the rules say.
type Said = (Vec<(String, Option<String>, Result<f64, String>)>, Vec<(String, String)>);

async fn said(desk: &Desk, line: &str) -> Said {
    let now = DateTime::parse_from_rfc3339("2026-11-02T08:00:00Z").unwrap().to_utc();
    let answered = desk.answer(&Incoming::line("cellar", "mara", line, now)).await;
    let Answered::Reply(reply) = answered else { panic!("{line}: {}", answered.text()) };
    let figures = reply.figures.iter().map(|figure| {
        let value = match &figure.value {
            FigureValue::Number(number) => Ok(*number),
            FigureValue::Word(word) => Err(word.clone()),
            FigureValue::Unknown => Err("?".to_owned()),
        };
        (figure.id.to_owned(), figure.of.clone(), value)
    });
    let findings =
        reply.findings.iter().map(|finding| (finding.limit.id.clone(), format!("{:?}", finding.outcome)));
    (figures.collect(), findings.collect())
}

#[tokio::test]
async fn in_other_units() {
    let desk = Desk::new(Store::open_temporary().await.unwrap());
    for (one, other) in SAME {
        let ((figures, findings), (others, other_findings)) =
            (said(&desk, one).await, said(&desk, other).await);
        assert_eq!(findings, other_findings, "{one}");
        assert_eq!(figures.len(), others.len(), "{one}: {figures:?} {others:?}");
        assert!(!figures.is_empty(), "{one}");
        for ((id, of, value), (other_id, _, other_value)) in figures.iter().zip(&others) {
            assert_eq!(id, other_id, "{one}");
            match (value, other_value) {
                (Ok(value), Ok(other_value)) => {
                    let close = (value - other_value).abs() <= 1e-9 * value.abs().max(1.0);
                    assert!(close, "{one}: {id} {of:?} is {value}, and {other_value} in {other}");
                }
                (value, other_value) => assert_eq!(value, other_value, "{one}: {id}"),
            }
        }
    }
}
