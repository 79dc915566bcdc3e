//! Message in, effects out. No file, no clock, no terminal: every rule of the keys can be tested here.

use std::time::{Duration, Instant};

use reseat_record::rebuild::{Command, Wants};

use super::founding::{Founding, Words};
use super::home::Home;
use super::message::{Effect, Message, Outcome};
use super::model::{Model, Press, Screen};
use super::overlay::{Overlay, help_at, say_overflow};
use super::pages::Pages;
use super::recall::Recall;
use super::record::Record;
use super::register::Register;
use super::resume::Resume;
use super::sight::List;
use super::sign::Pending;
use super::start::Start;
use super::unit::Unit;
use super::work::Work;
use crate::keys::{self, Action, Scope, Stroke};

/// How long the clock and the age of the zero reading on the strip may stand before they are worked out again.
const STRIP_AGE: Duration = Duration::from_mins(1);

/// Takes a message that came at `now`.
pub fn update(model: &mut Model, message: Message, now: Instant) -> Vec<Effect> {
    match message {
        Message::Key { stroke, repeat } => key(model, stroke, repeat, now),
        Message::Paste(text) => {
            model.common.last_key = Some(now);
            paste(model, &text);
            Vec::new()
        }
        Message::Resized(columns, rows) => {
            model.common.size = (columns, rows);
            Vec::new()
        }
        Message::Drawn => {
            model.common.guard.drawn(now);
            Vec::new()
        }
        Message::Tick => tick(model, now),
        Message::Came(outcome) => came(model, *outcome, now),
    }
}

/// The scope of the key table that holds now, and whether a text field is open.
pub fn scope(model: &Model) -> (Scope, bool) {
    if let Some(overlay) = model.common.overlays.last() {
        return (overlay.scope(), overlay.typing());
    }
    match &model.screen {
        Screen::Blank => (Scope::Always, false),
        Screen::Founding(founding) => (Scope::Form, founding.form.typing()),
        Screen::Words(_) => (Scope::Words, true),
        Screen::Home(_) => (Scope::Home, true),
        Screen::Unit(_) => (Scope::Unit, false),
        Screen::Start(start) => (Scope::Form, start.form.typing()),
        Screen::Resume(_) => (Scope::Resume, true),
        Screen::Work(work) => (Scope::Work, work.typing()),
        Screen::Record(_) => (Scope::Record, false),
        Screen::Register(_) => (Scope::Register, false),
        Screen::Pages(_) => (Scope::Pages, false),
        Screen::Recall(_) => (Scope::Recall, false),
    }
}

/// The rebuild under way, also while its record is read above it.
fn open_work(model: &Model) -> Option<&Work> {
    match &model.screen {
        Screen::Work(work) => Some(work),
        Screen::Record(record) => match record.back.as_ref() {
            Screen::Work(work) => Some(work),
            _ => None,
        },
        _ => None,
    }
}

/// When something is due without a key: a wait that is over, the strip's minute, the pause by itself.
pub fn deadline(model: &Model) -> Option<Instant> {
    let work = open_work(model)?;
    let common = &model.common;
    let seen = common.seen_at?;
    let strip = seen + STRIP_AGE;
    let wait = work.sight.wait_left.map(|left| seen + left);
    [Some(strip), wait, pause_due(model)]
        .into_iter()
        .flatten()
        .min()
}

/// When the rebuild pauses by itself: counted from the last key, never while the procedure asks for a wait, never twice.
fn pause_due(model: &Model) -> Option<Instant> {
    let work = open_work(model)?;
    let waits = matches!(work.sight.ask.wants, Wants::Wait { .. } | Wants::Nothing);
    if work.sight.may_leave || waits {
        None
    } else {
        Some(model.common.last_key? + model.common.pause_after)
    }
}

fn tick(model: &mut Model, now: Instant) -> Vec<Effect> {
    if pause_due(model).is_some_and(|due| now >= due) {
        // What stood half typed above the work stays; the question below is who is there.
        model
            .common
            .overlays
            .retain(|overlay| !matches!(overlay, Overlay::Sign(_) | Overlay::Stop));
        model.common.last_key = Some(now);
        return vec![Effect::Act {
            command: Command::Pause { by_itself: true },
            signer: None,
        }];
    }
    match deadline(model) {
        Some(due) if now >= due => {
            model.common.seen_at = Some(now);
            vec![Effect::LookAgain]
        }
        _ => Vec::new(),
    }
}

fn key(model: &mut Model, stroke: Stroke, repeat: bool, now: Instant) -> Vec<Effect> {
    let late = pause_due(model).is_some_and(|due| now >= due);
    if late {
        // The laptop slept past the deadline: the first key only asks who is there.
        return tick(model, now);
    }
    let (scope, typing) = scope(model);
    let action = keys::action(scope, stroke, typing);
    let common = &mut model.common;
    common.last_key = Some(now);
    common.guard.came(stroke);
    // A notice has been read once another key than the spent one comes; a refusal stays for as long as it holds.
    if common.said.as_ref().is_some_and(|said| !said.refused) && !common.guard.is_spent(stroke) {
        common.said = None;
    }
    if stroke == Stroke::Ctrl('c') {
        // A habit of other programs; here it would leave a rebuild without a pause.
        common.note("F10 leaves; a rebuild under way is paused with F4 first.");
        return Vec::new();
    }
    if common.guard.swallows(stroke) {
        return Vec::new();
    }
    let press = Press {
        stroke,
        action,
        repeat,
        now,
    };
    if let Some(effects) = everywhere(model, scope, action) {
        return effects;
    }
    if model.common.overlays.is_empty() {
        screen_key(model, &press)
    } else {
        overlay_key(model, &press)
    }
}

fn everywhere(model: &mut Model, scope: Scope, action: Option<Action>) -> Option<Vec<Effect>> {
    match action? {
        Action::Help if scope != Scope::Help => {
            model.common.overlays.push(Overlay::Help(help_at(scope)));
            model.common.guard.asked_anew();
            Some(Vec::new())
        }
        Action::Help => Some(Vec::new()),
        Action::Scheme => {
            model.common.scheme = model.common.scheme.next();
            let word = model.common.scheme.word();
            model.common.note(format!("Colours: {word}."));
            Some(Vec::new())
        }
        Action::Leave => {
            let busy = !model.common.disk_failed
                && open_work(model).is_some_and(|work| !work.sight.may_leave);
            if busy {
                model.common.note("F4 pauses the work; then F10 leaves.");
                return Some(Vec::new());
            }
            if matches!(model.screen, Screen::Words(_)) {
                model
                    .common
                    .note("Write the words down first: they are shown once.");
                return Some(Vec::new());
            }
            Some(vec![Effect::Quit])
        }
        Action::Redraw => Some(vec![Effect::Redraw]),
        Action::Suspend => Some(vec![Effect::Suspend]),
        _ => None,
    }
}

fn overlay_key(model: &mut Model, press: &Press) -> Vec<Effect> {
    let Some(mut overlay) = model.common.overlays.pop() else {
        return Vec::new();
    };
    let depth = model.common.overlays.len();
    let wish = overlay.press(press, &mut model.common);
    if wish.close {
        model.common.guard.asked_anew();
        if press.action == Some(Action::Back) {
            model.common.said = None;
        }
    } else {
        model.common.overlays.insert(depth, overlay);
    }
    if let Some(above) = wish.open {
        model.common.overlays.push(above);
        model.common.guard.asked_anew();
    }
    wish.effects
}

fn screen_key(model: &mut Model, press: &Press) -> Vec<Effect> {
    let common = &mut model.common;
    if press.action == Some(Action::Back) {
        common.said = None;
        if let Screen::Record(record) = &mut model.screen {
            let back = std::mem::replace(record.back.as_mut(), Screen::Blank);
            model.screen = back;
            common.asked_anew();
            return Vec::new();
        }
    }
    if let (Screen::Pages(pages), Some(Action::Back)) = (&mut model.screen, press.action) {
        return match pages.back(press, common) {
            Some(Some(back)) => {
                model.screen = back;
                Vec::new()
            }
            Some(None) => vec![Effect::Quit],
            None => Vec::new(),
        };
    }
    match &mut model.screen {
        Screen::Blank => Vec::new(),
        Screen::Founding(founding) => founding.press(press, common),
        Screen::Words(words) => words.press(press, common),
        Screen::Home(home) => home.press(press, common),
        Screen::Unit(unit) => unit.press(press, common),
        Screen::Start(start) => start.press(press, common),
        Screen::Resume(resume) => resume.press(press, common),
        Screen::Work(work) => work.press(press, common),
        Screen::Record(record) => record.press(press, common),
        Screen::Register(register) => register.press(press, common),
        Screen::Pages(pages) => pages.press(press, common),
        Screen::Recall(recall) => recall.press(press, common),
    }
}

/// A paste fills the open field and takes nothing.
fn paste(model: &mut Model, text: &str) {
    let Model { screen, common } = model;
    let mut overlay = common.overlays.pop();
    let field = match (&mut overlay, screen) {
        (Some(overlay), _) => overlay.open_field(),
        (None, Screen::Founding(founding)) => founding.form.open_field(),
        (None, Screen::Words(words)) => Some(&mut words.field),
        (None, Screen::Home(home)) => Some(&mut home.find),
        (None, Screen::Start(start)) => start.form.open_field(),
        (None, Screen::Resume(resume)) => resume.form.open_field(),
        (None, Screen::Work(work)) if work.typing() => Some(&mut work.field),
        _ => None,
    };
    match field {
        Some(field) => {
            field.insert(text);
            say_overflow(Some(field), common);
        }
        None => common.note("Nothing was pasted: no field is open here."),
    }
    common.overlays.extend(overlay);
}

/// What became of an effect.
fn came(model: &mut Model, outcome: Outcome, now: Instant) -> Vec<Effect> {
    match outcome {
        Outcome::Acted(sight) => show_work(model, *sight, true, now),
        Outcome::Told(sight, said) => {
            show_work(model, *sight, true, now);
            model.common.said = Some(said);
        }
        Outcome::Seen(sight) => show_work(model, *sight, false, now),
        Outcome::Unsealed(person, digits) => {
            model.common.unsealed.insert(person, digits);
            let mut top = model.common.overlays.pop();
            if let Some(Overlay::Sign(sign)) = &mut top {
                sign.unsealed(&mut model.common);
            }
            model.common.overlays.extend(top);
        }
        Outcome::PinRight(person) => return pin_right(model, person),
        Outcome::NotProved { said, forgotten } => {
            let mut top = model.common.overlays.pop();
            if let Some(Overlay::Sign(sign)) = &mut top {
                if let (true, Some((person, _))) = (forgotten, &sign.person) {
                    model.common.unsealed.remove(person);
                }
                sign.not_proved(said, &mut model.common);
            }
            model.common.overlays.extend(top);
        }
        Outcome::Forgotten => model.common.unsealed.clear(),
        Outcome::WantsSignature {
            command,
            meaning,
            among,
        } => {
            let sign = super::sign::Sign::new(meaning, among, Pending::Act(command), &model.common);
            model.common.open(Overlay::Sign(Box::new(sign)));
        }
        Outcome::Refused(mut said) => {
            model.common.guard.asked_anew();
            model.common.disk_failed = said.is_of_the_disk();
            if model.common.disk_failed {
                said.remedy.push_str(" F10 leaves.");
            }
            model.common.said = Some(said);
        }
        Outcome::Left => {}
        shown => show(model, shown),
    }
    Vec::new()
}

fn pin_right(model: &mut Model, person: reseat_record::log::Id) -> Vec<Effect> {
    match model.common.overlays.pop() {
        Some(Overlay::Sign(sign)) => {
            model.common.asked_anew();
            vec![sign.then.effect(person)]
        }
        other => {
            model.common.overlays.extend(other);
            Vec::new()
        }
    }
}

fn show_work(model: &mut Model, sight: super::sight::WorkSight, acted: bool, now: Instant) {
    model.common.seen_at = Some(now);
    model.common.demo = sight.strip.demo;
    model.common.unsealed.clone_from(&sight.unsealed);
    let page = sight.tag.clone().filter(|_| acted && sight.write_tag);
    if acted {
        model.common.disk_failed = false;
        model
            .common
            .overlays
            .retain(|overlay| matches!(overlay, Overlay::Help(_)));
    }
    match &mut model.screen {
        Screen::Work(work) if work.sight.stream == sight.stream => {
            if acted {
                work.acted(sight, &mut model.common);
            } else {
                work.seen(sight, &mut model.common);
            }
        }
        screen => {
            // A rebuild shown beneath a record that is being read stays beneath it.
            if let Screen::Record(record) = screen
                && let Screen::Work(work) = record.back.as_mut()
                && !acted
            {
                work.sight = sight;
                return;
            }
            *screen = Screen::Work(Box::new(Work::new(sight)));
            model.common.last_key = Some(now);
            model.common.overlays.clear();
            model.common.asked_anew();
        }
    }
    if let Some(lines) = page {
        model
            .common
            .open(Overlay::Page(super::handover::page(lines)));
    }
}

/// A screen is shown anew; what stood above it goes.
fn show(model: &mut Model, outcome: Outcome) {
    let said = model.common.said.take();
    model.common.overlays.clear();
    model.common.guard.asked_anew();
    match outcome {
        Outcome::Home(sight) => {
            model.common.demo = sight.demo;
            match &mut model.screen {
                Screen::Home(home) => home.renewed(sight),
                screen => *screen = Screen::Home(Home::new(sight)),
            }
        }
        Outcome::Unfounded => model.screen = Screen::Founding(Founding::default()),
        Outcome::Founded { words } => model.screen = Screen::Words(Words::new(words)),
        Outcome::Unit(sight) => model.screen = Screen::Unit(Unit::new(sight)),
        Outcome::Start(sight) => model.screen = Screen::Start(Start::new(sight, &mut model.common)),
        Outcome::Resume(sight) => model.screen = Screen::Resume(Resume::new(sight)),
        Outcome::Record(sight) => {
            model.common.demo = sight.demo;
            let back = Box::new(std::mem::replace(&mut model.screen, Screen::Blank));
            model.screen = Screen::Record(Record {
                sight,
                scroll: 0,
                back,
            });
        }
        Outcome::Pages(sight) => {
            let back = std::mem::replace(&mut model.screen, Screen::Blank);
            let back = (back != Screen::Blank).then(|| Box::new(back));
            let mut pages = Pages::new(*sight, back);
            pages.offer(&mut model.common);
            model.screen = Screen::Pages(Box::new(pages));
        }
        Outcome::Recall(sight) => {
            model.common.demo = sight.demo;
            model.screen = Screen::Recall(Recall::new(sight));
        }
        Outcome::Register { sight, changed } => {
            // What was approved on its pages is seen in the list it was chosen from.
            if let Screen::Pages(pages) = &mut model.screen
                && let Some(back) = pages.back.take()
            {
                model.screen = *back;
            }
            model.common.demo = sight.demo;
            match &mut model.screen {
                Screen::Register(register) => register.renewed(sight),
                Screen::Recall(recall) => {
                    let instrument = &recall.sight.asked.instrument;
                    let register = Register::at(sight, List::Instruments, instrument);
                    model.screen = Screen::Register(register);
                }
                screen => *screen = Screen::Register(Register::new(sight)),
            }
            if changed {
                model.common.parked.clear();
                model.common.note("Written and signed.");
            }
        }
        // The rest changes no screen and is taken before.
        _ => model.common.said = said,
    }
}
