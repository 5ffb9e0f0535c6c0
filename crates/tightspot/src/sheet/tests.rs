//! What a printed sheet must hold, read back by other people's tools: words, sizes, pages, greys, bytes.

mod hostile;

use std::fs;
use std::process::Command;

use advice::bench::Desk;
use advice::plan::{self, PlanView, Wish};
use advice::{Setup, picture};
use jiff::civil::{Date, date};
use upkeep::bike::Bike;
use upkeep::job::bench::{Bench, What};
use upkeep::job::handbook::shipped;

use super::block::{Mark, Role, pages};
use super::face::Faces;
use super::paper::{MM, TEXT_PT};
use super::{Paper, blocks, pdf};

const DAY: Date = date(2026, 9, 24);
const MERGED: [&str; 4] = ["final-drive-set", "countershaft-seal", "chain-guide-slider", "rear-wheel-bearings"];

/// The demo's bike with every torque of its sheet, so that figures to set are on it.
fn bike() -> Bike {
    let text = include_str!("../../../../data/bikes/alder-350.toml");
    let torques = "rear_axle_torque_nm = 110.0\nrear_sprocket_torque_nm = 35.0\nslack_mm_min = ";
    Bike::from_toml(&text.replacen("slack_mm_min = ", torques, 1)).expect("the demo's bike")
}

fn planned(jobs: &[&str]) -> PlanView {
    let bike = bike();
    let setup = Setup::fitted(&bike).expect("a setup");
    let jobs = jobs.iter().map(|job| (*job).to_owned()).collect();
    plan::view(&bike, setup, &Wish { jobs, ..Wish::default() }).expect("a plan")
}

fn file(jobs: &[&str], paper: Paper) -> Vec<u8> {
    pdf(&bike(), &planned(jobs), DAY, paper).expect("a sheet")
}

/// What another tool says of a sheet.
fn asked(tool: &str, more: &[&str], sheet: &[u8]) -> Vec<u8> {
    let place =
        std::env::temp_dir().join(format!("sheet-{}-{:?}.pdf", std::process::id(), std::thread::current().id()));
    fs::write(&place, sheet).expect("written");
    let mut args: Vec<String> = vec![place.display().to_string()];
    let last = more.iter().position(|arg| *arg == "-").is_some();
    let (options, tail): (Vec<&str>, Vec<&str>) = more.iter().partition(|arg| **arg != "-");
    args.splice(0..0, options.into_iter().map(str::to_owned));
    if last {
        args.extend(tail.into_iter().map(str::to_owned));
    }
    let out = Command::new(tool).args(&args).output().expect(tool);
    fs::remove_file(&place).expect("removed");
    assert!(out.status.success(), "{tool}: {}", String::from_utf8_lossy(&out.stderr));
    out.stdout
}

/// The words of each page, blanks drawn together.
fn read(sheet: &[u8]) -> Vec<String> {
    let text = String::from_utf8(asked("pdftotext", &["-raw", "-"], sheet)).expect("text");
    let pages = text.split('\u{c}').filter(|page| !page.trim().is_empty());
    pages.map(|page| page.split_whitespace().collect::<Vec<_>>().join(" ")).collect()
}

fn holds(page: &str, words: &str) -> bool {
    page.contains(&words.split_whitespace().collect::<Vec<_>>().join(" "))
}

#[test]
fn the_final_drive_takes_three_pages_and_merged_with_three_jobs_six() {
    for paper in [Paper::A4, Paper::Letter] {
        let pages = read(&file(&MERGED[..1], paper)).len();
        assert!(pages <= 3, "{paper:?}: {pages} pages");
        let pages = read(&file(&MERGED, paper)).len();
        assert!(pages <= 6, "{paper:?}: {pages} pages");
    }
}

#[test]
fn every_page_says_bike_job_day_and_which_of_how_many_it_is() {
    let pages = read(&file(&MERGED[..1], Paper::A4));
    for (at, page) in pages.iter().enumerate() {
        let head = ["Alder 350 (invented)", "Replace chain", "2026-09-24"];
        assert!(head.iter().all(|word| page.contains(word)), "{page}");
        assert!(page.contains(&format!("page {} of {}", at + 1, pages.len())), "{page}");
    }
}

#[test]
fn every_caution_that_stops_is_on_the_first_page_in_full_and_at_its_step_by_name() {
    let view = planned(&MERGED);
    let pages = read(&file(&MERGED, Paper::A4));
    for stop in &view.stops {
        assert!(holds(&pages[0], &format!("STOP: {}. {}", stop.hazard, stop.text)), "{}", stop.hazard);
    }
    let chain_steps =
        view.steps.iter().filter(|step| step.cautions.iter().any(|one| one.id == "engine-off-chain")).count();
    let named =
        pages.iter().map(|page| page.matches("fingers drawn between chain and sprocket").count()).sum::<usize>();
    assert_eq!(named, chain_steps + 1, "once on the first page and once at each step of the chain");
}

#[test]
fn every_other_caution_says_hazard_and_what_avoids_it_where_it_first_stands() {
    let view = planned(&MERGED);
    let all = read(&file(&MERGED, Paper::A4)).join(" ");
    let cautions = view.steps.iter().flat_map(|step| &step.cautions);
    let mut said = 0;
    for caution in cautions.filter(|caution| caution.level != "stop" && !caution.text.is_empty()) {
        let text = if caution.brief.is_empty() { &caution.text } else { caution.brief };
        assert!(holds(&all, &super::front::sentence(&format!("{}: {text}", caution.hazard))), "{}: {text}", caution.id);
        said += 1;
    }
    assert!(said > 8, "{said}");
}

#[test]
fn the_paper_and_the_form_that_it_is_typed_into_number_alike_also_from_the_middle() {
    let bike = bike();
    let at = date(2026, 9, 24).at(18, 0, 0, 0);
    let mut order = Bench {
        id: 1,
        at,
        jobs: vec![MERGED[0].to_owned()],
        choices: planned(&MERGED[..1]).answers,
        setup: [14, 48, 118],
        lines: Vec::new(),
    };
    for done in [0, 3] {
        let desk = Desk {
            bike: &bike,
            manual: &[],
            bench: &order.clone(),
            before: &[],
            handbook: shipped(),
            now: at,
            who: None,
        };
        let laid = desk.lay_out().expect("it can be done");
        assert_eq!(laid.done(), done);
        let view = plan::of_order(&desk, &laid).expect("a plan");
        let typed: Vec<String> = laid
            .sheet
            .steps
            .iter()
            .skip(done)
            .flat_map(|step| advice::bench::step::blanks(&desk, step))
            .filter(|blank| blank.kind != "yes-no")
            .map(|blank| blank.number)
            .collect();
        assert_eq!(numbers(&view), typed);
        assert_eq!(view.steps.first().map(|step| step.number), Some(done + 1));
        // What was said in full at a step that is done is said at the next one that carries it.
        for step in &laid.sheet.steps[..done] {
            for id in step.cautions.iter().map(|shown| shown.caution.id.as_str()) {
                let mut later = view.steps.iter().flat_map(|step| &step.cautions).filter(|caution| caution.id == id);
                assert!(later.next().is_none_or(|first| !first.text.is_empty()), "{id}");
            }
        }
        order = order.with(at, None, &laid.sheet.steps[..3].iter().map(ticked).collect::<Vec<_>>());
    }
}

fn ticked(step: &upkeep::job::SheetStep<'_>) -> What {
    What::Ticked { step: step.token.clone(), reason: None, answers: Vec::new() }
}

#[test]
fn every_step_with_its_checks_and_figures_reads_as_on_the_page() {
    let view = planned(&MERGED[..1]);
    let pages = read(&file(&MERGED[..1], Paper::A4));
    let all = pages.join(" ");
    for step in &view.steps {
        let what = if step.brief.is_empty() { &step.text } else { step.brief };
        assert!(pages.iter().any(|page| holds(page, what)), "step {}: {what}", step.number);
        for stop in &step.stops {
            assert!(holds(&all, &stop.prompt), "step {}: {}", step.number, stop.prompt);
        }
        for figure in &step.to_set {
            assert!(holds(&all, &format!("{}: {}", figure.label, figure.value)), "step {}: {figure:?}", step.number);
            assert!(holds(&all, &figure.source), "step {}: {figure:?}", step.number);
        }
    }
    for row in &view.parts.rows {
        assert!(holds(&pages[0], &row[2].text), "{}", row[2].text);
    }
    assert!(holds(&all, &view.closing));
}

/// Height of each word as another tool measures it.
fn heights(sheet: &[u8]) -> Vec<(f64, String)> {
    let text = String::from_utf8(asked("pdftotext", &["-bbox", "-"], sheet)).expect("text");
    let edge = |line: &str, name: &str| -> f64 {
        let rest = line.split(&format!("{name}=\"")).nth(1).expect(name);
        rest.split('"').next().expect("a value").parse().expect("a number")
    };
    let words = text.lines().filter(|line| line.contains("<word "));
    words
        .map(|line| {
            let word = line.split('>').nth(1).and_then(|rest| rest.split('<').next()).unwrap_or_default();
            (edge(line, "yMax") - edge(line, "yMin"), word.to_owned())
        })
        .collect()
}

#[test]
fn text_is_eleven_points_or_more_and_figures_to_set_fourteen() {
    // The typeface reaches from 0.928 above the line to 0.244 below it.
    let reach = 1.17;
    let words = heights(&file(&MERGED[..1], Paper::A4));
    assert!(words.len() > 800);
    let small: Vec<_> = words.iter().filter(|(height, _)| *height < 11.0 * reach - 0.05).collect();
    assert!(small.is_empty(), "{small:?}");
    let torque: Vec<f64> =
        words.iter().filter(|(_, word)| word == "110" || word == "24.5").map(|(height, _)| *height).collect();
    assert!(torque.len() >= 2 && torque.iter().all(|height| *height >= 14.0 * reach - 0.05), "{torque:?}");
}

#[test]
fn boxes_are_six_millimetres_blanks_eight_high_and_no_step_is_split() {
    let faces = Faces::load().expect("faces");
    for paper in [Paper::A4, Paper::Letter] {
        let view = planned(&MERGED);
        let blocks = blocks(&faces, &view, paper);
        let (mut ticks, mut blanks) = (0, 0);
        for mark in blocks.iter().flat_map(|block| &block.marks) {
            match mark {
                Mark::Frame { width, height, .. } if (width - height).abs() < 0.1 => {
                    ticks += 1;
                    assert!(*height >= 6.0 * MM, "{height}");
                }
                Mark::Frame { height, .. } => {
                    blanks += 1;
                    assert!(*height >= 8.0 * MM, "{height}");
                }
                Mark::Words { run, .. } => assert!(run.size >= TEXT_PT && (run.size == TEXT_PT || run.bold)),
                _ => {}
            }
        }
        let numbers = view.steps.iter().flat_map(|step| &step.stops).filter(|stop| stop.kind != "yes-no").count();
        assert_eq!(blanks, numbers, "each value has its blank");
        assert!(ticks > view.steps.len());
        for page in pages(&blocks, Paper::top(), paper.bottom()) {
            let (y, last) = page.last().expect("a block");
            assert!(y + blocks[*last].height <= paper.bottom() + 0.5, "{paper:?}: a block runs over its page");
        }
        assert!(blocks.iter().filter(|block| matches!(block.role, Role::Item)).count() > view.steps.len());
    }
}

#[test]
fn blanks_carry_the_numbers_of_their_steps_from_top_to_bottom() {
    let view = planned(&MERGED[..1]);
    let stops = view.steps.iter().flat_map(|step| &step.stops).filter(|stop| stop.kind != "yes-no");
    assert_eq!(numbers(&view), stops.map(|stop| stop.blank.clone()).collect::<Vec<_>>());
}

/// The numbers of the blanks as they are drawn, top to bottom.
fn numbers(view: &PlanView) -> Vec<String> {
    let faces = Faces::load().expect("faces");
    let mut told = Vec::new();
    for block in super::steps::blocks(&faces, view, Paper::A4.inner_width()) {
        let mut marks = block.marks.iter().peekable();
        while let Some(mark) = marks.next() {
            if let (Mark::Frame { width, height, .. }, Some(Mark::Words { run, .. })) = (mark, marks.peek())
                && width > height
            {
                told.push(run.text.clone());
            }
        }
    }
    told
}

#[test]
fn the_same_sheet_of_the_same_day_has_the_same_bytes() {
    let one = file(&MERGED, Paper::A4);
    assert_eq!(one, file(&MERGED, Paper::A4));
    let other = pdf(&bike(), &planned(&MERGED), date(2026, 9, 25), Paper::A4).expect("a sheet");
    assert_ne!(one, other);
}

#[test]
fn other_tools_find_it_tagged_titled_with_fonts_inside() {
    let sheet = file(&MERGED[..1], Paper::Letter);
    let about = String::from_utf8(asked("pdfinfo", &[], &sheet)).expect("text");
    for word in ["Tagged:", "Title:", "Alder 350"] {
        assert!(about.contains(word), "{about}");
    }
    assert!(about.lines().any(|line| line.starts_with("Tagged:") && line.contains("yes")), "{about}");
    let fonts = String::from_utf8(asked("pdffonts", &[], &sheet)).expect("text");
    let listed: Vec<&str> = fonts.lines().skip(2).collect();
    assert!(listed.len() == 2 && listed.iter().all(|line| line.contains("yes yes yes")), "{fonts}");
    let file = String::from_utf8_lossy(&sheet);
    assert!(file.contains("/Lang") && file.contains("/Outlines"), "language and bookmarks");
}

#[test]
fn nothing_on_it_has_a_colour() {
    let picture = asked("pdftoppm", &["-r", "40", "-f", "3", "-l", "3"], &file(&MERGED[..1], Paper::A4));
    assert!(picture.starts_with(b"P6"), "a picture");
    let head = picture.iter().enumerate().filter(|(_, byte)| **byte == b'\n').map(|(at, _)| at).nth(2).expect("a head");
    let dots = &picture[head + 1..];
    assert!(dots.len() > 100_000 && dots.chunks_exact(3).all(|dot| dot[0] == dot[1] && dot[1] == dot[2]));
}

#[test]
fn the_crossing_order_stands_on_the_last_page() {
    let view = planned(&MERGED[..1]);
    assert!(view.pictures.iter().any(|shown| shown.id == "crossing-order"));
    let star = picture::of("crossing-order", &bike(), view.setup).expect("a star");
    let pages = read(&file(&MERGED[..1], Paper::A4));
    assert!(holds(pages.last().expect("a page"), &star.finding));
}
