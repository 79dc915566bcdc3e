//! Without a command: the screens.

use std::io::IsTerminal;
use std::path::Path;

use super::{Answer, Context, Stop};

pub(super) fn run(context: &mut Context) -> Result<Answer, Stop> {
    let root = context.around.home()?;
    on(&root, context)
}

/// Opens the screens on a home.
pub(super) fn on(_: &Path, _: &mut Context) -> Result<Answer, Stop> {
    if !std::io::stdout().is_terminal() || !std::io::stdin().is_terminal() {
        return Err(Stop::words(
            "The screens need a terminal, and this is none.",
            "Start it on a terminal, or see `reseat --help` for commands.",
        ));
    }
    Err(Stop::words(
        "This build has no screens.",
        "Use the commands; see `reseat --help`.",
    ))
}
