//! Laid pages as a PDF: text that can be selected, the fonts inside, a tree of what is what for whoever has it read out
//! (PDF/UA-1, ISO 14289-1), and nothing that depends on the day or the machine.

use super::data::{About, Document, Sheet};
use super::layout::{self, Child, Entry, Ink, Item, Laid, Leaf, Page, Part, Role, Shape};
use crate::chart::measure;
use crate::chart::png::{PngError, tree};
use chrono::{Datelike, Timelike};
use krilla::Document as Writer;
use krilla::color::rgb;
use krilla::configure::{Accessibility, ConfigurationBuilder, PdfVersion};
use krilla::destination::XyzDestination;
use krilla::geom::{PathBuilder, Point, Rect, Size, Transform};
use krilla::metadata::{DateTime, Metadata};
use krilla::outline::{Outline, OutlineNode};
use krilla::page::PageSettings;
use krilla::paint::{Fill, Stroke};
use krilla::surface::Surface;
use krilla::tagging::{
    Artifact, ArtifactType, ContentTag, Identifier, ListNumbering, Node, SpanTag, TableHeaderScope, Tag,
    TagGroup, TagTree,
};
use krilla::text::{Font, TextDirection};
use krilla::{Data, SerializeSettings};
use krilla_svg::{SurfaceExt, SvgSettings};
use std::collections::BTreeMap;
use std::num::NonZeroU16;
use std::sync::Arc;

/// Who wrote the file, as a reader shows it.
const CREATOR: &str = "tallyhook";

/// Why a document could not be written: a fault of ours.
#[derive(Debug, thiserror::Error)]
pub enum PdfError {
    /// A font in the program cannot be read.
    #[error("a font in the program cannot be read")]
    Font,
    /// A page, a place or a rule has no size.
    #[error("a page or something on it has no size")]
    Size,
    /// A picture cannot be drawn.
    #[error(transparent)]
    Picture(#[from] PngError),
    /// The library refuses.
    #[error("the document cannot be written: {0}")]
    Refused(String),
}

/// A document as PDF. Takes some milliseconds.
///
/// # Errors
/// [`PdfError`]; what [`layout`] lays out can be written.
pub fn document(document: &Document) -> Result<Vec<u8>, PdfError> {
    write(&document.about, &layout::document(document))
}

/// Labels as PDF.
///
/// # Errors
/// As [`document`].
pub fn labels(sheet: &Sheet) -> Result<Vec<u8>, PdfError> {
    write(&sheet.about, &layout::labels(sheet))
}

struct Fonts {
    regular: Font,
    bold: Font,
}

impl Fonts {
    fn new() -> Result<Self, PdfError> {
        let font = |bytes: &'static [u8]| {
            let data: Data = Arc::new(bytes.to_vec()).into();
            Font::new(data, 0).ok_or(PdfError::Font)
        };
        Ok(Self { regular: font(measure::REGULAR)?, bold: font(measure::BOLD)? })
    }
}

/// What stands on the pages, by the leaf that it belongs to.
type Marked = BTreeMap<Leaf, Vec<Identifier>>;

fn write(about: &About, laid: &Laid) -> Result<Vec<u8>, PdfError> {
    let configuration = ConfigurationBuilder::new()
        .with_version(PdfVersion::Pdf17)
        .with_accessibility_validator(Accessibility::UA1)
        .finish()
        .map_err(|error| PdfError::Refused(format!("{error:?}")))?;
    let mut writer = Writer::new_with(SerializeSettings { configuration, ..SerializeSettings::default() });
    let fonts = Fonts::new()?;
    let mut marked = Marked::new();
    for page in &laid.pages {
        add_page(&mut writer, page, &fonts, &mut marked)?;
    }
    let mut tags = TagTree::new().with_lang(Some(about.language.clone()));
    for part in &laid.parts {
        tags.push(group(part, &mut marked));
    }
    writer.set_tag_tree(tags);
    writer.set_outline(outline(&laid.contents));
    writer.set_metadata(metadata(about));
    writer.finish().map_err(|error| PdfError::Refused(format!("{error:?}")))
}

fn metadata(about: &About) -> Metadata {
    let made = about.made;
    // A title must be there.
    let title = Some(measure::drawable(&about.title)).filter(|title| !title.is_empty());
    let title = title.unwrap_or_else(|| CREATOR.to_owned());
    let date = DateTime::new(u16::try_from(made.year()).unwrap_or_default())
        .month(made.month() as u8)
        .day(made.day() as u8)
        .hour(made.hour() as u8)
        .minute(made.minute() as u8)
        .second(made.second() as u8)
        .utc_offset_hour(0);
    Metadata::new()
        .title(title)
        .description(measure::drawable(&about.subject))
        .language(about.language.clone())
        .creator(CREATOR.to_owned())
        .creation_date(date)
}

fn outline(contents: &[Entry]) -> Outline {
    let mut outline = Outline::new();
    for entry in contents {
        let to = XyzDestination::new(entry.page, Point::from_xy(0.0, entry.y as f32));
        outline.push_child(OutlineNode::new(entry.text.clone(), to));
    }
    outline
}

fn add_page(writer: &mut Writer, page: &Page, fonts: &Fonts, marked: &mut Marked) -> Result<(), PdfError> {
    let settings = PageSettings::from_wh(page.size.0 as f32, page.size.1 as f32).ok_or(PdfError::Size)?;
    let mut sheet = writer.start_page_with(settings);
    let mut surface = sheet.surface();
    // What stands together and belongs to one leaf is marked once.
    for run in page.items.chunk_by(|one, other| one.leaf == other.leaf) {
        let Some(leaf) = run.first().map(|item| item.leaf) else { continue };
        let tag = match leaf {
            None => ContentTag::Artifact(Artifact::with_kind(ArtifactType::Layout)),
            Some(_) if run.iter().any(|item| matches!(item.shape, Shape::Picture { .. })) => {
                ContentTag::Other
            }
            Some(_) => ContentTag::Span(SpanTag::empty()),
        };
        let identifier = surface.start_tagged(tag);
        let drawn = run.iter().try_for_each(|item| draw(&mut surface, item, fonts));
        surface.end_tagged();
        drawn?;
        if let Some(leaf) = leaf {
            marked.entry(leaf).or_default().push(identifier);
        }
    }
    surface.finish();
    sheet.finish();
    Ok(())
}

fn fill(ink: Ink) -> Fill {
    let (red, green, blue) = ink.rgb();
    Fill { paint: rgb::Color::new(red, green, blue).into(), ..Fill::default() }
}

fn draw(surface: &mut Surface<'_>, item: &Item, fonts: &Fonts) -> Result<(), PdfError> {
    match &item.shape {
        Shape::Text { at, size, bold, ink, text } => {
            surface.set_stroke(None);
            surface.set_fill(Some(fill(*ink)));
            let font = if *bold { &fonts.bold } else { &fonts.regular };
            let at = Point::from_xy(at.0 as f32, at.1 as f32);
            surface.draw_text(at, font.clone(), *size as f32, text, false, TextDirection::LeftToRight);
        }
        Shape::Rule { from, to, width, ink } => {
            let mut path = PathBuilder::new();
            path.move_to(from.0 as f32, from.1 as f32);
            path.line_to(to.0 as f32, to.1 as f32);
            let path = path.finish().ok_or(PdfError::Size)?;
            surface.set_fill(None);
            let stroke = Stroke { paint: fill(*ink).paint, width: *width as f32, ..Stroke::default() };
            surface.set_stroke(Some(stroke));
            surface.draw_path(&path);
        }
        Shape::Area { at, size, ink } => {
            let rectangle = Rect::from_xywh(at.0 as f32, at.1 as f32, size.0 as f32, size.1 as f32);
            let mut path = PathBuilder::new();
            path.push_rect(rectangle.ok_or(PdfError::Size)?);
            surface.set_stroke(None);
            surface.set_fill(Some(fill(*ink)));
            surface.draw_path(&path.finish().ok_or(PdfError::Size)?);
        }
        Shape::Picture { at, size, svg } => {
            let size = Size::from_wh(size.0 as f32, size.1 as f32).ok_or(PdfError::Size)?;
            surface.push_transform(&Transform::from_translate(at.0 as f32, at.1 as f32));
            let drawn = surface.draw_svg(&tree(svg)?, size, SvgSettings::default());
            surface.pop();
            drawn.ok_or(PdfError::Size)?;
        }
    }
    Ok(())
}

/// A part with everything in it; each leaf is taken once.
fn group(part: &Part, marked: &mut Marked) -> TagGroup {
    let mut children: Vec<Node> = Vec::new();
    for child in &part.children {
        match child {
            Child::Part(part) => children.push(group(part, marked).into()),
            Child::Leaf(leaf) => children.extend(marked.remove(leaf).into_iter().flatten().map(Node::from)),
        }
    }
    match &part.role {
        Role::Heading(level, text) => {
            let level = NonZeroU16::new(*level).unwrap_or(NonZeroU16::MIN);
            TagGroup::with_children(Tag::Hn(level, Some(text.clone())), children)
        }
        Role::Paragraph => TagGroup::with_children(Tag::P, children),
        Role::List => TagGroup::with_children(Tag::L(ListNumbering::None), children),
        Role::ListItem => TagGroup::with_children(Tag::LI, children),
        Role::Name => TagGroup::with_children(Tag::Lbl, children),
        Role::Value => TagGroup::with_children(Tag::LBody, children),
        Role::Table => TagGroup::with_children(Tag::Table, children),
        Role::Head => TagGroup::with_children(Tag::THead, children),
        Role::Body => TagGroup::with_children(Tag::TBody, children),
        Role::Row => TagGroup::with_children(Tag::TR, children),
        Role::HeadCell => TagGroup::with_children(Tag::TH(TableHeaderScope::Column), children),
        Role::Cell => TagGroup::with_children(Tag::TD, children),
        Role::Figure(alt) => TagGroup::with_children(Tag::Figure(Some(alt.clone())), children),
        Role::Caption => TagGroup::with_children(Tag::Caption, children),
        Role::Section => TagGroup::with_children(Tag::Section, children),
    }
}
