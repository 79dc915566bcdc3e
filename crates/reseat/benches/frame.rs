//! Key to finished frame on the work screen at 160x50, as a ratio to a bare ratatui frame of that size.
//!
//! The bare frame draws what stands on such a screen with ratatui's own widgets, texts fixed: list, canvas with a circle
//! and eight marks, table, gauge, paragraphs. Both go through the crossterm backend into a sink. Rounds are interleaved,
//! so that a slow moment slows both alike. Run with `cargo bench -p reseat --bench frame`.

#![allow(
    clippy::print_stdout,
    clippy::expect_used,
    clippy::unwrap_used,
    reason = "a benchmark prints, and stops where its own inputs are wrong"
)]

#[path = "../tests/samples/mod.rs"]
mod samples;

use std::io::{Sink, sink};
use std::time::{Duration, Instant};

use ratatui::backend::CrosstermBackend;
use ratatui::layout::{Constraint, Layout, Rect};
use ratatui::style::{Color, Stylize};
use ratatui::text::Line;
use ratatui::widgets::canvas::{Canvas, Circle};
use ratatui::widgets::{Block, Gauge, List, Paragraph, Row, Table};
use ratatui::{Frame, Terminal, TerminalOptions, Viewport};
use reseat::keys::Stroke;
use reseat::screen::{Message, Model, Outcome, update, view};
use reseat::theme::Scheme;

/// Interleaved rounds.
const ROUNDS: usize = 15;
/// Frames in a round.
const FRAMES: u32 = 400;

fn terminal() -> Terminal<CrosstermBackend<Sink>> {
    let viewport = Viewport::Fixed(Rect::new(0, 0, 160, 50));
    Terminal::with_options(CrosstermBackend::new(sink()), TerminalOptions { viewport })
        .expect("a sink takes everything")
}

/// A frame of ratatui's own widgets; `typed` changes a line, as a key does.
fn bare(frame: &mut Frame, typed: &str) {
    let [top, middle, bottom] = Layout::vertical([
        Constraint::Length(5),
        Constraint::Min(10),
        Constraint::Length(4),
    ])
    .areas(frame.area());
    let [left, circle, right] = Layout::horizontal([
        Constraint::Length(46),
        Constraint::Min(20),
        Constraint::Length(46),
    ])
    .areas(middle);
    let strip = "FV-3302  brine reject control valve  serial TP-0388   Odde  14:52";
    frame.render_widget(Paragraph::new(vec![Line::from(strip).bold(); 5]), top);
    let items = (1..30).map(|step| format!("{step} Hand-start 8 nuts, at least 3 turns each."));
    frame.render_widget(List::new(items).block(Block::bordered()), left);
    let canvas = Canvas::default()
        .x_bounds([-50.0, 50.0])
        .y_bounds([-50.0, 50.0])
        .paint(|context| {
            context.draw(&Circle {
                x: 0.0,
                y: 0.0,
                radius: 40.0,
                color: Color::White,
            });
            for nut in 0..8 {
                let angle = f64::from(nut) * std::f64::consts::FRAC_PI_4;
                context.print(40.0 * angle.sin(), 40.0 * angle.cos(), format!("{nut} ●"));
            }
        });
    frame.render_widget(canvas, circle);
    let rows = (1..30).map(|nut| Row::new([nut.to_string(), "122 N·m".into(), "WITHIN".into()]));
    frame.render_widget(Table::new(rows, [Constraint::Length(14); 3]), right);
    let [gauge, ask] =
        Layout::vertical([Constraint::Length(2), Constraint::Length(2)]).areas(bottom);
    frame.render_widget(Gauge::default().ratio(0.6), gauge);
    frame.render_widget(
        Paragraph::new(format!("dial reading of nut 6 [{typed}]")),
        ask,
    );
}

fn median(values: &mut [f64]) -> f64 {
    values.sort_by(f64::total_cmp);
    values[values.len() / 2]
}

fn main() {
    let mut now = Instant::now();
    let mut model = Model::new(Scheme::Dim, Duration::from_mins(10));
    update(&mut model, Message::Resized(160, 50), now);
    let sight = Box::new(Outcome::Acted(Box::new(samples::joint::tightening())));
    update(&mut model, Message::Came(sight), now);
    let (mut ours, mut theirs) = (terminal(), terminal());
    let (mut own_us, mut bare_us, mut ratios) = (Vec::new(), Vec::new(), Vec::new());
    for _ in 0..ROUNDS {
        let began = Instant::now();
        for frame in 0..FRAMES {
            now += Duration::from_millis(20);
            let stroke = if frame % 2 == 0 {
                Stroke::Char('1')
            } else {
                Stroke::Backspace
            };
            update(
                &mut model,
                Message::Key {
                    stroke,
                    repeat: false,
                },
                now,
            );
            ours.draw(|frame| view(&model, frame)).unwrap();
            update(&mut model, Message::Drawn, now);
        }
        let own = began.elapsed().as_secs_f64() * 1e6 / f64::from(FRAMES);
        let began = Instant::now();
        for number in 0..FRAMES {
            let typed = if number % 2 == 0 { "1" } else { "" };
            theirs.draw(|frame| bare(frame, typed)).unwrap();
        }
        let bare = began.elapsed().as_secs_f64() * 1e6 / f64::from(FRAMES);
        own_us.push(own);
        bare_us.push(bare);
        ratios.push(own / bare);
    }
    let ratio = median(&mut ratios);
    println!(
        "key to frame at 160x50: {:.0} µs, bare frame {:.0} µs, ratio {ratio:.2} ({:.2}..{:.2}, {ROUNDS} rounds); at most 2",
        median(&mut own_us),
        median(&mut bare_us),
        ratios[0],
        ratios[ROUNDS - 1]
    );
}
