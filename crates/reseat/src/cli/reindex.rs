//! `reseat reindex`: the lists made anew from the records, which are the truth.

use super::{Answer, Context, Stop};
use crate::desk::Desk;

#[derive(Debug, clap::Args)]
pub(super) struct Args {}

pub(super) fn run(_: &Args, context: &mut Context) -> Result<Answer, Stop> {
    let without = Desk::reindex(&context.around.home()?)?;
    for stream in &without {
        context.out.line(&format!(
            "{stream} cannot be listed: see `reseat verify {stream}`."
        ))?;
    }
    context.out.line("The index is made anew.")?;
    Ok(if without.is_empty() {
        Answer::Yes
    } else {
        Answer::No
    })
}
