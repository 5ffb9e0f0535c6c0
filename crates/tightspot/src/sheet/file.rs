//! The file: pages of blocks written as a tagged PDF with its fonts embedded.

use std::num::NonZeroU16;

use krilla::Document;
use krilla::color::luma;
use krilla::destination::XyzDestination;
use krilla::geom::{PathBuilder, Point, Rect};
use krilla::metadata::{DateTime, Metadata};
use krilla::num::NormalizedF32;
use krilla::outline::{Outline, OutlineNode};
use krilla::page::PageSettings;
use krilla::paint::{Fill, LineCap, LineJoin, Stroke, StrokeDash};
use krilla::surface::Surface;
use krilla::tagging::{Artifact, ArtifactType, ContentTag, ListNumbering, SpanTag, Tag, TagGroup, TagTree};

use super::block::{Block, Mark, Role};
use super::face::{Faces, Run};
use super::paper::{EDGE_PT, Paper};

/// What every page says at its top, and what the file says of itself.
pub(super) struct Title<'a> {
    /// Bike and job.
    pub(super) head: &'a str,
    /// The job.
    pub(super) title: &'a str,
    /// The day that the sheet is of.
    pub(super) day: jiff::civil::Date,
}

/// Writes pages; none where the writer refuses.
pub(super) fn write(
    faces: &Faces,
    paper: Paper,
    title: &Title<'_>,
    blocks: &[Block],
    pages: &[Vec<(f32, usize)>],
) -> Option<Vec<u8>> {
    let mut document = Document::new();
    let mut tree = Tree::default();
    let mut outline = Outline::new();
    let (width, height) = paper.size();
    for (number, page) in pages.iter().enumerate() {
        let mut sheet = document.start_page_with(PageSettings::from_wh(width, height)?);
        let mut surface = sheet.surface();
        let which = format!("{} · page {} of {}", title.day, number + 1, pages.len());
        head(&mut surface, faces, paper, title.head, &which);
        for (y, index) in page {
            let block = &blocks[*index];
            if let Role::Heading(_, words) = &block.role {
                let place = XyzDestination::new(number, Point::from_xy(Paper::side(), *y));
                outline.push_child(OutlineNode::new(words.clone(), place));
            }
            let group = draw(&mut surface, faces, block, Paper::side(), *y);
            tree.push(&block.role, group);
        }
        surface.finish();
        sheet.finish();
    }
    document.set_outline(outline);
    document.set_tag_tree(tree.done());
    document.set_metadata(about(title));
    document.finish().ok()
}

/// The same for the same sheet and day: the file holds no clock and no chance.
fn about(title: &Title<'_>) -> Metadata {
    let year = u16::try_from(title.day.year()).unwrap_or_default();
    let [month, day] = [title.day.month(), title.day.day()].map(|part| u8::try_from(part).unwrap_or(1));
    Metadata::new()
        .title(format!("{} · {}", title.head, title.day))
        .description(title.title.to_owned())
        .language("en".to_owned())
        .creator("tightspot".to_owned())
        .producer("tightspot".to_owned())
        .creation_date(DateTime::new(year).month(month).day(day).hour(0).minute(0).second(0))
}

/// The line at the top of every page, with a rule below it.
fn head(surface: &mut Surface<'_>, faces: &Faces, paper: Paper, words: &str, number: &str) {
    let (left, right, y) = (Paper::side(), Paper::side() + paper.inner_width(), EDGE_PT + 9.0);
    let number = Run::plain(number);
    surface.start_tagged(ContentTag::Artifact(Artifact::with_kind(ArtifactType::Header)));
    let room = paper.inner_width() - faces.width(&number) - 12.0;
    print(surface, faces, left, y, &shortened(faces, words, room));
    print(surface, faces, right - faces.width(&number), y, &number);
    stroke(surface, &[(left, y + 3.5), (right, y + 3.5)], 0.8, &[]);
    surface.end_tagged();
}

/// Words cut to a width, with dots where they were cut.
fn shortened(faces: &Faces, words: &str, width: f32) -> Run {
    let whole = Run::bold(words);
    if faces.width(&whole) <= width {
        return whole;
    }
    let room = width - faces.width(&Run::bold("…"));
    Run::bold(format!("{}…", faces.fitting(&whole, room).trim_end()))
}

/// Draws a block; its tagged content as a group.
fn draw(surface: &mut Surface<'_>, faces: &Faces, block: &Block, left: f32, top: f32) -> TagGroup {
    let mut group = match &block.role {
        Role::Heading(level, words) => {
            TagGroup::new(Tag::Hn(NonZeroU16::new(*level).unwrap_or(NonZeroU16::MIN), Some(words.clone())))
        }
        Role::Text => TagGroup::new(Tag::P),
        Role::Item => TagGroup::new(Tag::LBody),
        Role::Picture(alternative) => TagGroup::new(Tag::Figure(Some(alternative.clone()))),
    };
    if matches!(block.role, Role::Picture(_)) {
        group.push(surface.start_tagged(ContentTag::Other));
        block.marks.iter().for_each(|mark| put(surface, faces, mark, left, top));
        surface.end_tagged();
        return group;
    }
    for mark in &block.marks {
        if matches!(mark, Mark::Words { .. }) {
            group.push(surface.start_tagged(ContentTag::Span(SpanTag::empty())));
        } else {
            surface.start_tagged(ContentTag::Artifact(Artifact::with_kind(ArtifactType::Layout)));
        }
        put(surface, faces, mark, left, top);
        surface.end_tagged();
    }
    group
}

fn put(surface: &mut Surface<'_>, faces: &Faces, mark: &Mark, left: f32, top: f32) {
    match mark {
        Mark::Words { x, y, run } => print(surface, faces, left + x, top + y, run),
        Mark::Frame { x, y, width, height } => {
            let (x, y) = (left + x, top + y);
            let corners = [(x, y), (x + width, y), (x + width, y + height), (x, y + height), (x, y)];
            stroke(surface, &corners, 0.9, &[]);
        }
        Mark::Stroke { points, width, dash } => {
            let moved: Vec<(f32, f32)> = points.iter().map(|(x, y)| (left + x, top + y)).collect();
            stroke(surface, &moved, *width, dash);
        }
        Mark::Dot { x, y, radius } => dot(surface, left + x, top + y, *radius),
    }
}

fn print(surface: &mut Surface<'_>, faces: &Faces, x: f32, y: f32, run: &Run) {
    surface.set_stroke(None);
    surface.set_fill(Some(Fill::default()));
    surface.draw_glyphs(Point::from_xy(x, y), &faces.glyphs(run), faces.font(run.bold), &run.text, run.size, false);
}

fn stroke(surface: &mut Surface<'_>, points: &[(f32, f32)], width: f32, dash: &[f32]) {
    let mut path = PathBuilder::new();
    for (at, (x, y)) in points.iter().enumerate() {
        if at == 0 { path.move_to(*x, *y) } else { path.line_to(*x, *y) }
    }
    let Some(path) = path.finish() else { return };
    surface.set_fill(None);
    surface.set_stroke(Some(Stroke {
        paint: luma::Color::black().into(),
        width,
        line_cap: LineCap::Round,
        line_join: LineJoin::Round,
        opacity: NormalizedF32::ONE,
        dash: (!dash.is_empty()).then(|| StrokeDash { array: dash.to_vec(), offset: 0.0 }),
        ..Stroke::default()
    }));
    surface.draw_path(&path);
}

fn dot(surface: &mut Surface<'_>, x: f32, y: f32, radius: f32) {
    let mut path = PathBuilder::new();
    let Some(rect) = Rect::from_xywh(x - radius, y - radius, 2.0 * radius, 2.0 * radius) else { return };
    path.push_rect(rect);
    let Some(path) = path.finish() else { return };
    surface.set_stroke(None);
    surface.set_fill(Some(Fill::default()));
    surface.draw_path(&path);
}

/// The tree of tags; items that follow one another become one list.
#[derive(Default)]
struct Tree {
    done: Vec<TagGroup>,
    items: Vec<TagGroup>,
}

impl Tree {
    fn push(&mut self, role: &Role, group: TagGroup) {
        if *role == Role::Item {
            self.items.push(group);
            return;
        }
        self.close_list();
        self.done.push(group);
    }

    fn close_list(&mut self) {
        if self.items.is_empty() {
            return;
        }
        let mut list = TagGroup::new(Tag::L(ListNumbering::None));
        for body in self.items.drain(..) {
            let mut item = TagGroup::new(Tag::LI);
            item.push(body);
            list.push(item);
        }
        self.done.push(list);
    }

    fn done(mut self) -> TagTree {
        self.close_list();
        let mut tree = TagTree::new().with_lang(Some("en".to_owned()));
        for group in self.done {
            tree.push(group);
        }
        tree
    }
}
