//! Without a command: the screens.

use std::io::IsTerminal;
use std::path::Path;

use super::{Answer, Context, Stop};
use crate::desk::{Fault, SET_CLOCK, SetTime, SystemTime, Time};
use crate::screen::{Model, Runner};
use crate::terminal;
use crate::theme::Scheme;

pub(super) fn run(context: &mut Context) -> Result<Answer, Stop> {
    let root = context.around.home()?;
    on(&root, context)
}

/// Opens the screens on a home, until they are left.
pub(super) fn on(root: &Path, _: &mut Context) -> Result<Answer, Stop> {
    wants_terminal()?;
    run_on(Runner::new(root.to_path_buf(), time)?)
}

/// A procedure page by page, until it is left. No home is opened.
pub(super) fn pages(bytes: Vec<u8>) -> Result<Answer, Stop> {
    wants_terminal()?;
    let runner =
        Runner::reading(bytes, time).map_err(|said| Stop::words(said.sentence, said.remedy))?;
    run_on(runner)
}

fn wants_terminal() -> Result<(), Stop> {
    if !std::io::stdout().is_terminal() || !std::io::stdin().is_terminal() {
        return Err(Stop::words(
            "The screens need a terminal, and this is none.",
            "Start it on a terminal, give --plain, or see `reseat --help` for commands.",
        ));
    }
    Ok(())
}

fn run_on(mut runner: Runner) -> Result<Answer, Stop> {
    let scheme = Scheme::first(std::env::var_os("NO_COLOR").as_deref());
    let mut model = Model::new(scheme, runner.pause_after());
    terminal::run(&mut model, &mut runner).map_err(|fault| {
        Stop::words(
            fault.to_string(),
            "What was written stands; start it again to go on.",
        )
    })?;
    Ok(Answer::Yes)
}

/// The machine's clock, or the one set by hand for a demo.
fn time() -> Result<Box<dyn Time>, Fault> {
    match std::env::var_os(SET_CLOCK) {
        Some(text) => Ok(Box::new(SetTime::at(&text.to_string_lossy())?)),
        None => Ok(Box::new(SystemTime::new())),
    }
}
