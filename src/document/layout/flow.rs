//! One block under another, from page to page.

use super::{Child, Entry, Item, Laid, Leaf, Page, Part, Role, Shape, table};
use crate::document::data::{Block, Document, Field, Footer, Picture, Signal, Tint};
use crate::document::style::{
    ABOVE_HEADING, BODY, BOTTOM, FIELD_NAME, FIELD_VALUE, FOOT, FOOTER, HEADING, Ink, Letters, PAGE, SIDE,
    SIGNAL, SMALL, TITLE, TOP, UNDER_BLOCK, UNDER_SMALL,
};
use crate::document::text::{wrapped, wrapped_to};

/// Width of what stands on a page.
pub(super) const WIDTH: f64 = PAGE.0 - 2.0 * SIDE;
/// Of capital letters, beside the size of the letters (1493 of 2048 units by the font itself).
const HEIGHT_OF_CAPITALS: f64 = 0.729;
/// Fewer lines of a paragraph stand neither at the end of a page nor at the beginning of the next.
const TOGETHER: usize = 2;
/// Figures in a row, and what is free between them.
const FIELDS: usize = 4;
const FIELD_GAP: f64 = 12.0;
/// A name of a figure and its value have so many lines at most.
const FIELD_LINES: usize = 3;
/// Widths of pictures, three quarters of them high: the widest at which those that follow one another stay on the page
/// that they begin on, else the first.
const PICTURES: [f64; 9] = [300.0, 290.0, 280.0, 270.0, 260.0, 250.0, 240.0, 220.0, 200.0];
const PICTURE_GAP: f64 = 14.0;
/// Lines of words beside a picture.
const CAPTION_LINES: usize = 22;
/// Width of a signal word with what is free after it, at least.
const SIGNAL_WORD: f64 = 62.0;

/// The pages as they fill.
#[derive(Debug, Default)]
pub(super) struct Flow {
    pub(super) laid: Laid,
    pub(super) y: f64,
    leaves: usize,
    /// Width of the pictures that follow one another.
    picture: f64,
}

pub(super) fn laid(document: &Document) -> Laid {
    let mut flow = Flow::default();
    flow.start_page();
    for (place, block) in document.blocks.iter().enumerate() {
        let before = place.checked_sub(1).and_then(|before| document.blocks.get(before));
        if !matches!(before, Some(Block::Picture(_))) {
            flow.picture = flow.width_of_pictures(document.blocks.get(place..).unwrap_or_default());
        }
        let rest = document.blocks.get(place + 1..).unwrap_or_default();
        if matches!(before, Some(Block::Signal(_))) && !matches!(block, Block::Signal(_)) {
            flow.y += UNDER_BLOCK / 2.0;
        }
        flow.block(block, rest);
    }
    flow.feet(&document.footer);
    flow.laid
}

impl Flow {
    pub(super) fn start_page(&mut self) {
        self.laid.pages.push(Page { size: PAGE, items: Vec::new() });
        self.y = TOP;
    }

    pub(super) fn room(&self) -> f64 {
        PAGE.1 - BOTTOM - self.y
    }

    pub(super) const fn leaf(&mut self) -> Leaf {
        self.leaves += 1;
        self.leaves - 1
    }

    pub(super) fn put(&mut self, leaf: Option<Leaf>, shape: Shape) {
        if let Some(page) = self.laid.pages.last_mut() {
            page.items.push(Item { leaf, shape });
        }
    }

    /// One line of text with its upper edge at `y`.
    pub(super) fn line(&mut self, leaf: Option<Leaf>, (x, y): (f64, f64), letters: Letters, text: &str) {
        let baseline = y + f64::midpoint(letters.leading, letters.size * HEIGHT_OF_CAPITALS);
        let shape = Shape::Text {
            at: (x, baseline),
            size: letters.size,
            bold: letters.bold,
            ink: letters.ink,
            text: text.to_owned(),
        };
        self.put(leaf, shape);
    }

    /// Lines under one another; each ends with a space, so that words stay apart where a text is copied.
    pub(super) fn lines(&mut self, leaf: Leaf, (x, y): (f64, f64), letters: Letters, lines: &[String]) {
        for (count, line) in lines.iter().enumerate() {
            let at = (x, y + letters.leading * count as f64);
            self.line(Some(leaf), at, letters, &format!("{line} "));
        }
    }

    fn block(&mut self, block: &Block, rest: &[Block]) {
        match block {
            Block::Title(text) => self.heading(1, TITLE, text, rest),
            Block::Heading(text) => self.heading(2, HEADING, text, rest),
            Block::Paragraph(text) => self.paragraph(BODY, text),
            Block::Small(text) => self.paragraph(SMALL, text),
            Block::Signal(signal) => self.signal(signal),
            Block::Fields(fields) => self.fields(fields),
            Block::Table(table) => table::add(self, table),
            Block::Picture(picture) => self.picture(picture),
        }
    }

    fn heading(&mut self, level: u16, letters: Letters, text: &str, rest: &[Block]) {
        let lines = wrapped_to(text, letters.size, letters.bold, WIDTH, 4);
        if lines.is_empty() {
            return;
        }
        let above = if self.y > TOP { ABOVE_HEADING } else { 0.0 };
        let height = above + letters.leading * lines.len() as f64 + UNDER_BLOCK / 2.0;
        let follows = rest.first().map_or(0.0, least_height);
        if self.room() < height + follows && self.y > TOP {
            self.start_page();
        } else {
            self.y += above;
        }
        let page = self.laid.pages.len() - 1;
        self.laid.contents.push(Entry { text: lines.join(" "), page, y: self.y });
        let leaf = self.leaf();
        self.lines(leaf, (SIDE, self.y), letters, &lines);
        self.y += letters.leading * lines.len() as f64 + UNDER_BLOCK / 2.0;
        self.laid.parts.push(Part::of(Role::Heading(level, lines.join(" ")), leaf));
    }

    fn paragraph(&mut self, letters: Letters, text: &str) {
        let lines = wrapped(text, letters.size, letters.bold, WIDTH);
        let mut part = Part::new(Role::Paragraph);
        self.broken(&lines, letters, SIDE, |_, leaf, _, _| part.children.push(Child::Leaf(leaf)));
        if !part.children.is_empty() {
            self.laid.parts.push(part);
        }
        self.y += if letters == SMALL { UNDER_SMALL } else { UNDER_BLOCK };
    }

    /// Lines that may go on on the next page; `each` is told of what stands on one page: leaf, upper edge, height.
    fn broken(
        &mut self,
        lines: &[String],
        letters: Letters,
        x: f64,
        mut each: impl FnMut(&mut Self, Leaf, f64, f64),
    ) {
        let mut left = lines;
        while !left.is_empty() {
            let fit = (self.room() / letters.leading).floor().max(0.0) as usize;
            let mut take = fit.min(left.len());
            if take < left.len() && left.len() - take < TOGETHER {
                take = left.len().saturating_sub(TOGETHER);
            }
            if take < TOGETHER.min(left.len()) {
                if self.y > TOP {
                    self.start_page();
                    continue;
                }
                take = left.len().min(fit.max(1));
            }
            let (now, later) = left.split_at(take);
            let leaf = self.leaf();
            let (top, height) = (self.y, letters.leading * now.len() as f64);
            each(self, leaf, top, height);
            self.lines(leaf, (x, top), letters, now);
            self.y += height;
            left = later;
        }
    }

    /// The word bold on the left with a bar of its colour, the sentence beside it.
    fn signal(&mut self, signal: &Signal) {
        let word = wrapped_to(&signal.word, SIGNAL.size, true, WIDTH / 3.0, 1).concat();
        let indent = (crate::chart::measure::width(&word, SIGNAL.size, true) + 14.0).max(SIGNAL_WORD);
        let lines = wrapped(&signal.text, BODY.size, false, WIDTH - indent);
        let mut part = Part::new(Role::Paragraph);
        let mut word = Some(word);
        self.broken(&lines, BODY, SIDE + indent, |flow, leaf, top, height| {
            let bar = Shape::Area {
                at: (SIDE, top + 1.0),
                size: (3.0, height - 2.0),
                ink: match signal.tint {
                    Tint::Quiet => Ink::Rule,
                    Tint::Caution => Ink::Caution,
                    Tint::Warning => Ink::Warning,
                },
            };
            flow.put(None, bar);
            if let Some(word) = word.take() {
                let first = flow.leaf();
                flow.line(Some(first), (SIDE + 8.0, top), SIGNAL, &format!("{word} "));
                part.children.push(Child::Leaf(first));
            }
            part.children.push(Child::Leaf(leaf));
        });
        if !part.children.is_empty() {
            self.laid.parts.push(part);
        }
        self.y += UNDER_BLOCK / 2.0;
    }

    fn fields(&mut self, fields: &[Field]) {
        let width = (WIDTH - FIELD_GAP * (FIELDS - 1) as f64) / FIELDS as f64;
        let mut list = Part::new(Role::List);
        for row in fields.chunks(FIELDS) {
            let laid: Vec<(Vec<String>, Vec<String>)> =
                row.iter().map(|field| field_lines(field, width)).collect();
            let height = laid.iter().map(field_height).fold(0.0, f64::max);
            if self.room() < height && self.y > TOP {
                self.start_page();
            }
            for (count, (name, value)) in laid.iter().enumerate() {
                let x = SIDE + (width + FIELD_GAP) * count as f64;
                let mut item = Part::new(Role::ListItem);
                let leaf = self.leaf();
                self.lines(leaf, (x, self.y), FIELD_NAME, name);
                item.push(Part::of(Role::Name, leaf));
                let leaf = self.leaf();
                let under = self.y + FIELD_NAME.leading * name.len() as f64;
                self.lines(leaf, (x, under), FIELD_VALUE, value);
                item.push(Part::of(Role::Value, leaf));
                list.push(item);
            }
            self.y += height + UNDER_BLOCK / 2.0;
        }
        if !list.children.is_empty() {
            self.laid.parts.push(list);
        }
        self.y += UNDER_BLOCK / 2.0;
    }

    fn width_of_pictures(&self, blocks: &[Block]) -> f64 {
        let count = blocks.iter().take_while(|block| matches!(block, Block::Picture(_))).count() as f64;
        let fit = |width: &f64| (width * 0.75 + UNDER_BLOCK) * count <= self.room();
        PICTURES.into_iter().find(fit).unwrap_or(PICTURES[0])
    }

    fn picture(&mut self, picture: &Picture) {
        let wide = self.picture;
        let height = wide * 0.75;
        if self.room() < height && self.y > TOP {
            self.start_page();
        }
        let leaf = self.leaf();
        let shape = Shape::Picture { at: (SIDE, self.y), size: (wide, height), svg: picture.svg.clone() };
        self.put(Some(leaf), shape);
        let mut part = Part::of(Role::Figure(picture.alt.clone()), leaf);
        let beside = WIDTH - wide - PICTURE_GAP;
        let lines = wrapped_to(&picture.alt, SMALL.size, false, beside, CAPTION_LINES);
        if !lines.is_empty() {
            let leaf = self.leaf();
            self.lines(leaf, (SIDE + wide + PICTURE_GAP, self.y), SMALL, &lines);
            part.push(Part::of(Role::Caption, leaf));
        }
        self.laid.parts.push(part);
        self.y += height + UNDER_BLOCK;
    }

    fn feet(&mut self, footer: &Footer) {
        let count = self.laid.pages.len();
        let y = PAGE.1 - FOOT;
        for (number, page) in self.laid.pages.iter_mut().enumerate() {
            let words = footer
                .page
                .replace("{page}", &(number + 1).to_string())
                .replace("{pages}", &count.to_string());
            let wide = crate::chart::measure::width(&words, FOOTER.size, false);
            let left = wrapped_to(&footer.text, FOOTER.size, false, WIDTH - wide - FIELD_GAP, 1).concat();
            let text = |x: f64, text: String| Item {
                leaf: None,
                shape: Shape::Text { at: (x, y), size: FOOTER.size, bold: false, ink: FOOTER.ink, text },
            };
            let rule = Shape::Rule {
                from: (SIDE, y - 12.0),
                to: (SIDE + WIDTH, y - 12.0),
                width: 0.5,
                ink: Ink::Rule,
            };
            page.items.push(Item { leaf: None, shape: rule });
            page.items.extend([text(SIDE, left), text(SIDE + WIDTH - wide, words)]);
        }
    }
}

fn field_lines(field: &Field, width: f64) -> (Vec<String>, Vec<String>) {
    (
        wrapped_to(&field.name, FIELD_NAME.size, FIELD_NAME.bold, width, FIELD_LINES),
        wrapped_to(&field.value, FIELD_VALUE.size, FIELD_VALUE.bold, width, FIELD_LINES),
    )
}

fn field_height((name, value): &(Vec<String>, Vec<String>)) -> f64 {
    FIELD_NAME.leading * name.len() as f64 + FIELD_VALUE.leading * value.len() as f64
}

/// What must stand under a heading on the same page.
fn least_height(block: &Block) -> f64 {
    match block {
        Block::Title(_) | Block::Heading(_) => HEADING.leading * 2.0,
        Block::Paragraph(_) | Block::Signal(_) => BODY.leading * TOGETHER as f64,
        Block::Small(_) => SMALL.leading * TOGETHER as f64,
        Block::Fields(_) => FIELD_NAME.leading + FIELD_VALUE.leading * 2.0,
        Block::Table(table) => table::least_height(table),
        Block::Picture(_) => PICTURES[0] * 0.75,
    }
}
