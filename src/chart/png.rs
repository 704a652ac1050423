//! A chart as a PNG image: its SVG drawn with the font in the program, and few colours, so that the file stays small.

use super::{HEIGHT, WIDTH, measure};
use png::{BitDepth, ColorType, Compression, Encoder, Filter};
use resvg::tiny_skia::{Pixmap, Transform};
use resvg::usvg::{Options, Tree, fontdb};
use std::sync::{Arc, LazyLock};

/// Why a picture could not be drawn: a fault of ours.
#[derive(Debug, thiserror::Error)]
pub enum PngError {
    /// The SVG cannot be read.
    #[error("the picture cannot be drawn: {0}")]
    Svg(#[from] resvg::usvg::Error),
    /// There is no room for it.
    #[error("there is no room for the picture")]
    NoRoom,
    /// It cannot be written.
    #[error("the picture cannot be written: {0}")]
    Png(#[from] png::EncodingError),
}

static FONTS: LazyLock<Arc<fontdb::Database>> = LazyLock::new(|| {
    let mut fonts = fontdb::Database::new();
    fonts.load_font_data(measure::REGULAR.to_vec());
    fonts.load_font_data(measure::BOLD.to_vec());
    Arc::new(fonts)
});

/// Draws a picture that [`super::svg::svg`] made. Takes some milliseconds: not to be done where others wait.
///
/// # Errors
/// [`PngError`]; what `svg` makes can be drawn.
pub fn png(svg: &str) -> Result<Vec<u8>, PngError> {
    let tree = tree(svg)?;
    let mut pixels = Pixmap::new(WIDTH as u32, HEIGHT as u32).ok_or(PngError::NoRoom)?;
    resvg::render(&tree, Transform::identity(), &mut pixels.as_mut());
    encoded(&pixels)
}

/// A picture that [`super::svg::svg`] made, taken apart for whoever draws it: its letters by the fonts in the program.
///
/// # Errors
/// As [`png()`].
pub fn tree(svg: &str) -> Result<Tree, PngError> {
    let options =
        Options { fontdb: Arc::clone(&FONTS), font_family: measure::FAMILY.to_owned(), ..Options::default() };
    Ok(Tree::from_str(svg, &options)?)
}

/// Bits of a colour channel that are told apart, and how many colours that makes.
const BITS: u32 = 5;
const BINS: usize = 1 << (3 * BITS);
/// Colours of an image with one byte for each pixel.
const MOST_COLOURS: usize = 256;

/// One byte for each pixel: where there are too many colours, all of them at the rims of lines and letters, the rare ones
/// become the nearest of the others. Every pixel is opaque, because the ground covers all.
fn encoded(pixels: &Pixmap) -> Result<Vec<u8>, PngError> {
    let (palette, data) = indexed(pixels.data());
    let mut out = Vec::with_capacity(65_536);
    let mut encoder = Encoder::new(&mut out, pixels.width(), pixels.height());
    encoder.set_depth(BitDepth::Eight);
    encoder.set_color(ColorType::Indexed);
    encoder.set_palette(palette.concat());
    encoder.set_compression(Compression::Fast);
    // Most rows are like the one above.
    encoder.set_filter(Filter::Up);
    let mut writer = encoder.write_header()?;
    writer.write_image_data(&data)?;
    writer.finish()?;
    Ok(out)
}

type Colour = [u8; 3];

fn colours(data: &[u8]) -> impl Iterator<Item = Colour> {
    data.as_chunks::<4>().0.iter().map(|[red, green, blue, _]| [*red, *green, *blue])
}

fn bin(colour: Colour) -> usize {
    colour.into_iter().fold(0, |bin, channel| (bin << BITS) | usize::from(channel >> (8 - BITS)))
}

/// The palette, and each pixel's place in it. Colours that agree in their leading bits become the first of them.
fn indexed(data: &[u8]) -> (Vec<Colour>, Vec<u8>) {
    let mut found: Vec<(u32, usize, Colour)> = Vec::new();
    let mut places = vec![usize::MAX; BINS];
    for colour in colours(data) {
        let place = &mut places[bin(colour)];
        if *place == usize::MAX {
            *place = found.len();
            found.push((0, found.len(), colour));
        }
        found[*place].0 += 1;
    }
    // The most frequent first; of equally frequent ones the one that came first, so that the image is always the same.
    found.sort_by_key(|(count, first, _)| (std::cmp::Reverse(*count), *first));
    let palette: Vec<Colour> = found.iter().take(MOST_COLOURS).map(|(_, _, colour)| *colour).collect();
    let mut indices = vec![0_u8; BINS];
    for (rank, (_, _, colour)) in found.iter().enumerate() {
        let place = if rank < MOST_COLOURS { rank } else { nearest(&palette, *colour) };
        indices[bin(*colour)] = place as u8;
    }
    (palette, colours(data).map(|colour| indices[bin(colour)]).collect())
}

fn nearest(palette: &[Colour], colour: Colour) -> usize {
    let distance = |other: &Colour| -> i32 {
        colour.iter().zip(other).map(|(one, other)| (i32::from(*one) - i32::from(*other)).pow(2)).sum()
    };
    palette.iter().enumerate().min_by_key(|(_, other)| distance(other)).map_or(0, |(place, _)| place)
}
