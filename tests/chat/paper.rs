//! Records and labels on paper, as members' lines make them. Invented.
//!
//! Every PDF is opened by two programs that know nothing of each other nor of the one that wrote it: lopdf with
//! pdf-extract, and the reader of pdf-rs. What stands in `tests/papers/` is the text that the first of them reads, gone
//! over by hand. `UPDATE_PAPERS=1` writes it anew; `PAPERS_TO=folder` writes the PDFs, to be looked at.

use chrono::{DateTime, TimeDelta, Utc};
use std::fmt::Write;
use std::fs;
use std::path::{Path, PathBuf};
use tallyhook::chart::measure::width;
use tallyhook::curing::formulation::allergen;
use tallyhook::desk::{Answered, Desk, Incoming};
use tallyhook::document::layout::{self, Shape};
use tallyhook::document::{
    self, About, Align, Block, Column, Document, Field, Footer, Label, Sheet, Signal, Table, Tint,
};
use tallyhook::reply::{File, Reply};
use tallyhook::store::Store;

/// A record with members and a clock that goes on by hand.
struct Kitchen {
    desk: Desk,
    now: DateTime<Utc>,
}

impl Kitchen {
    async fn new() -> Self {
        let desk = Desk::new(Store::open_temporary().await.unwrap());
        Self { desk, now: "2026-03-01T12:00:00Z".parse().unwrap() }
    }

    async fn answer(&self, who: &str, line: &str) -> Answered {
        let incoming = Incoming { confirmed: true, ..Incoming::line("home", who, line, self.now) };
        self.desk.answer(&incoming).await
    }

    async fn say(&self, line: &str) -> Box<Reply> {
        match self.answer("mara", line).await {
            Answered::Reply(reply) => reply,
            other => panic!("{line}: {}", other.text()),
        }
    }

    async fn refused(&self, who: &str, line: &str) -> String {
        match self.answer(who, line).await {
            Answered::Error(error) => error.message,
            other => panic!("{line}: {}", other.text()),
        }
    }

    fn wait(&mut self, hours: i64) {
        self.now += TimeDelta::hours(hours);
    }

    async fn file(&self, line: &str) -> File {
        let reply = self.say(line).await;
        let [file] = reply.files.as_slice() else { panic!("{} files", reply.files.len()) };
        assert_eq!(file.media_type, "application/pdf");
        let is_plain = |letter: char| letter.is_ascii_alphanumeric() || letter == '-';
        assert!(file.name.strip_suffix(".pdf").unwrap().chars().all(is_plain), "{}", file.name);
        if let Some(folder) = std::env::var_os("PAPERS_TO") {
            fs::create_dir_all(&folder).unwrap();
            let test = std::thread::current().name().unwrap_or_default().replace("paper::", "");
            fs::write(Path::new(&folder).join(format!("{test}-{}", file.name)), &file.bytes).unwrap();
        }
        file.clone()
    }
}

/// What a PDF says of itself to two readers.
struct Opened {
    pages: usize,
    text: String,
}

fn opened(file: &File) -> Opened {
    assert!(file.bytes.len() < 500_000, "{} has {} bytes", file.name, file.bytes.len());
    let text = pdf_extract::extract_text_from_mem(&file.bytes).unwrap();
    let by_lopdf = lopdf::Document::load_mem(&file.bytes).unwrap();
    let pages = by_lopdf.get_pages().len();
    let by_pdf_rs = pdf::file::FileOptions::uncached().load(file.bytes.clone()).unwrap();
    assert_eq!(by_pdf_rs.num_pages() as usize, pages);
    let resolver = by_pdf_rs.resolver();
    for page in by_pdf_rs.pages() {
        let page = page.unwrap();
        let operations = page.contents.as_ref().unwrap().operations(&resolver).unwrap();
        let draws_text = |op: &pdf::content::Op| {
            matches!(op, pdf::content::Op::TextDraw { .. } | pdf::content::Op::TextDrawAdjusted { .. })
        };
        assert!(operations.iter().any(draws_text), "a page of {} without text", file.name);
        let fonts = &page.resources().unwrap().fonts;
        assert!(!fonts.is_empty(), "{}", file.name);
        for font in fonts.values() {
            let font = font.load(&resolver).unwrap();
            let inside = font.embedded_data(&resolver).unwrap();
            assert!(inside.is_ok(), "{}: a font that is not inside", file.name);
        }
    }
    Opened { pages, text: lines(&text) }
}

/// Lines without blanks at their ends and without empty ones. Letters of charts stand one by one; this reader puts a space
/// between any two of them.
fn lines(text: &str) -> String {
    let lines = text.lines().map(str::trim).filter(|line| !line.is_empty());
    lines.fold(String::new(), |mut all, line| {
        let is_apart = line.chars().skip(1).step_by(2).all(|letter| letter == ' ');
        let line: String = if is_apart {
            line.chars().step_by(2).collect()
        } else {
            line.split_whitespace().collect::<Vec<_>>().join(" ")
        };
        let _ = writeln!(all, "{line}");
        all
    })
}

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/papers")
}

#[track_caller]
fn assert_as_written(name: &str, came: &str) {
    let path = folder().join(name);
    let written = fs::read_to_string(&path).unwrap_or_default();
    if came == written {
        return;
    }
    if std::env::var_os("UPDATE_PAPERS").is_some() {
        fs::create_dir_all(folder()).unwrap();
        fs::write(&path, came).unwrap();
    }
    let differs = written.lines().zip(came.lines()).find(|(one, other)| one != other);
    panic!("{name} is not as written: {differs:?}");
}

/// A story: mixed, cured, soured, dried.
async fn dried_stick() -> Kitchen {
    let mut kitchen = Kitchen::new().await;
    for line in [
        "me set country:US timezone:Europe/Rome",
        "formulation save name:juniper stick item:2.5% salt item:2.5 g/kg cure 6.25% item:2 g/kg pepper item:5 g/kg skim milk powder allergen:mustard",
        "batch start name:Juniper stick kind:fermented-sausage meat:1.6 kg pork, 0.4 kg back fat casing:50 mm loss:38% ph:5.1",
        "batch cure cure:5 g nitrite:6.25% salt:22 g",
        "batch note text:smells of juniper and smoke",
        "chamber set temperature:22 C humidity:90%",
        "batch piece weights:812 798 640 g tare:12 g",
        "batch stage to:fermenting",
    ] {
        kitchen.say(line).await;
    }
    for ph in ["5.62", "5.4", "5.05"] {
        kitchen.say(&format!("ph {ph} at 21 C calibrated 1 h ago slope 98%, 22 C 90%")).await;
        kitchen.wait(10);
    }
    kitchen.say("batch stage to:drying").await;
    kitchen.say("chamber set temperature:13 C humidity:80%").await;
    for weights in ["740 728 580", "640 630 500", "560 552 440", "510 500 400"] {
        kitchen.wait(24 * 8);
        kitchen.say(&format!("{weights} g, 13 C 79%")).await;
    }
    kitchen.say("white mould on #2").await;
    kitchen
}

/// The same, finished and put away.
async fn finished_stick() -> Kitchen {
    let mut kitchen = dried_stick().await;
    kitchen.say("batch finish batch:B1 yield:1.36 kg taste:4").await;
    kitchen.wait(24);
    kitchen.say("batch store batch:B1 how:vacuum temperature:3 C portions:6 ph:5.1 aw:0.89").await;
    kitchen
}

// By hand: 5 g of 6.25 % in 2000 g are 156.25 mg/kg, 46.0055 / 68.9953 of it as ion 104.19. #1 lost 1 - 498/800 = 37.75 %,
// #2 1 - 488/786 = 37.9 %, #3 1 - 388/628 = 38.2 %, all three 1 - 1374/2214 = 37.9 %. 20 h between 22 and 23 °C are
// 20 x (73.4 - 60) = 268 °F-hours at most and 20 x (23 - 15.6) = 148 °C-hours. From 1 March to 4 April are 34 days and more.
#[tokio::test]
async fn a_finished_batch_on_paper() {
    let kitchen = finished_stick().await;
    let record = kitchen.file("batch record B1 notes:yes").await;
    assert_eq!(record.name, "B1-juniper-stick-record.pdf");
    let opened = opened(&record);
    assert!((2..=3).contains(&opened.pages), "{} pages", opened.pages);
    assert_as_written("record.txt", &opened.text);
}

#[tokio::test]
async fn labels_of_a_finished_batch() {
    let kitchen = finished_stick().await;
    let labels = kitchen.file("batch label B1").await;
    assert_eq!(labels.name, "B1-juniper-stick-labels.pdf");
    let opened = opened(&labels);
    assert_eq!(opened.pages, 1);
    assert_as_written("labels.txt", &opened.text);
}

#[tokio::test]
async fn the_same_record_gives_the_same_bytes() {
    let mut kitchen = finished_stick().await;
    let first = kitchen.file("batch record B1").await;
    let labels = kitchen.file("batch label B1").await;
    // Of a batch that is over it does not matter when it is asked for.
    kitchen.wait(24 * 40);
    assert!(first.bytes == kitchen.file("batch record B1").await.bytes);
    assert!(labels.bytes == kitchen.file("batch label B1").await.bytes);
    let elsewhere = finished_stick().await;
    assert!(first.bytes == elsewhere.file("batch record B1").await.bytes);
}

// 5 g of 6.25 % in 2 kg are 156.25 mg/kg (5 / 2000 x 0.0625 x 1,000,000).
#[tokio::test]
async fn private_notes_are_in_it_only_where_the_owner_wants_them() {
    let kitchen = dried_stick().await;
    let without = opened(&kitchen.file("batch record B1").await).text;
    assert!(!without.contains("smells of juniper"), "{without}");
    assert!(without.contains("156.25 mg/kg"), "{without}");
    kitchen.answer("jonas", "me show").await;
    kitchen.say("batch helper batch:B1 member:jonas").await;
    kitchen.answer("jonas", "batch helper batch:B1 accept:yes").await;
    let Answered::Reply(reply) = kitchen.answer("jonas", "batch record batch:B1 notes:yes").await else {
        panic!("a helper gets no record")
    };
    assert_eq!(reply.lines, ["Its private notes are its owner's alone; they are not in it."]);
    let text = opened(&reply.files[0]).text;
    assert!(!text.contains("smells of juniper"), "{text}");
    // The recipe of its name is the owner's own and not shared.
    assert!(text.contains("No recipe is kept under its name") && !text.contains("skim milk"), "{text}");
}

#[tokio::test]
async fn what_is_none_of_ones_business_is_not_told() {
    let kitchen = finished_stick().await;
    for line in ["batch record B1", "batch label B1", "batch record B7", "batch label Nothing"] {
        let refused = kitchen.refused("otto", line).await;
        assert!(refused.starts_with("There is no batch"), "{line}: {refused}");
    }
}

#[tokio::test]
async fn nothing_hung_and_nothing_read() {
    let kitchen = Kitchen::new().await;
    kitchen.say("batch start name:Bare kind:dried-sausage meat:1 kg").await;
    let record = opened(&kitchen.file("batch record B1").await);
    assert_eq!(record.pages, 1, "{}", record.text);
    assert_as_written("bare_record.txt", &record.text);
    let labels = opened(&kitchen.file("batch label B1").await);
    assert_as_written("bare_label.txt", &labels.text);
}

/// Twenty pieces of a name of sixty letters, weighed often; no country, so that every rulebook is looked at.
async fn twenty_pieces(kind: &str) -> Kitchen {
    let mut kitchen = Kitchen::new().await;
    // Sixty letters: what calls everybody, what is not drawn, what is written from the right.
    let name = format!("@everyone Fior\u{1f969} \u{5d0}\u{5d1} {}", "W".repeat(40));
    kitchen.say(&format!("batch start name:{name} kind:{kind} meat:20 kg beef casing:50 mm loss:35%")).await;
    kitchen.say("batch cure cure:50 g nitrite:6.25% salt:22 g").await;
    kitchen.say(&format!("batch piece weights:{}g", "1000 ".repeat(20))).await;
    if kind == "fermented-sausage" {
        kitchen.say("batch stage to:fermenting").await;
        kitchen.say("24 C 88%").await;
        kitchen.wait(12);
        kitchen.say("24 C 88%, ph 5.2 at 21 C, calibrated 3 h ago, slope 98%").await;
    }
    kitchen.say("batch stage to:drying").await;
    for most in (600..=950).rev().step_by(10) {
        kitchen.wait(40);
        let weights = (0..20).fold(String::new(), |mut line, number| {
            let _ = write!(line, "{} ", most - number);
            line
        });
        kitchen.say(&format!("B1 {weights}g, 13 C 78%")).await;
    }
    kitchen
}

#[tokio::test]
async fn twenty_pieces_of_the_longest_name() {
    let kitchen = twenty_pieces("dried-sausage").await;
    let record = kitchen.file("batch record B1").await;
    assert_eq!(record.name, "B1-everyone-fior-wwwwwwwwwwwwwwwwwwwwwwwww-record.pdf");
    let opened_record = opened(&record);
    assert!(opened_record.pages <= 3, "{} pages", opened_record.pages);
    for piece in 1..=20 {
        assert!(opened_record.text.contains(&format!("#{piece} 1000 g")), "{}", opened_record.text);
    }
    assert!(
        opened_record.text.contains("Left out, weighings and the like in between: 30."),
        "{}",
        opened_record.text
    );
    let labels = opened(&kitchen.file("batch label B1").await);
    assert_eq!(labels.pages, 2);
    for piece in 1..=20 {
        assert!(labels.text.contains(&format!("B1 #{piece} @everyone")), "{piece}: {}", labels.text);
    }
    let too_long = format!("batch start name:{} kind:dried-sausage meat:1 kg", "x".repeat(300));
    assert_eq!(kitchen.refused("mara", &too_long).await, "A name has at most 60 letters.");
}

#[tokio::test]
async fn what_has_no_room_on_three_pages_is_named() {
    let kitchen = twenty_pieces("fermented-sausage").await;
    let record = opened(&kitchen.file("batch record B1").await);
    assert!(record.pages <= 3, "{} pages", record.pages);
    for said in [
        "#20 1000 g",
        "over Reg. (EU) 2023/2108, as quoted by others",
        "The chart of the air is left out for want of room",
        "Where these rules stand in their sources (6): why, after batch show batch:B1.",
    ] {
        assert!(record.text.contains(said), "{said}: {}", record.text);
    }
}

#[tokio::test]
async fn discarded_over_the_limit_and_refused_a_label() {
    let mut kitchen = Kitchen::new().await;
    kitchen.say("me set country:US timezone:Europe/Rome").await;
    kitchen.say("batch start name:Hot kind:dried-sausage meat:1 kg venison casing:40 mm loss:35%").await;
    kitchen.say("batch cure cure:6 g nitrite:6.25%").await;
    kitchen.say("batch piece weights:500 480 g").await;
    // 6 g of 6.25 % in 1 kg are 375 mg/kg, more than twice the 156 of 9 CFR 424.21(c).
    let over = opened(&kitchen.file("batch label B1").await).text;
    assert!(over.contains("375 mg/kg nitrite") && over.contains("WARNING: over a published limit"), "{over}");
    kitchen.wait(30);
    kitchen.say("batch discard batch:B1 reason:too much cure, binned @everyone").await;
    let record = opened(&kitchen.file("batch record B1").await);
    assert_as_written("discarded_record.txt", &record.text);
    let refused = kitchen.refused("mara", "batch label B1").await;
    assert_eq!(refused, "B1 Hot was discarded; it is not for eating and gets no label.");
}

/// The longest name of a recipe, all fourteen allergens of Reg. (EU) 1169/2011, Annex II, a warning and a date: nothing of it
/// falls off the label, but for the end of the name.
#[tokio::test]
async fn a_full_label_keeps_every_allergen() {
    let kitchen = Kitchen::new().await;
    let name = "Extraordinarily MMMMMMMMMMMMMMMMMMMMMMMM";
    let allergens = allergen::all().fold(String::new(), |mut all, name| {
        let _ = write!(all, " allergen:{name}");
        all
    });
    kitchen.say("me set country:US timezone:Europe/Rome").await;
    kitchen.say(&format!("formulation save name:{name} item:2.5% salt{allergens}")).await;
    kitchen.say(&format!("batch start name:{name} kind:dried-sausage meat:1 kg pork loss:35%")).await;
    kitchen.say("batch cure cure:4 g nitrite:6.25% nitrate:4%").await;
    kitchen.say("batch piece weights:500 480 g").await;
    kitchen.say("batch store how:frozen temperature:-20 C").await;
    let text = opened(&kitchen.file("batch label B1").await).text.replace('\n', " ");
    for name in allergen::all() {
        assert!(text.matches(name).count() >= 2, "{name}: {text}");
    }
    // 4 g of 6.25 % and 4 % in 1 kg: 250 mg/kg nitrite, 160 mg/kg nitrate.
    for said in [
        "B1 #2 Extraordinarily",
        "250 mg/kg nitrite and 160 mg/kg nitrate",
        "aw not measured",
        "WARNING: over",
        "Keep at -18 °C or below.",
    ] {
        assert!(text.contains(said), "{said}: {text}");
    }
}

#[tokio::test]
async fn a_piece_that_was_eaten_gets_no_label() {
    let kitchen = dried_stick().await;
    kitchen.say("B1 #2 eaten").await;
    let left = opened(&kitchen.file("batch label B1").await).text;
    assert!(left.contains("B1 #1 Juniper") && !left.contains("B1 #2 Juniper"), "{left}");
    kitchen.say("B1 #1 eaten").await;
    kitchen.say("B1 #3 eaten").await;
    let none = kitchen.refused("mara", "batch label B1").await;
    assert_eq!(none, "No piece of B1 Juniper stick is left to put a label on.");
}

#[tokio::test]
async fn pounds_and_fahrenheit() {
    let kitchen = finished_stick().await;
    kitchen.say("me set mass:lb cure:oz temperature:F").await;
    let pounds = opened(&kitchen.file("batch record B1").await).text;
    assert_as_written("pounds_record.txt", &pounds);
}

#[tokio::test]
async fn in_german() {
    let kitchen = finished_stick().await;
    kitchen.say("me set language:de").await;
    let german = opened(&kitchen.file("batch record B1").await).text;
    assert_as_written("german_record.txt", &german);
    let labels = opened(&kitchen.file("batch label B1").await).text;
    assert_as_written("german_labels.txt", &labels);
}

/// Whatever a member may have typed stands inside its page and breaks nothing: three hundred letters without a space, emoji,
/// writing from right to left and what turns it round, names that call, letters that no font has.
#[test]
fn any_text_stays_on_the_page() {
    let long = "W".repeat(300);
    let words = "Fior di latte ".repeat(22);
    let hostile = [
        &*long,
        &*words,
        "\u{1f969}\u{1f525}",
        "\u{202e}\u{5d0}\u{5d1}\u{5d2} \u{2066}@everyone\u{2069} <@123>",
        "\u{0}\u{feff}\u{fffe}\u{7f}\t\r\n",
        "</text><svg onload=\"x\">&amp;",
        "\u{10ffff}\u{ad}\u{200b}",
        "",
    ];
    for text in hostile {
        let (document, sheet) = of_one_text(text);
        let laid = layout::document(&document);
        let labels = layout::labels(&sheet);
        for page in laid.pages.iter().chain(&labels.pages) {
            for item in &page.items {
                let Shape::Text { at, size, bold, text, .. } = &item.shape else { continue };
                let end = at.0 + width(text.trim_end(), *size, *bold);
                assert!(at.0 >= 0.0 && end <= page.size.0 - 20.0, "{text:?} ends at {end}");
                assert!(at.1 > 0.0 && at.1 < page.size.1, "{text:?}");
            }
        }
        for bytes in [document::pdf::document(&document).unwrap(), document::pdf::labels(&sheet).unwrap()] {
            lopdf::Document::load_mem(&bytes).unwrap();
            pdf::file::FileOptions::uncached().load(bytes).unwrap();
        }
    }
}

fn of_one_text(text: &str) -> (Document, Sheet) {
    let about = About {
        title: text.to_owned(),
        subject: text.to_owned(),
        language: "en".to_owned(),
        made: "2026-03-01T12:00:00Z".parse().unwrap(),
    };
    let text = || text.to_owned();
    let field = Field { name: text(), value: text() };
    let column = |align| Column { heading: text(), share: 1.0, align };
    let table = Table {
        columns: vec![column(Align::Left), column(Align::Right)],
        rows: vec![vec![text(), text()]; 60],
    };
    let blocks = vec![
        Block::Title(text()),
        Block::Paragraph(text()),
        Block::Signal(Signal { word: text(), text: text(), tint: Tint::Warning }),
        Block::Fields(vec![field.clone(); 5]),
        Block::Heading(text()),
        Block::Table(table),
        Block::Small(text()),
    ];
    let footer = Footer { text: text(), page: "{page}/{pages}".to_owned() };
    let label = Label { heading: text(), fields: vec![field; 12], foot: vec![text(); 3] };
    (Document { about: about.clone(), footer, blocks }, Sheet { about, labels: vec![label; 11] })
}

/// By hand: A4 less what is free above and below holds about sixty rows; a row is never split, its headings stand again on
/// every page, and the last row never stands alone.
#[test]
fn a_long_table_goes_on_under_its_headings() {
    let headings = ["One", "Two"];
    for count in 1..140 {
        let columns = headings
            .map(|heading| Column { heading: heading.to_owned(), share: 1.0, align: Align::Left })
            .to_vec();
        let rows = (0..count).map(|row| vec![format!("row {row}"), "x".to_owned()]).collect();
        let (mut document, _) = of_one_text("Table");
        document.blocks = vec![Block::Heading("Rows".to_owned()), Block::Table(Table { columns, rows })];
        let laid = layout::document(&document);
        let mut seen = 0;
        for page in &laid.pages {
            let texts: Vec<&str> = page
                .items
                .iter()
                .filter_map(|item| match &item.shape {
                    Shape::Text { text, .. } => Some(text.trim_end()),
                    _ => None,
                })
                .collect();
            assert!(headings.iter().all(|heading| texts.contains(heading)), "{count} rows: {texts:?}");
            let here = texts.iter().filter(|text| text.starts_with("row ")).count();
            assert!(here >= 2 || count == 1, "{count} rows, {here} alone on a page");
            seen += here;
        }
        assert_eq!(seen, count);
    }
}

/// What readers for those who cannot see the page go by: marked, with a language and a title, headings, tables with
/// headings, pictures in words.
#[tokio::test]
async fn what_is_what_is_marked() {
    let kitchen = finished_stick().await;
    let record = kitchen.file("batch record B1").await;
    let file = lopdf::Document::load_mem(&record.bytes).unwrap();
    let catalog = file.catalog().unwrap();
    assert_eq!(catalog.get(b"Lang").unwrap().as_str().unwrap(), b"en");
    let marked = catalog.get(b"MarkInfo").unwrap().as_dict().unwrap();
    assert!(marked.get(b"Marked").unwrap().as_bool().unwrap());
    let mut roles: Vec<String> = Vec::new();
    let mut pictures = 0;
    for object in file.objects.values() {
        let Ok(element) = object.as_dict() else { continue };
        let Ok(role) = element.get(b"S").and_then(lopdf::Object::as_name) else { continue };
        let role = String::from_utf8_lossy(role).into_owned();
        if role == "Figure" {
            pictures += 1;
            let alt = element.get(b"Alt").unwrap().as_str().unwrap();
            assert!(alt.len() > 80, "{alt:?}");
        }
        roles.push(role);
    }
    assert_eq!(pictures, 3);
    for role in
        ["H1", "H2", "P", "L", "LI", "Lbl", "LBody", "Table", "THead", "TBody", "TR", "TH", "TD", "Caption"]
    {
        assert!(roles.iter().any(|known| known == role), "no {role} among {roles:?}");
    }
}
