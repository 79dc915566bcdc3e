//! `reseat approve`: a revision of a procedure, for this site, after it was walked through at the unit.

use std::path::PathBuf;

use reseat_procedure::builtin;

use super::act::{Actor, person};
use super::check::{Checked, check, print};
use super::{Answer, Context, Stop};
use crate::desk::Approving;

#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// Procedure file, or the name of a shipped one; its exact bytes are approved and kept
    #[arg(value_name = "FILE")]
    file: PathBuf,
    /// Who wrote it, by name or id
    #[arg(long, value_name = "PERSON")]
    author: String,
    /// Who walked it through at the unit, by name or id
    #[arg(long, value_name = "PERSON")]
    walked_by: String,
    /// The day of the walk-through, such as 2026-03-12
    #[arg(long, value_name = "DAY")]
    walked_on: String,
    #[command(flatten)]
    actor: Actor,
}

pub(super) fn run(args: &Args, context: &mut Context) -> Result<Answer, Stop> {
    let mut desk = context.work()?;
    let shipped = builtin()
        .iter()
        .find(|(name, _)| args.file.as_os_str() == *name && !args.file.exists());
    let checked = match shipped {
        Some((_, bytes)) => Checked::of(bytes.to_vec()),
        None => check(&args.file)?,
    };
    if checked.has_errors() {
        print(&args.file, &checked, &mut context.out)?;
        context.out.error(
            "The procedure has errors and is not approved.",
            "Put them right first.",
        );
        return Ok(Answer::No);
    }
    let author = person(desk.register(), &args.author)?.id;
    let walked_by = person(desk.register(), &args.walked_by)?.id;
    let by = args.actor.sit_down(&mut desk, context)?;
    let approving = Approving {
        bytes: checked.bytes,
        author,
        walked_by,
        walked_on: args.walked_on.clone(),
    };
    let (number, revision) = desk.approve(&approving, &by)?;
    context.out.line(&format!(
        "Revision {revision} of {number} is approved for this site."
    ))?;
    Ok(Answer::Yes)
}
